//! Growing and shrinking a figure.

use std::f64::consts::PI;

use squarewright::grid::Grid;
use squarewright::length::{Length, Place, Ratio};
use squarewright::outline::{Contour, Corners, Point, centroid, enclosed_mm2, grown, hook, shrunk};
use squarewright::palette::Palette;

fn drawn(rows: &[&str]) -> Grid {
    let palette = Palette::new(vec!["#1d2430".parse().expect("a colour")]).expect("a palette");
    let cells = rows.iter().flat_map(|row| row.chars().map(|letter| (letter == '#').then_some(0))).collect();
    Grid::new(rows.len(), rows[0].len(), cells, palette).expect("a grid")
}

/// The pitch is an inch.
fn pitch() -> Ratio {
    Length::inches(1, 1).ratio()
}

/// Gives area and boundary in cells.
fn measures(contours: &[Contour]) -> (f64, f64) {
    (enclosed_mm2(contours) / 25.4 / 25.4, contours.iter().map(Contour::mm).sum::<f64>() / 25.4)
}

const L: [&str; 2] = ["#.", "##"];
const PLUS: [&str; 3] = [".#.", "###", ".#."];
const U: [&str; 3] = ["#.#", "#.#", "###"];
const RING5: [&str; 5] = ["#####", "#...#", "#...#", "#...#", "#####"];
const RING3: [&str; 3] = ["###", "#.#", "###"];
const CORNER: [&str; 2] = ["#.", ".#"];

/// Source: closed forms for square offsets, A + P·m + (c − r)·m² and P + 2m(c − r) with c convex and r reflex
/// corners, worked by hand; where a gap closes, counted cell by cell.
#[test]
fn square_offsets_have_the_areas_and_lengths_of_the_closed_form() {
    let known: [(&[&str], i64, f64, f64); 10] = [
        (&["#"], 2, 4.0, 8.0),
        (&L, 4, 5.25, 10.0),
        (&L, 2, 8.0, 12.0),
        (&PLUS, 4, 8.25, 14.0),
        (&U, 4, 11.25, 18.0),
        (&U, 2, 16.0, 16.0),
        (&RING5, 4, 24.0, 32.0),
        (&RING3, 2, 16.0, 16.0),
        (&CORNER, 4, 4.25, 10.0),
        (&CORNER, 1, 14.0, 16.0),
    ];
    for (rows, part, area, length) in known {
        let found = grown(&drawn(rows), pitch(), Length::inches(1, part), Corners::Square).unwrap();
        let (a, p) = measures(&found);
        assert!((a - area).abs() < 1e-9 && (p - length).abs() < 1e-9, "{rows:?} 1/{part}: {a} {p}");
    }
    let ring = grown(&drawn(&RING5), pitch(), Length::inches(1, 4), Corners::Square).unwrap();
    let holes: Vec<f64> = ring.iter().filter(|contour| contour.hole).map(Contour::mm2).collect();
    assert!(holes.len() == 1 && (holes[0] / 25.4 / 25.4 - 6.25).abs() < 1e-9);
    let u = grown(&drawn(&U), pitch(), Length::inches(1, 2), Corners::Square).unwrap();
    assert_eq!(u.iter().map(|contour| contour.places.len()).collect::<Vec<_>>(), [4]);
}

/// Source: the same with arcs, A + P·m + c·πm²/4 − r·m² and P + c·πm/2 − 2mr. Chords fall short of the arcs.
#[test]
fn round_offsets_come_near_the_areas_and_lengths_of_the_closed_form() {
    let known: [(&[&str], i64, [f64; 4]); 6] = [
        (&["#"], 2, [1.0, 4.0, 4.0, 0.0]),
        (&L, 4, [3.0, 8.0, 5.0, 1.0]),
        (&L, 2, [3.0, 8.0, 5.0, 1.0]),
        (&PLUS, 4, [5.0, 12.0, 8.0, 4.0]),
        (&U, 4, [7.0, 16.0, 6.0, 2.0]),
        (&RING5, 4, [16.0, 32.0, 4.0, 4.0]),
    ];
    for (rows, part, [area, perimeter, convex, reflex]) in known {
        let m = 1.0 / part as f64;
        let found = grown(&drawn(rows), pitch(), Length::inches(1, part), Corners::Round).unwrap();
        let (a, p) = measures(&found);
        let arcs = convex * PI * m * m / 4.0;
        let area = area + perimeter * m + arcs - reflex * m * m;
        let length = perimeter + convex * PI * m / 2.0 - 2.0 * m * reflex;
        assert!(a <= area + 1e-9 && a >= area - 0.01 * arcs, "{rows:?}: {a} for {area}");
        assert!(p <= length + 1e-9 && p >= length * 0.999, "{rows:?}: {p} for {length}");
    }
    let closed = grown(&drawn(&RING3), pitch(), Length::inches(1, 2), Corners::Round).unwrap();
    assert!(closed.iter().all(|contour| !contour.hole), "no hole is left");
    let u = measures(&grown(&drawn(&U), pitch(), Length::inches(1, 2), Corners::Round).unwrap());
    assert!((u.1 - 15.712_39).abs() < 0.01, "the slot closes without a seam: {}", u.1);
}

