//! The outline cells: dark cells that draw the border of a figure and the borders inside it.
//!
//! A colour draws outlines when it is dark and most of its cells lie on the border or in lines of one or two
//! cells; then all of its cells on the border or in such lines are outline cells. A dark wing is none, as most
//! of its cells lie amid others. What is dark or a line is a matter of judgement: the maker can say otherwise.

use crate::colour::Lab;
use crate::grid::Grid;

/// Colours of at most this lightness can draw outlines.
const DARK: f64 = 42.0;
/// The widest line, in cells.
const WIDEST: usize = 2;
/// The share of the cells of a colour that lie on the border or in lines, from which on it draws outlines.
const MOST: f64 = 0.6;

/// Finds the outline cells, row by row.
pub fn outline_cells(grid: &Grid) -> Vec<bool> {
    let colours = grid.palette().colours();
    let dark: Vec<bool> = colours.iter().map(|&colour| Lab::from(colour).l <= DARK).collect();
    let is_dark = |place: usize| grid.cells()[place].is_some_and(|cell| dark[usize::from(cell)]);
    let mask: Vec<bool> = (0..grid.cells().len()).map(is_dark).collect();
    let amid = squares(&mask, grid.columns(), WIDEST + 1);
    let drawn: Vec<bool> =
        (0..mask.len()).map(|place| mask[place] && (!amid[place] || is_on_border(grid, place))).collect();
    let mut counts = vec![(0usize, 0usize); colours.len()];
    for (cell, &drawn) in grid.cells().iter().zip(&drawn) {
        if let Some(cell) = cell {
            let count = &mut counts[usize::from(*cell)];
            *count = (count.0 + usize::from(drawn), count.1 + 1);
        }
    }
    let draws = |cell: u8| {
        let (drawn, all) = counts[usize::from(cell)];
        drawn as f64 >= MOST * all as f64
    };
    let cells = grid.cells().iter().zip(&drawn);
    cells.map(|(cell, &drawn)| drawn && cell.is_some_and(draws)).collect()
}

/// Tells whether one of the eight cells around is bare or beyond the grid.
fn is_on_border(grid: &Grid, place: usize) -> bool {
    let (row, column) = (place / grid.columns(), place % grid.columns());
    if row == 0 || column == 0 || row + 1 == grid.rows() || column + 1 == grid.columns() {
        return true;
    }
    let around =
        (row - 1..=row + 1).flat_map(|row| (column - 1..=column + 1).map(move |column| (row, column)));
    around.into_iter().any(|(row, column)| grid.cells()[row * grid.columns() + column].is_none())
}

/// Marks the cells that lie in a full square of `side` cells (a morphological opening).
fn squares(mask: &[bool], columns: usize, side: usize) -> Vec<bool> {
    let rows = mask.len() / columns;
    let mut found = vec![false; mask.len()];
    for row in 0..(rows + 1).saturating_sub(side) {
        for column in 0..(columns + 1).saturating_sub(side) {
            let places = || {
                (row..row + side).flat_map(|row| (column..column + side).map(move |at| row * columns + at))
            };
            if places().all(|place| mask[place]) {
                places().for_each(|place| found[place] = true);
            }
        }
    }
    found
}
