//! The symbols of a chart can be told apart, small, reversed and in a mirror.

use squarewright::colour::{Rgb, contrast};
use squarewright::length::{Area, Length, Place};
use squarewright::sheet::{Line, Symbol};

/// The least share of a cell in which two symbols differ. Source: judgement, after a look at prints.
const LEAST: f64 = 0.12;

/// A cell of the smallest size in bits, a row in each number.
type Raster = Vec<u64>;

/// Draws a symbol in its smallest cell; a dot is black when more than half of its 4 × 4 parts are.
fn raster(symbol: Symbol, dpi: i64) -> Raster {
    let path = symbol.path(Area::new(Place::default(), Symbol::LEAST, Symbol::LEAST)).0;
    let dot = Length::INCH.units() / dpi;
    let side = Symbol::LEAST.units() / dot;
    let inked = |x: i64, y: i64| {
        let parts = (0..16)
            .map(|part| (x * dot + dot * (2 * (part % 4) + 1) / 8, y * dot + dot * (2 * (part / 4) + 1) / 8));
        parts.filter(|&(x, y)| inside(&path, x, y)).count() > 8
    };
    let row = |y| (0..side).filter(|&x| inked(x, y)).fold(0, |row, x| row | 1 << (x + 2));
    (0..side).map(row).collect()
}

/// Even-odd rule.
fn inside(lines: &[Line], x: i64, y: i64) -> bool {
    let mut crossed = 0;
    for line in lines {
        let next = line.places.iter().cycle().skip(1);
        for (a, b) in line.places.iter().zip(next) {
            let (ax, ay, bx, by) = (a.x.units(), a.y.units(), b.x.units(), b.y.units());
            let at = || ax as f64 + (bx - ax) as f64 * (y - ay) as f64 / (by - ay) as f64;
            crossed += usize::from((ay <= y) != (by <= y) && at() > x as f64);
        }
    }
    crossed % 2 == 1
}

fn mirrored(raster: &[u64]) -> Raster {
    let side = raster.len();
    let turned =
        |row: u64| (0..side).filter(|x| row >> (x + 2) & 1 == 1).fold(0, |new, x| new | 1 << (side + 1 - x));
    raster.iter().map(|&row| turned(row)).collect()
}

/// Gives the share of dots that differ when the second is shifted by up to `shift` dots to where it fits best.
fn difference(one: &[u64], other: &[u64], shift: i64) -> f64 {
    let side = i64::try_from(one.len()).expect("a few dots");
    let row =
        |raster: &[u64], y: i64| usize::try_from(y).ok().and_then(|y| raster.get(y)).copied().unwrap_or(0);
    let apart = |right: i64, down: i64| -> u32 {
        (-shift..side + shift)
            .map(|y| {
                let moved = row(other, y - down);
                let moved = if right < 0 { moved >> -right } else { moved << right };
                (row(one, y) ^ moved).count_ones()
            })
            .sum()
    };
    let shifts = (-shift..=shift).flat_map(|right| (-shift..=shift).map(move |down| (right, down)));
    let least = shifts.map(|(right, down)| apart(right, down)).min().expect("some shift");
    f64::from(least) / (side * side) as f64
}

/// Gives the least difference of any two, and of any two one of which is seen in a mirror.
fn closest(dpi: i64, shift: i64) -> (f64, f64) {
    let rasters: Vec<Raster> = (0..Symbol::COUNT).map(|place| raster(Symbol::at(place), dpi)).collect();
    let (mut plain, mut mirror) = (1.0_f64, 1.0_f64);
    for (place, one) in rasters.iter().enumerate() {
        for other in &rasters[..place] {
            plain = plain.min(difference(one, other, shift));
            mirror = mirror.min(difference(one, &mirrored(other), shift));
        }
    }
    (plain, mirror)
}

#[test]
fn no_two_symbols_look_alike_not_even_in_a_mirror() {
    assert_eq!(Symbol::COUNT, 64);
    for (dpi, shift) in [(300, 1), (600, 2)] {
        let (plain, mirror) = closest(dpi, shift);
        assert!(plain.min(mirror) >= LEAST, "{dpi} dots to the inch: {plain} {mirror}");
    }
}

#[test]
fn symbols_stay_inside_their_cells() {
    let cell = Area::new(Place::new(Length::INCH, Length::MM), Symbol::LEAST, Symbol::LEAST);
    let free = Length::from_units(Symbol::LEAST.units() / 20);
    for place in 0..Symbol::COUNT {
        for line in Symbol::at(place).path(cell).0 {
            assert!(line.closed);
            let inside =
                |place: &Place| cell.inset(free).contains(Area::new(*place, Length::ZERO, Length::ZERO));
            assert!(line.places.iter().all(inside), "symbol {place}");
        }
    }
}

/// Source: Web Content Accessibility Guidelines 2.1, W3C 2018: text 4.5 to 1. Cells are as pale as on a chart.
#[test]
fn the_ink_on_every_colour_can_be_read() {
    let steps = || (0..=255).step_by(15).map(|step| u8::try_from(step).expect("a byte"));
    for red in steps() {
        for (green, blue) in steps().flat_map(|green| steps().map(move |blue| (green, blue))) {
            let colour = Rgb([red, green, blue]);
            for cell in [colour, colour.mixed(Rgb::WHITE, 0.55)] {
                assert!(contrast(cell, cell.ink().rgb()) >= 4.5, "{colour}");
            }
        }
    }
}
