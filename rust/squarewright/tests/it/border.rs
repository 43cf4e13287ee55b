//! Which cells draw the outline.

use squarewright::grid::Grid;
use squarewright::outline::outline_cells;
use squarewright::palette::Palette;

/// Reads a drawing: `.` is bare, `#` and `%` are dark, `o` and `+` are not.
fn drawn(rows: &[&str]) -> Grid {
    let palette = ["#1d2430", "#3a4250", "#8896a5", "#f6c915"].map(|code| code.parse().expect("a colour"));
    let cell = |letter: char| "#%o+".find(letter).and_then(|place| u8::try_from(place).ok());
    let cells = rows.iter().flat_map(|row| row.chars().map(cell)).collect();
    Grid::new(rows.len(), rows[0].len(), cells, Palette::new(palette.to_vec()).expect("a palette"))
        .expect("a grid")
}

fn found(rows: &[&str]) -> Vec<String> {
    let grid = drawn(rows);
    let marks = outline_cells(&grid);
    marks
        .chunks(grid.columns())
        .map(|row| row.iter().map(|&mark| if mark { 'x' } else { '.' }).collect())
        .collect()
}

/// Source of all below: common practice.
#[test]
fn two_dark_shades_draw_the_border_and_the_lines_inside() {
    let rows = ["..####..", ".#oooo#.", "#oo%%oo%", "#oooooo%", "#o%oo%o%", ".#oooo%.", "..%%%%.."];
    let marks = ["..xxxx..", ".x....x.", "x..xx..x", "x......x", "x.x..x.x", ".x....x.", "..xxxx.."];
    assert_eq!(found(&rows), marks);
}

#[test]
fn a_dark_wing_is_no_outline_and_neither_is_a_light_border() {
    let wing =
        ["########", "########", "########", "########", "########", "########", "########", "########"];
    assert!(!found(&wing).concat().contains('x'), "28 of 64 cells lie on its border");
    assert!(!found(&["++++", "+oo+", "+oo+", "++++"]).concat().contains('x'));
}

#[test]
fn a_line_two_cells_wide_is_a_line() {
    let rows =
        ["##########", "##########", "##oooooo##", "##oooooo##", "##oooooo##", "##########", "##########"];
    let marks = found(&rows);
    assert!(marks[1].chars().all(|mark| mark == 'x') && marks[3].starts_with("xx......xx"));
}

#[test]
fn turning_and_mirroring_the_figure_turns_its_outline() {
    let rows = ["..####..", ".#oo%o#.", "#oo%%oo%", "#oooooo%", "#o%oo%o.", ".#oooo%.", "..%%%%.."];
    let flipped: Vec<String> = rows.iter().map(|row| row.chars().rev().collect()).collect();
    let flipped: Vec<&str> = flipped.iter().map(String::as_str).collect();
    let back: Vec<String> = found(&flipped).iter().map(|row| row.chars().rev().collect()).collect();
    assert_eq!(found(&rows), back);
}

#[test]
fn a_pupil_amid_other_colours_is_no_line() {
    let eyes = ["oooooooo", "oo#oo#oo", "oo#oo#oo", "oooooooo", "oooooooo"];
    assert!(!found(&eyes).concat().contains('x'));
    let mouth = ["oooooooo", "o######o", "oooooooo", "oooooooo"];
    assert_eq!(found(&mouth)[1], ".xxxxxx.");
}
