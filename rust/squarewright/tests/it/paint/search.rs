//! Recipes: the best of all mixtures, simple ones first, and honest about what cannot be had.

use squarewright::colour::{Lab, Rgb, ciede2000};
use squarewright::fault::Unwatched;
use squarewright::paint::{Match, Mixing, Paint, Recipe, Remark, Stock, blend, bucket, mix, pot};

use super::rgb;

fn recipes(code: &str, stock: &Stock, asked: Mixing) -> Vec<Recipe> {
    mix(&[rgb(code)], stock, &asked, &Unwatched).expect("recipes").remove(0)
}

fn few(count: usize) -> Stock {
    Stock::new(Stock::basic().paints()[..count].to_vec()).expect("a stock")
}

/// What is preferred, then the paints and their parts.
type Judged = ((u32, usize, u32, i64), Vec<(usize, u32)>);

/// Judges every mixture of up to three paints, six parts, by the same order of preference.
fn brute_force(wanted: Rgb, stock: &Stock) -> Vec<(String, u32)> {
    let count = stock.paints().len();
    let mut best: Option<Judged> = None;
    let mut judge = |chosen: Vec<(usize, u32)>| {
        let parts: Vec<(&Paint, f64)> =
            chosen.iter().map(|&(place, parts)| (&stock.paints()[place], f64::from(parts))).collect();
        let difference = ciede2000(Lab::from(wanted), blend(&parts).expect("a mixture").lab);
        #[expect(clippy::cast_possible_truncation, reason = "some hundred millions")]
        let millionths = (difference * 1e6).round() as i64;
        let key = (bucket(difference), chosen.len(), chosen.iter().map(|part| part.1).sum(), millionths);
        if best.as_ref().is_none_or(|best| (key, &chosen) < (best.0, &best.1)) {
            best = Some((key, chosen));
        }
    };
    for a in 0..count {
        judge(vec![(a, 1)]);
        for (b, x, y) in
            (a + 1..count).flat_map(|b| (1..6).flat_map(move |x| (1..=6 - x).map(move |y| (b, x, y))))
        {
            judge(vec![(a, x), (b, y)]);
            for (c, z) in (b + 1..count).flat_map(|c| (1..=6u32.saturating_sub(x + y)).map(move |z| (c, z))) {
                judge(vec![(a, x), (b, y), (c, z)]);
            }
        }
    }
    let mut parts: Vec<(String, u32)> = best
        .expect("a mixture")
        .1
        .into_iter()
        .map(|(place, parts)| (stock.paints()[place].name.clone(), parts))
        .collect();
    parts.sort_by(|one, other| other.1.cmp(&one.1).then(one.0.cmp(&other.0)));
    parts
}

#[test]
fn no_mixture_is_better_than_the_one_chosen() {
    let stock = few(7);
    let asked = Mixing { max_parts: [1, 6, 6, 6], ..Mixing::default() };
    for code in ["#8c5a3c", "#5b7a3a", "#e9c46a", "#c9a27a", "#1d3557", "#00ff00", "#b800fc"] {
        let found = &recipes(code, &stock, asked)[0];
        let mut parts: Vec<(String, u32)> =
            found.parts.iter().map(|part| (part.paint.clone(), part.parts)).collect();
        parts.sort_by(|one, other| other.1.cmp(&one.1).then(one.0.cmp(&other.0)));
        assert_eq!(parts, brute_force(rgb(code), &stock), "{code}: {}", found.difference);
    }
}

#[test]
fn a_bottle_of_the_very_colour_is_used_as_it_is() {
    let stock = Stock::basic();
    for paint in stock.paints() {
        let found = &recipes(&paint.colour.to_string(), &stock, Mixing::default())[0];
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
    ];
    for paints in stocks {
        let stock = Stock::new(paints).unwrap();
        for code in ["#000000", "#ffffff", "#808080", "#ff0000", "#5b7a3a"] {
            let found = recipes(code, &stock, Mixing::default());
            let best = &found[0];
            assert!(best.difference.is_finite() && best.total() > 0, "{code}: {best:?}");
            let known: Vec<(&Paint, f64)> = best
                .parts
                .iter()
                .map(|part| {
                    (&stock.paints()[stock.find(&part.paint).expect("a paint")], f64::from(part.parts))
                })
                .collect();
            assert_eq!(blend(&known).unwrap().colour, best.colour);
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
    let steps = pot(&ramp, &Stock::basic(), &Mixing::default(), &Unwatched).unwrap();
    assert_eq!(steps.iter().map(|step| step.target).collect::<Vec<_>>(), [ramp[1], ramp[2], ramp[0]]);
    assert_eq!(steps[0].pot, 0);
    assert!(steps[1..].iter().any(|step| step.pot > 0), "{steps:?}");
    assert!(steps.iter().all(|step| step.difference <= 3.0), "{steps:?}");
}
