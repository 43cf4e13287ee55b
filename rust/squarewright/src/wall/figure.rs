//! A figure as it is cut out of its panel: its cells, close round, in any of four turns.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use crate::fault::Result;
use crate::grid::Grid;
use crate::length::Ratio;

/// A figure that wants a place on a panel.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Figure {
    /// Its cells.
    pub grid: Grid,
    /// The side of a cell.
    pub pitch: Ratio,
}

impl Figure {
    /// Gives the cells inside the smallest box that holds them, as they lie after quarter turns clockwise.
    ///
    /// # Errors
    /// None in practice: a grid has cells, and cells stay cells.
    pub fn lying(&self, quarter_turns: u8) -> Result<Grid> {
        let (rows, columns) = self.close();
        self.grid.cropped(rows, columns)?.rotated(quarter_turns.into())
    }

    /// Gives the rows and the columns of the smallest box that holds its cells.
    pub(super) fn close(&self) -> (Range<usize>, Range<usize>) {
        close(&self.grid)
    }

    /// Tells whether another figure is cut out alike, whatever its colours.
    pub(super) fn is_cut_like(&self, other: &Self) -> bool {
        Shape::new(self) == Shape::new(other)
    }
}

/// Gives the rows and the columns from the first to the last that are not all bare.
fn close(grid: &Grid) -> (Range<usize>, Range<usize>) {
    let filled = |row: usize, column: usize| grid.cells()[row * grid.columns() + column].is_some();
    let row = |row: &usize| (0..grid.columns()).any(|column| filled(*row, column));
    let column = |column: &usize| (0..grid.rows()).any(|row| filled(row, *column));
    let span =
        |first: Option<usize>, last: Option<usize>| first.unwrap_or(0)..last.map_or(0, |last| last + 1);
    let (rows, columns) = (0..grid.rows(), 0..grid.columns());
    (
        span(rows.clone().find(row), rows.rev().find(row)),
        span(columns.clone().find(column), columns.rev().find(column)),
    )
}

/// A run of neighbouring places in a row: where it begins, and the first place after it.
pub(super) type Run = (usize, usize);

/// The cells of a figure inside the smallest box that holds them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Shape {
    pub(super) pitch: Ratio,
    /// The runs of cells in each row.
    pub(super) rows: Vec<Vec<Run>>,
    pub(super) columns: usize,
}

impl Shape {
    pub(super) fn new(figure: &Figure) -> Self {
        let (grid, (rows, columns)) = (&figure.grid, close(&figure.grid));
        let width = columns.len();
        let filled = |row: usize, column: usize| grid.cells()[row * grid.columns() + column].is_some();
        let rows = rows.map(|row| runs(width, |column| filled(row, columns.start + column))).collect();
        Self { pitch: figure.pitch, rows, columns: width }
    }

    /// Gives the shape after a quarter turn clockwise.
    pub(super) fn turned(&self) -> Self {
        let height = self.rows.len();
        let mut filled = vec![false; height * self.columns];
        for (row, runs) in self.rows.iter().enumerate() {
            for column in runs.iter().flat_map(|&(from, to)| from..to) {
                filled[column * height + height - 1 - row] = true;
            }
        }
        let rows = filled.chunks(height).map(|row| runs(height, |column| row[column])).collect();
        Self { pitch: self.pitch, rows, columns: height }
    }

    /// Gives the different shapes that quarter turns make, each with the fewest of them.
    pub(super) fn turns(&self, turning: bool) -> Vec<(u8, Self)> {
        let mut turns = vec![(0, self.clone())];
        for count in 1..4 {
            let next = turns.last().map_or_else(|| self.clone(), |(_, last)| last.clone()).turned();
            if !turning || turns.iter().any(|(_, shape)| *shape == next) {
                break;
            }
            turns.push((count, next));
        }
        turns
    }

    pub(super) fn width(&self) -> Ratio {
        self.pitch.times(self.columns)
    }

    pub(super) fn height(&self) -> Ratio {
        self.pitch.times(self.rows.len())
    }

    pub(super) fn cells(&self) -> usize {
        self.rows.iter().flatten().map(|(from, to)| to - from).sum()
    }

    /// Gives every distance in cells, from the left or the top, at which an edge lies.
    pub(super) fn edges(&self) -> impl Iterator<Item = usize> + '_ {
        let upright = self.rows.iter().flatten().flat_map(|&(from, to)| [from, to]);
        let level = (1..self.rows.len()).filter(|&row| self.rows[row] != self.rows[row - 1]);
        upright.chain(level).chain([self.columns, self.rows.len()])
    }
}

fn runs(width: usize, filled: impl Fn(usize) -> bool) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for column in (0..width).filter(|&column| filled(column)) {
        match runs.last_mut() {
            Some((_, end)) if *end == column => *end += 1,
            _ => runs.push((column, column + 1)),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;

    fn shape(rows: &[&str]) -> Shape {
        let columns = rows[0].len();
        let rows = rows.iter().map(|row| runs(columns, |column| row.as_bytes()[column] == b'#')).collect();
        Shape { pitch: Length::INCH.ratio(), rows, columns }
    }

    #[test]
    fn a_quarter_turn_is_clockwise_and_four_of_them_none() {
        // source: common practice, drawn by hand
        let flag = shape(&["##", "#.", "#."]);
        assert_eq!(flag.turned(), shape(&["###", "..#"]));
        let turns = flag.turns(true);
        assert_eq!(turns.len(), 4);
        assert_eq!(turns[3].1.turned(), flag);
        assert_eq!(flag.turns(false).len(), 1);
    }

    #[test]
    fn turns_that_look_alike_count_once() {
        assert_eq!(shape(&["##", "##"]).turns(true).len(), 1);
        assert_eq!(shape(&["###"]).turns(true).len(), 2);
        assert_eq!(shape(&[".##", "##."]).turns(true).len(), 2);
    }
}
