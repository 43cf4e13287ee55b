//! In which order colours are painted.

use squarewright::paint::{Ordering, Pass, Portion, Set, Turn, order};

use super::rgb;

fn portion(code: &str, outline: usize, inside: usize) -> Portion {
    let found = squarewright::paint::cover(rgb(code));
    let coats = if found.weak { 3 } else { 2 };
    Portion { colour: rgb(code), outline, inside, coats, undercoat: found.undercoat }
}

/// A heron: two dark shades that draw it, three greys, a yellow bill and the white of the neck.
fn heron() -> [Portion; 7] {
    [
        portion("#1d2430", 120, 4),
        portion("#333d4d", 30, 0),
        portion("#5d6b7c", 0, 210),
        portion("#8896a5", 0, 160),
        portion("#b9c3cc", 0, 90),
        portion("#f6c915", 0, 12),
        portion("#f4f3ee", 0, 80),
    ]
}

fn at(passes: &[Pass], wanted: impl Fn(&Pass) -> bool) -> Vec<usize> {
    (0..passes.len()).filter(|&place| wanted(&passes[place])).collect()
}

/// Source: common practice, as are all below.
#[test]
fn the_undercoat_comes_first_and_takes_only_what_wants_it() {
    let passes = order(&heron(), &Ordering::default());
    assert_eq!(at(&passes, |pass| pass.set == Set::Undercoat), [0]);
    assert_eq!(passes[0].colours, [(rgb("#f6c915"), 12)]);
}

#[test]
fn the_outline_comes_before_or_after_the_inside_as_asked() {
    for outline in [Turn::First, Turn::Last] {
        let passes = order(&heron(), &Ordering { outline, ..Ordering::default() });
        let lines = at(&passes, |pass| pass.set == Set::Outline);
        let inside = at(&passes, |pass| pass.set == Set::Inside);
        match outline {
            Turn::First => assert!(lines.iter().max() < inside.iter().min()),
            Turn::Last => assert!(inside.iter().max() < lines.iter().min()),
        }
    }
}

#[test]
fn inside_a_family_light_comes_before_dark_and_coats_in_turn() {
    let passes = order(&heron(), &Ordering::default());
    let greys = at(&passes, |pass| pass.colours.iter().any(|&(colour, _)| colour == rgb("#8896a5")));
    assert_eq!(greys.len(), 2);
    for (coat, &place) in (1..).zip(&greys) {
        let pass = &passes[place];
        assert_eq!(pass.coat, coat);
        let lightness: Vec<f64> =
            pass.colours.iter().map(|&(colour, _)| squarewright::colour::Lab::from(colour).l).collect();
        assert!(lightness.is_sorted_by(|one, other| one >= other));
    }
    assert_eq!(greys[1], greys[0] + 1, "its jars stay open");
}

#[test]
fn every_cell_gets_every_coat_once() {
    for outline in [Turn::First, Turn::Last] {
        let passes = order(&heron(), &Ordering { outline, ..Ordering::default() });
        for portion in heron() {
            for (set, cells) in [(Set::Outline, portion.outline), (Set::Inside, portion.inside)] {
                let coats: Vec<u32> = passes
                    .iter()
                    .filter(|pass| pass.set == set)
                    .filter(|pass| pass.colours.contains(&(portion.colour, cells)))
                    .map(|pass| pass.coat)
                    .collect();
                let due: Vec<u32> = if cells > 0 { (1..=portion.coats).collect() } else { Vec::new() };
                assert_eq!(coats, due, "{} {set:?}", portion.colour);
            }
        }
        assert!(passes.iter().all(|pass| pass.cells() > 0 && pass.wait == (20, 60)));
    }
    assert!(order(&[], &Ordering::default()).is_empty());
}
