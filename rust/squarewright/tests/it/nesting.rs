//! Many figures on few panels: how many it takes, and that they lie apart.

use squarewright::fault::{Error, Unwatched};
use squarewright::grid::Grid;
use squarewright::length::Length;
use squarewright::palette::Palette;
use squarewright::panel::Panel;
use squarewright::wall::{Figure, Nesting, Spacing, nest};

/// Reads a drawing: `#` is a cell, anything else is bare.
fn figure(rows: &[&str], pitch: Length) -> Figure {
    let palette = Palette::new(vec!["#336699".parse().expect("a colour")]).expect("a palette");
    let cells = rows.iter().flat_map(|row| row.chars().map(|letter| (letter == '#').then_some(0)));
    let grid = Grid::new(rows.len(), rows[0].len(), cells.collect(), palette).expect("a grid");
    Figure { grid, pitch: pitch.ratio() }
}

fn foot() -> Panel {
    Panel::new(Length::INCH * 12, Length::INCH * 12).expect("a panel")
}

fn nested(figures: Vec<Figure>, gap: Length) -> Nesting {
    let spacing = Spacing { gap, ..Spacing::default() };
    nest(figures, foot(), spacing, &Unwatched).expect("figures that fit")
}

/// Gives the squares of a panel's figures as units from the left and the top, with their side.
fn squares(nesting: &Nesting, panel: usize) -> Vec<(usize, i64, i64, i64)> {
    let mut squares = Vec::new();
    for placed in &nesting.panels[panel].figures {
        let figure = &nesting.figures[placed.figure];
        let grid = figure.lying(placed.quarter_turns).expect("a grid");
        let pitch = figure.pitch.whole().expect("a whole pitch").units();
        for (place, _) in grid.cells().iter().enumerate().filter(|(_, cell)| cell.is_some()) {
            let (row, column) = (place / grid.columns(), place % grid.columns());
            let along = |start: Length, count: usize| {
                start.units() + pitch * i64::try_from(count).expect("a few cells")
            };
            squares.push((placed.figure, along(placed.x, column), along(placed.y, row), pitch));
        }
    }
    squares
}

fn check_apart(nesting: &Nesting, gap: Length) {
    for panel in 0..nesting.panels.len() {
        let squares = squares(nesting, panel);
        for one in &squares {
            let end = one.1.max(one.2) + one.3;
            assert!(one.1.min(one.2) >= 0 && end <= Length::INCH.units() * 12, "{one:?} is off the panel");
            for two in squares.iter().filter(|two| two.0 > one.0) {
                let between = |a: i64, b: i64| (b - a - one.3).max(a - b - two.3);
                let apart = between(one.1, two.1).max(between(one.2, two.2));
                assert!(apart >= gap.units(), "{one:?} and {two:?}");
            }
        }
    }
}

/// Three squares of four: six of them fill 3 × 6 twice over, and none fills 3 × 3 (Golomb 1954).
#[test]
fn corners_interlock_where_their_boxes_would_not() {
    let ell = |inches: i64| figure(&["#.", "##"], Length::INCH * inches);
    for (inches, count, panels) in [(2, 12, 1), (2, 13, 2), (4, 2, 1), (4, 3, 2)] {
        let nesting = nested(vec![ell(inches); count], Length::ZERO);
        assert_eq!(nesting.panels.len(), panels, "{count} of {inches} in");
        assert!(nesting.is_proven());
        check_apart(&nesting, Length::ZERO);
    }
}

/// Source: reckoned by hand.
#[test]
fn the_gap_is_kept_all_round_and_what_is_left_stays_clear_of_it() {
    let gap = Length::inches(1, 4);
    let shapes = [&["##", "#."][..], &["###"], &["#.#", "###"], &["####", "#..#", "#..#", "####"], &["#"]];
    let figures: Vec<Figure> =
        shapes.iter().cycle().take(15).map(|rows| figure(rows, Length::inches(9, 8))).collect();
    let nesting = nested(figures, gap);
    check_apart(&nesting, gap);
    for (panel, left) in nesting.panels.iter().enumerate() {
        for offcut in &left.offcuts {
            for (_, x, y, side) in squares(&nesting, panel) {
                let area = offcut.area();
                let across = (area.left().units() - x - side).max(x - area.right().units());
                let down = (area.top().units() - y - side).max(y - area.bottom().units());
                assert!(across.max(down) >= gap.units(), "{offcut:?} is too near to {x}, {y}");
            }
        }
    }
}

#[test]
fn what_cannot_be_nested_says_why() {
    let large = vec![figure(&["#"], Length::INCH), figure(&["#", "#"], Length::INCH * 7)];
    let told = nest(large, foot(), Spacing::default(), &Unwatched).expect_err("it is too large");
    assert_eq!(told.code(), "SIZE-FIT");
    assert!(told.hint().contains("several panels first"), "{}", told.hint());
    let told = nest(Vec::new(), foot(), Spacing::default(), &Unwatched).expect_err("there are no figures");
    assert!(matches!(told, Error::Argument { name: "grids", .. }));
    let below = Spacing { gap: -Length::INCH, ..Spacing::default() };
    let told =
        nest(vec![figure(&["#"], Length::INCH)], foot(), below, &Unwatched).expect_err("a gap below 0");
    assert!(matches!(told, Error::Length { field: "gap", .. }));
}
