//! Recipes: the best of all mixtures, simple ones first, and honest about what cannot be had.

use std::collections::BTreeMap;

use squarewright::colour::{Lab, Rgb, Spectrum, ciede2000};
use squarewright::fault::Unwatched;
use squarewright::paint::{
    Match, Mixing, Optics, Paint, Recipe, Remark, Stock, Surface, Way, blend, bucket, mix, pot,
    recipes as best_of, reflected, ways,
};

use super::rgb;

fn recipes(code: &str, stock: &Stock, asked: Mixing) -> Vec<Recipe> {
    mix(&[rgb(code)], stock, &asked, &Unwatched).expect("recipes").remove(0)
}

fn few(count: usize) -> Stock {
    Stock::new(Stock::basic().paints()[..count].to_vec()).expect("a stock")
}

/// What is preferred: bucket, paints, parts, millionths; then the places of the paints and their parts.
type Judged = ((u32, usize, u32, i64), Vec<(usize, u32)>);

/// Is shown a mixture: places of paints with their parts, and its colour.
type Show<'a> = &'a mut dyn FnMut(&[(usize, u32)], Lab);

/// Shows every mixture of up to three paints, so many parts of two and of three, with its colour.
fn every_mixture(stock: &Stock, [two, three]: [u32; 2], show: Show<'_>) {
    let mut show = |chosen: &[(usize, u32)]| {
        let band = |band: usize| {
            let sum = |of: fn(&Optics, usize) -> f64| -> f64 {
                chosen.iter().map(|&(place, parts)| f64::from(parts) * of(&stock.optics()[place], band)).sum()
            };
            reflected(sum(|paint, band| paint.k[band]) / sum(|paint, band| paint.s[band]))
        };
        show(chosen, Spectrum(std::array::from_fn(band)).lab());
    };
    let count = stock.paints().len();
    for a in 0..count {
        show(&[(a, 1)]);
        for (b, x) in (a + 1..count).flat_map(|b| (1..two).map(move |x| (b, x))) {
            for y in (1..=two - x).filter(|&y| common(x, y) == 1) {
                show(&[(a, x), (b, y)]);
            }
        }
        for (b, c) in (a + 1..count).flat_map(|b| (b + 1..count).map(move |c| (b, c))) {
            for (x, y) in (1..three).flat_map(|x| (1..three.saturating_sub(x)).map(move |y| (x, y))) {
                for z in (1..=three - x - y).filter(|&z| common(common(x, y), z) == 1) {
                    show(&[(a, x), (b, y), (c, z)]);
                }
            }
        }
    }
}

fn common(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { common(b, a % b) }
}

fn judged(wanted: Lab, chosen: &[(usize, u32)], lab: Lab) -> Judged {
    let difference = ciede2000(wanted, lab);
    #[expect(clippy::cast_possible_truncation, reason = "some hundred millions")]
    let millionths = (difference * 1e6).round() as i64;
    let parts = chosen.iter().map(|part| part.1).sum();
    ((bucket(difference), chosen.len(), parts, millionths), chosen.to_vec())
}

/// Judges every mixture by the same order of preference.
fn brute_force(colours: &[Rgb], stock: &Stock, most: [u32; 2]) -> Vec<Judged> {
    let mut best: Vec<Option<Judged>> = vec![None; colours.len()];
    every_mixture(stock, most, &mut |chosen, lab| {
        for (best, &colour) in best.iter_mut().zip(colours) {
            let next = judged(Lab::from(colour), chosen, lab);
            if best.as_ref().is_none_or(|best| next < *best) {
                *best = Some(next);
            }
        }
    });
    best.into_iter().map(|best| best.expect("a mixture")).collect()
}

/// Colours all over sRGB, in reach or not.
fn scattered(count: u32) -> Vec<Rgb> {
    (1..=count)
        .map(|each| {
            Rgb((each.wrapping_mul(10_368_889) % 16_777_213).to_le_bytes()[..3].try_into().expect("three"))
        })
        .collect()
}

