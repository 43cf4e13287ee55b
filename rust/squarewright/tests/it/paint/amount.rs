//! How much paint, how many coats.

use squarewright::length::Length;
use squarewright::paint::{
    Amounting, Amounts, Brush, Measure, Paint, Painted, Recipe, Stock, amounts, cover,
};

use super::rgb;

/// Spread and loss alone, as the worked examples have them.
fn plain(spread: f64, loss: f64) -> Amounting {
    Amounting { spread, loss, reserve: 0.0, ..Amounting::default() }
}

fn stock() -> Stock {
    let white = Paint { ml: Some(59.0), ..Paint::new("white", rgb(super::WHITE)) };
    Stock::new(vec![white, Paint::new("black", rgb(super::BLACK)), Paint::new("red", rgb(super::RED))])
        .expect("three paints")
}

fn pinned(target: &str, parts: &[(&str, u32)]) -> Recipe {
    let parts: Vec<(String, u32)> = parts.iter().map(|&(name, parts)| (name.to_owned(), parts)).collect();
    Recipe::pinned(rgb(target), &parts, &stock()).expect("paints of the stock")
}

fn painted(code: &str, face: f64) -> Painted {
    Painted { colour: rgb(code), face, edges: 0.0 }
}

/// Source: worked by hand from area × coats ÷ spread × (1 + loss): three tenths of a panel of 60 cm.
#[test]
fn volumes_follow_from_area_coats_and_spread() {
    let area = 0.3 * 600.0 * 600.0;
    for (coats, spread, loss, ml) in [(2, 8.0, 0.15, 31.05), (3, 5.0, 0.25, 81.0), (2, 12.0, 0.1, 19.8)] {
        let found = plain(spread, loss).ml(area, coats, spread);
        assert!((found - ml).abs() < 1e-9, "{found}");
    }
    // A litre over a square metre lies a thousandth of a metre thick: 125 µm at 8 m² a litre.
    assert!((plain(8.0, 0.0).ml(1e6, 1, 8.0) - 125.0).abs() < 1e-9);
}

/// Source: worked by hand; 59 ml is two fluid ounces.
#[test]
fn bottles_are_whole() {
    let area = 0.3 * 600.0 * 600.0;
    let asked = |coats, spread, loss| Amounting { coats, ..plain(spread, loss) };
    let grey = [pinned("#7d8081", &[("white", 1)])];
    let bottles = |asked: &Amounting| {
        let found = amounts(&[painted("#7d8081", area)], &grey, Some(&stock()), asked).unwrap();
        found.paints[0].bottles
    };
    assert_eq!(bottles(&asked(2, 8.0, 0.15)), 1);
    assert_eq!(bottles(&asked(3, 5.0, 0.25)), 2);
}

/// Source: common practice.
#[test]
fn what_covers_badly_gets_three_coats_over_white() {
    let weak = ["#f6c915", "#f9e547", "#ee7623", "#d23a2a", "#e01b24"];
    for code in weak {
        assert!(cover(rgb(code)).weak && cover(rgb(code)).undercoat, "{code}");
    }
    for code in ["#f4f3ee", "#ffffff"] {
        assert!(cover(rgb(code)).weak && !cover(rgb(code)).undercoat, "{code}: white under white is white");
    }
    for code in ["#262626", "#6b5639", "#4b352a", "#8b4a2e", "#2b3a93", "#1f5440", "#563078", "#7d8081"] {
        assert!(!cover(rgb(code)).weak && !cover(rgb(code)).undercoat, "{code}");
    }
    for code in ["#e6d3b3", "#bfe3f2", "#f7d3dd"] {
        assert!(!cover(rgb(code)).weak && cover(rgb(code)).undercoat, "{code}: pale");
    }
}

