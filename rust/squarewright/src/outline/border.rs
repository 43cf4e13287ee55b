//! The outline cells: dark cells that draw the border of a figure and the borders inside it.
//!
//! A colour draws outlines when it is dark and most of its cells lie on the border or in long lines of one or two
//! cells; then all of its cells on the border or in such lines, short ones too, are outline cells. A dark wing is
//! none, as most of its cells lie amid others, and a pupil alone is too short for a line. What is dark or a line
//! is a matter of judgement: the maker can say otherwise.

use super::body::Mask;
use crate::colour::Lab;
use crate::grid::Grid;

/// Colours of at most this lightness can draw outlines.
const DARK: f64 = 42.0;
/// The widest line, in cells.
const WIDEST: usize = 2;
/// Fewer dark cells in a row, inside the figure, are no line.
const SHORTEST: usize = 4;
/// The share of the cells of a colour that lie on the border or in lines, from which on it draws outlines.
const MOST: f64 = 0.6;

/// Finds the outline cells, row by row.
pub fn outline_cells(grid: &Grid) -> Vec<bool> {
    let colours = grid.palette().colours();
    let shades: Vec<bool> = colours.iter().map(|&colour| Lab::from(colour).l <= DARK).collect();
    let is_dark = |place: usize| grid.cells()[place].is_some_and(|cell| shades[usize::from(cell)]);
    let filled = (0..grid.cells().len()).map(is_dark).collect();
    let dark = Mask { rows: grid.rows(), columns: grid.columns(), filled };
    let amid = dark.opened(&dark.squares(), WIDEST + 1);
    let line = |place: usize| dark.filled[place] && (!amid[place] || is_on_border(grid, place));
    let drawn: Vec<bool> = (0..amid.len()).map(line).collect();
    let long = long(grid, &Mask { filled: drawn.clone(), ..dark.clone() });
    let mut counts = vec![(0usize, 0usize); colours.len()];
    for (cell, &long) in grid.cells().iter().zip(&long) {
        if let Some(cell) = cell {
            let count = &mut counts[usize::from(*cell)];
            *count = (count.0 + usize::from(long), count.1 + 1);
        }
    }
    let draws = |cell: u8| {
        let (long, all) = counts[usize::from(cell)];
        long as f64 >= MOST * all as f64
    };
    let cells = grid.cells().iter().zip(&drawn);
    cells.map(|(cell, &drawn)| drawn && cell.is_some_and(draws)).collect()
}

/// Leaves out what is too short for a line and lies amid other colours: a pupil, a nostril.
fn long(grid: &Grid, drawn: &Mask) -> Vec<bool> {
    let mut kept = vec![false; drawn.filled.len()];
    for area in drawn.joined() {
        if area.len() >= SHORTEST || area.iter().any(|&place| is_on_border(grid, place)) {
            for place in area {
                kept[place] = true;
            }
        }
    }
    kept
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