#[test]
fn no_mixture_is_better_than_the_one_chosen() {
    let stock = few(10);
    let asked = Mixing { max_parts: [1, 12, 8, 8], ..Mixing::default() };
    let mut colours: Vec<Rgb> =
        ["#8c5a3c", "#5b7a3a", "#e9c46a", "#c9a27a", "#1d3557", "#00ff00", "#b800fc"].map(rgb).to_vec();
    colours.extend(scattered(40));
    let found = mix(&colours, &stock, &asked, &Unwatched).unwrap();
    for ((recipes, best), colour) in found.iter().zip(brute_force(&colours, &stock, [12, 8])).zip(&colours) {
        let mut parts: Vec<(usize, u32)> = recipes[0]
            .parts
            .iter()
            .map(|part| (stock.find(&part.paint).expect("a paint"), part.parts))
            .collect();
        parts.sort_unstable();
        assert_eq!(parts, best.1, "{colour}: {} at {}", recipes[0], recipes[0].difference);
    }
}

#[test]
fn every_set_of_paints_that_reaches_a_colour_is_listed() {
    let stock = few(9);
    let asked = Mixing { max_parts: [1, 12, 8, 8], tolerance: 5.0, ..Mixing::default() };
    let colours: Vec<Rgb> =
        ["#8c5a3c", "#00ff00", "#b3202b"].map(rgb).into_iter().chain(scattered(12)).collect();
    let found = ways(&colours, &stock, &asked, &Unwatched).unwrap();
    for (ways, &colour) in found.iter().zip(&colours) {
        let mut best: BTreeMap<Vec<usize>, Judged> = BTreeMap::new();
        every_mixture(&stock, [12, 8], &mut |chosen, lab| {
            let next = judged(Lab::from(colour), chosen, lab);
            let set = chosen.iter().map(|part| part.0).collect();
            if ciede2000(Lab::from(colour), lab) <= 5.0 && best.get(&set).is_none_or(|best| next < *best) {
                best.insert(set, next);
            }
        });
        let mut best: Vec<Judged> = best.into_values().collect();
        best.sort();
        let parts = |way: &Way| way.parts.clone();
        assert_eq!(
            ways.iter().map(parts).collect::<Vec<_>>(),
            best.into_iter().map(|best| best.1).collect::<Vec<_>>()
        );
        assert!(ways.iter().all(|way| way.difference <= 5.0));
    }
    assert!(found[1].is_empty(), "nothing reaches pure green: {:?}", found[1]);
    assert_eq!(found[2][0].parts, [(3, 1)], "red is red from the bottle");
}

/// Of a large stock the likeliest paints are looked at; the best of all is among them nearly always.
#[test]
fn screening_a_large_stock_loses_little() {
    let paints = scattered(40).into_iter().enumerate();
    let stock =
        Stock::new(paints.map(|(place, colour)| Paint::new(format!("paint {place}"), colour)).collect());
    let (stock, colours) = (stock.unwrap(), scattered(12));
    let plain = Mixing { max_parts: [1, 8, 6, 6], shelf: 32, ..Mixing::default() };
    let all = Mixing { shelf: 40, ..plain };
    let [some, all] = [plain, all].map(|asked| mix(&colours, &stock, &asked, &Unwatched).unwrap());
    let lost = some.iter().zip(&all).filter(|(some, all)| some[0].parts != all[0].parts).count();
    assert!(lost <= 1, "{lost} of 12");
}

#[test]
fn a_bottle_of_the_very_colour_is_used_as_it_is() {
    let stock = Stock::basic();
    let colours: Vec<Rgb> = stock.paints().iter().map(|paint| paint.colour).collect();
    let asked = Mixing { max_paints: 2, ..Mixing::default() };
    for (paint, found) in stock.paints().iter().zip(mix(&colours, &stock, &asked, &Unwatched).unwrap()) {
        let found = &found[0];
        assert_eq!(found.parts.len(), 1, "{found}");
        assert_eq!(found.parts[0].paint, paint.name);
        assert!(found.difference < 0.01);
        assert_eq!(found.nearness(), Match::Close);
    }
}

