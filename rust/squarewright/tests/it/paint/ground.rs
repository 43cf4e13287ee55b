//! A ground that sits well behind a figure.

use squarewright::colour::{Lab, Rgb, ciede2000};
use squarewright::paint::{Manner, Stock, grounds};

use super::rgb;

/// A kingfisher: blue back, orange breast, dark outline.
const FIGURE: [(&str, usize); 4] = [("#1c9fb5", 300), ("#ee7d2d", 120), ("#10243f", 90), ("#ffffff", 20)];

fn figure() -> Vec<(Rgb, usize)> {
    FIGURE.map(|(code, cells)| (rgb(code), cells)).to_vec()
}

/// Source: common practice.
#[test]
fn every_border_stands_out_in_colour_and_in_grey() {
    for border in [vec![rgb("#10243f")], vec![rgb("#10243f"), rgb("#ee7d2d")], vec![rgb("#f4f3ee")]] {
        let found = grounds(&figure(), &border, &Stock::basic()).unwrap();
        assert!(!found.is_empty());
        for ground in found {
            let lab = Lab::from(ground.colour);
            for &colour in &border {
                assert!(ciede2000(lab, colour.into()) >= 14.5, "{ground:?}");
                assert!((lab.l - Lab::from(colour).l).abs() >= 14.5, "{ground:?}");
            }
        }
    }
}

#[test]
fn a_ground_is_not_of_the_lightness_of_the_border() {
    let manners = |border: &str| -> Vec<Manner> {
        let found = grounds(&figure(), &[rgb(border)], &Stock::basic()).unwrap();
        found.iter().map(|ground| ground.manner).collect()
    };
    assert!(manners("#10243f").contains(&Manner::Light) && !manners("#454545").contains(&Manner::Dark));
    assert!(manners("#f4f3ee").contains(&Manner::Dark));
}

#[test]
fn the_opposite_of_a_blue_figure_is_warm() {
    let blue = [(rgb("#2b3a93"), 100)];
    let found = grounds(&blue, &[rgb("#10243f")], &Stock::basic()).unwrap();
    let opposite = found.iter().find(|ground| ground.manner == Manner::Opposite).unwrap();
    let hue = Lab::from(opposite.colour).hue();
    assert!((60.0..=180.0).contains(&hue), "{opposite:?}");
    let grey = grounds(&[(rgb("#808080"), 100)], &[rgb("#10243f")], &Stock::basic()).unwrap();
    assert!(grey.iter().all(|ground| ground.manner != Manner::Opposite));
}

#[test]
fn one_black_paint_offers_no_ground_for_a_black_border() {
    let black = Stock::new(vec![squarewright::paint::Paint::new("black", rgb("#262626"))]).unwrap();
    assert!(grounds(&figure(), &[rgb("#1c1c1c")], &black).unwrap().is_empty());
}