/// Growing what was shrunk stays inside; shrinking what was grown comes back (opening and closing, J. Serra 1982,
/// from memory).
#[test]
fn shrinking_takes_off_what_the_closed_form_says() {
    let known: [(&[&str], i64, f64); 5] = [
        (&["#"], 4, 0.25),
        (&L, 4, 3.0 - 2.0 + 0.25),
        (&PLUS, 4, 5.0 - 3.0 + 0.25),
        (&RING5, 4, 8.0),
        (&L, 2, 0.0),
    ];
    for (rows, part, area) in known {
        let found = shrunk(&drawn(rows), pitch(), Length::inches(1, part)).unwrap();
        let (a, _) = measures(&found);
        assert!((a - area).abs() < 1e-9, "{rows:?}: {a} for {area}");
    }
}

#[test]
fn growing_by_nothing_gives_the_outline() {
    for rows in [&L[..], &PLUS, &U, &RING5, &CORNER] {
        let found = grown(&drawn(rows), pitch(), Length::ZERO, Corners::Square).unwrap();
        let cells = rows.concat().matches('#').count();
        assert!((measures(&found).0 - cells as f64).abs() < 1e-9);
        assert!(
            (measures(&shrunk(&drawn(rows), pitch(), Length::ZERO).unwrap()).0 - cells as f64).abs() < 1e-9
        );
    }
    let first = grown(&drawn(&["#"]), pitch(), Length::ZERO, Corners::Square).unwrap()[0].places.clone();
    let inch = Length::inches(1, 1);
    for corner in [(0, 0), (0, 1), (1, 0), (1, 1)] {
        assert!(first.contains(&Place::new(inch * corner.0, inch * corner.1)));
    }
}

#[test]
fn a_margin_below_zero_is_refused() {
    let error = grown(&drawn(&L), pitch(), -Length::inches(1, 4), Corners::Square).unwrap_err();
    assert_eq!(error.code(), "VALUE-BAD");
    assert!(shrunk(&drawn(&L), pitch(), -Length::inches(1, 4)).is_err());
}

#[test]
fn the_largest_noise_grows_in_bounded_time() {
    // Noise from a seed (multiplicative hashing, D. Knuth, from memory).
    let mark = |place: u32| place.wrapping_mul(2_654_435_761) >> 17 & 1 == 1;
    let row = |row: u32| (0..512).map(|column| if mark(row * 512 + column) { '#' } else { '.' }).collect();
    let noise: Vec<String> = (0..512u32).map(row).collect();
    let rows: Vec<&str> = noise.iter().map(String::as_str).collect();
    let grid = drawn(&rows);
    let found = grown(&grid, Length::inches(3, 32).ratio(), Length::inches(1, 32), Corners::Square).unwrap();
    assert!(enclosed_mm2(&found) > grid.figure_cells() as f64 * 2.38125 * 2.38125);
}

/// Source: centroids of compound areas, worked by hand.
#[test]
fn figures_balance_at_their_centroids() {
    let known: [(&[&str], f64, f64); 5] = [
        (&["#"], 0.5, 0.5),
        (&L, 7.0 / 6.0, 5.0 / 6.0),
        (&PLUS, 1.5, 1.5),
        (&U, 23.0 / 14.0, 1.5),
        (&RING5, 2.5, 2.5),
    ];
    for (rows, row, column) in known {
        let Point { row: r, column: c } = centroid(&drawn(rows));
        assert!((r - row).abs() < 1e-12 && (c - column).abs() < 1e-12, "{rows:?}: {r} {c}");
    }
}

#[test]
fn one_hook_hangs_level_and_well_inside() {
    let found = hook(&drawn(&PLUS), 0.25).unwrap();
    assert!((found.column - 1.5).abs() < 1e-12 && (found.row - 0.25).abs() < 1e-12);
    let wide = hook(&drawn(&["..#..", "#####", "#####"]), 0.6).unwrap();
    assert!((wide.row - 1.6).abs() < 1e-12, "the upper cell is too narrow: {wide:?}");
    assert_eq!(hook(&drawn(&U), 0.25).map(|hook| hook.row), None, "above its centroid the figure is open");
}