#[test]
fn of_equal_paints_the_owned_one_is_taken() {
    let to_buy = Paint { owned: false, ..Paint::new("red in the shop", rgb("#b3202b")) };
    let stock = Stock::new(vec![to_buy, Paint::new("red at home", rgb("#b3202b"))]).unwrap();
    assert_eq!(recipes("#b3202b", &stock, Mixing::default())[0].parts[0].paint, "red at home");
}

#[test]
fn pale_tints_may_take_more_parts_of_two_paints() {
    let found = &recipes("#f3e0b5", &Stock::basic(), Mixing::default())[0];
    assert!(found.difference < 3.0, "{found}: {}", found.difference);
    assert!(found.total() <= 24);
    let asked = Mixing { max_parts: [1, 12, 12, 12], ..Mixing::default() };
    assert!(recipes("#f3e0b5", &Stock::basic(), asked)[0].total() <= 12);
}

#[test]
fn a_simpler_way_is_offered_when_it_comes_near() {
    let found = &recipes("#a01c26", &Stock::basic(), Mixing::default())[0];
    let simple = found.alternatives.iter().find(|other| other.parts.len() == 1);
    assert!(found.parts.len() == 1 || simple.is_some_and(|other| other.difference <= 5.0), "{found:?}");
}

#[test]
fn what_cannot_be_mixed_is_said() {
    let stock = Stock::new(vec![Paint::new("white", rgb("#f4f3ee")), Paint::new("black", rgb("#262626"))]);
    let found = &recipes("#ff0000", &stock.unwrap(), Mixing::default())[0];
    assert!(found.difference > 30.0);
    assert_eq!(found.nearness(), Match::TestFirst);
    assert_eq!(found.notes, [Remark::OutOfReach]);
}

#[test]
fn absurd_stocks_get_honest_answers() {
    let paint = |name: &str, code: &str| Paint::new(name, rgb(code));
    let strong = Paint { strength: Some(1e6), ..paint("strong", "#2b3a93") };
    let weak = Paint { strength: Some(1e-6), ..paint("weak", "#b3202b") };
    let stocks = [
        vec![paint("one", "#b3202b"), paint("two", "#b3202b")],
        vec![paint("one", "#000000"), paint("two", "#000000"), paint("three", "#000001")],
        vec![paint("one", "#ffffff")],
        vec![strong.clone(), paint("white", "#f4f3ee")],
        vec![weak, strong, paint("white", "#ffffff"), paint("black", "#000000")],
        (0..120).map(|each| paint(&format!("grey {each}"), "#808080")).collect(),
        scattered(150).into_iter().map(|colour| Paint::new(colour.to_string(), colour)).collect(),
    ];
    for paints in stocks {
        let stock = Stock::new(paints).unwrap();
        let codes = ["#000000", "#ffffff", "#808080", "#ff0000", "#5b7a3a"];
        let few = if stock.paints().len() > 99 { 1 } else { 3 };
        let asked = Mixing { max_paints: few, ..Mixing::default() };
        let found = mix(&codes.map(rgb), &stock, &asked, &Unwatched).unwrap();
        for (code, found) in codes.iter().zip(&found) {
            let best = &found[0];
            assert!(best.difference.is_finite() && best.total() > 0, "{code}: {best:?}");
            let known: Vec<(&Paint, f64)> = best
                .parts
                .iter()
                .map(|part| {
                    (&stock.paints()[stock.find(&part.paint).expect("a paint")], f64::from(part.parts))
                })
                .collect();
            assert_eq!(blend(&known, Surface::NONE).unwrap(), best.blend);
        }
    }
}

#[test]
fn a_large_stock_says_that_only_some_of_it_was_looked_at() {
    let paints = (0..90u8).map(|place| {
        let code = Rgb([place.wrapping_mul(37), place.wrapping_mul(91), place.wrapping_mul(203)]);
        Paint::new(format!("paint {place}"), code)
    });
    let stock = Stock::new(paints.collect()).unwrap();
    let asked = Mixing { max_paints: 2, ..Mixing::default() };
    let found = &recipes("#5b7a3a", &stock, asked)[0];
    assert!(found.notes.contains(&Remark::Screened { tried: 64, all: 90 }), "{:?}", found.notes);
}