#[test]
fn what_paints_give_adds_up_to_what_jars_need() {
    let recipes = [
        pinned("#7d8081", &[("white", 3), ("black", 1)]),
        pinned("#f7d3dd", &[("white", 11), ("red", 1)]),
        pinned("#b3202b", &[("red", 1)]),
    ];
    let all = [painted("#7d8081", 5000.0), painted("#f7d3dd", 300.0), painted("#b3202b", 20000.0)];
    let found = amounts(&all, &recipes, Some(&stock()), &Amounting::default()).unwrap();
    let given: f64 = found.paints.iter().map(|need| need.ml).sum();
    assert!((given - found.colour_ml() - found.undercoat.ml).abs() < 1e-9);
    let poured: f64 = found.paints.iter().map(|need| need.poured_ml).sum();
    let mixed: f64 = found.jars.iter().map(|jar| jar.batch_ml).sum();
    assert!((poured - mixed - found.undercoat.ml).abs() < 1e-9);
    let area: f64 = all.iter().map(Painted::area).sum();
    assert!((found.jars.iter().map(|jar| jar.area).sum::<f64>() - area).abs() < 1e-9);
    assert!((found.primer.area - area).abs() < 1e-9);
}

#[test]
fn no_batch_is_under_the_smallest_nor_under_what_is_needed() {
    for parts in 1..=24 {
        for step in 1..400 {
            let area = f64::from(step * step) * 7.0;
            let recipe = pinned("#7d8081", &[("white", parts), ("black", 1)]);
            let found: Amounts =
                amounts(&[painted("#7d8081", area)], &[recipe], None, &Amounting::default()).unwrap();
            let jar = &found.jars[0];
            assert!(jar.batch_ml >= jar.ml.max(1.0) - 1e-5, "{jar:?}");
            let total: u32 = jar.doses.iter().map(|dose| dose.parts).sum();
            assert_eq!(total % (parts + 1), 0);
            assert!(jar.measure != Measure::Drop || total <= Measure::DROPS, "{jar:?}");
            // A mix of many parts can only be made in multiples; else a third more is the most.
            let step = jar.measure.ml(0.05) * f64::from(parts + 1);
            assert!(jar.batch_ml <= 1.3 * jar.ml.max(1.0) + step + 1e-5, "{jar:?}");
        }
    }
}

#[test]
fn a_few_cells_are_counted_in_drops_and_a_panel_by_the_spoon() {
    assert_eq!(Measure::choose(1.0, 4, 0.05), (Measure::Drop, 5));
    assert_eq!(Measure::choose(2.0, 4, 0.05), (Measure::Drop, 10));
    assert_eq!(Measure::choose(4.9, 4, 0.05), (Measure::QuarterTeaspoon, 1));
    assert_eq!(Measure::choose(38.0, 4, 0.05), (Measure::Teaspoon, 2));
    assert_eq!(Measure::choose(3.0, 24, 0.05), (Measure::Tenth, 2));
}

#[test]
fn numbers_that_cannot_be_are_refused_by_name() {
    let bad = [
        Amounting { spread: 0.0, ..Amounting::default() },
        Amounting { loss: -0.1, ..Amounting::default() },
        Amounting { drop_ml: f64::NAN, ..Amounting::default() },
        Amounting { coats: 0, ..Amounting::default() },
        Amounting { bottle_ml: f64::INFINITY, ..Amounting::default() },
    ];
    for (asked, name) in bad.iter().zip(["spread", "loss", "drop_ml", "coats", "bottle_ml"]) {
        let error = amounts(&[painted("#7d8081", 10.0)], &[], None, asked).unwrap_err();
        assert!(error.to_string().starts_with(name), "{error}");
    }
    assert!(Amounting::default().check().is_ok());
    let usual = Amounting::default().settings();
    assert!(usual.iter().all(|set| set.low <= set.value && set.value <= set.high));
}

#[test]
fn nothing_to_paint_needs_nothing() {
    let found = amounts(&[], &[], Some(&stock()), &Amounting::default()).unwrap();
    assert!(found.jars.is_empty() && found.paints.is_empty());
    assert!(found.primer.ml.abs() < 1e-12 && found.undercoat.coats == 0);
}

/// Source: common practice.
#[test]
fn a_finer_grid_wants_a_finer_brush() {
    let inches = |numerator, denominator| Brush::for_pitch(Length::inches(numerator, denominator).ratio());
    assert_eq!(inches(3, 32), Brush::Finest);
    assert_eq!(inches(3, 16), Brush::Fine);
    assert_eq!(inches(1, 2), Brush::Flat);
    assert_eq!(inches(3, 1), Brush::Wide);
    let all: Vec<Brush> = (1..=64).map(|count| inches(count, 32)).collect();
    assert!(all.is_sorted());
}