#[test]
fn a_recipe_of_the_makers_own_is_worked_out_as_it_is() {
    let stock = Stock::basic();
    let parts = [("Yellow".to_owned(), 3), ("black".to_owned(), 1)];
    let own = Recipe::pinned(rgb("#5b7a3a"), &parts, &stock).unwrap();
    assert!(own.pinned);
    assert_eq!(own.to_string(), "3 yellow + 1 black");
    assert!(own.difference > 3.0);
    for bad in [
        vec![],
        vec![("plaid".to_owned(), 1)],
        vec![("red".to_owned(), 0)],
        vec![parts[0].clone(), parts[0].clone()],
    ] {
        assert!(Recipe::pinned(rgb("#5b7a3a"), &bad, &stock).is_err(), "{bad:?}");
    }
}

#[test]
fn settings_that_cannot_be_are_refused() {
    let stock = Stock::basic();
    let plain = Mixing::default();
    for asked in [
        Mixing { max_paints: 0, ..plain },
        Mixing { max_paints: 5, ..plain },
        Mixing { max_parts: [1, 1, 12, 12], ..plain },
        Mixing { max_parts: [1, 41, 12, 12], ..plain },
        Mixing { tolerance: f64::NAN, ..plain },
    ] {
        assert!(mix(&[rgb("#5b7a3a")], &stock, &asked, &Unwatched).is_err(), "{asked:?}");
    }
}

#[test]
fn a_ramp_is_mixed_in_one_pot_from_light_to_dark() {
    let ramp = ["#7f2f3f", "#d9828c", "#b3565f"].map(rgb);
    let (stock, asked) = (Stock::basic(), Mixing::default());
    let recipes = best_of(&ramp, &[], &stock, &asked, &Unwatched).unwrap();
    let steps = pot(&recipes, &stock, &asked, &Unwatched).unwrap();
    assert_eq!(steps.iter().map(|step| step.target).collect::<Vec<_>>(), [ramp[1], ramp[2], ramp[0]]);
    assert_eq!(steps[0].pot, 0);
    assert!(steps[1..].iter().any(|step| step.pot > 0), "{steps:?}");
    assert!(steps.iter().all(|step| step.difference <= 3.0), "{steps:?}");
}

#[test]
fn a_pot_follows_the_recipe_of_the_maker() {
    let ramp = ["#7f2f3f", "#d9828c", "#b3565f"].map(rgb);
    let (stock, asked) = (Stock::basic(), Mixing::default());
    let own = Recipe::pinned(ramp[2], &[("magenta".into(), 2), ("scarlet".into(), 5)], &stock).unwrap();
    let recipes = best_of(&ramp, std::slice::from_ref(&own), &stock, &asked, &Unwatched).unwrap();
    assert_eq!(recipes[2], own);
    let steps = pot(&recipes, &stock, &asked, &Unwatched).unwrap();
    assert_eq!((steps[1].target, steps[1].pot, &steps[1].added), (ramp[2], 0, &own.parts));
    assert_eq!(steps[1].blend, own.blend);
    // What comes after it goes on from what is in the pot: magenta and scarlet.
    if steps[2].pot > 0 {
        let parts = f64::from(steps[2].pot);
        let find = |name: &str| &stock.paints()[stock.find(name).expect("a paint")];
        let mut paints = vec![(find("magenta"), parts * 2.0 / 7.0), (find("scarlet"), parts * 5.0 / 7.0)];
        paints.extend(steps[2].added.iter().map(|part| (find(&part.paint), f64::from(part.parts))));
        let mixed = blend(&paints, Surface::NONE).unwrap();
        assert!(ciede2000(mixed.lab, steps[2].blend.lab) < 1e-9);
    }
    let stray = Recipe { target: rgb("#123456"), ..own };
    assert!(best_of(&ramp, &[stray], &stock, &asked, &Unwatched).is_err());
}
