//! Rows as they are counted out: how many cells alike, and then how many of the next kind.

use super::{Cell, Grid};
use crate::fault::{Error, Result};

/// Cells alike, side by side in one row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Run {
    /// What each of them holds.
    pub cell: Cell,
    /// How many they are, 1 or more.
    pub cells: usize,
}

impl Grid {
    /// Counts out one row from left to right; two neighbouring runs never hold the same.
    ///
    /// # Errors
    /// [`Error::Argument`] when the grid has no such row.
    pub fn runs(&self, row: isize) -> Result<Vec<Run>> {
        let place = usize::try_from(row).ok();
        let Some(cells) = place.and_then(|place| self.cells().chunks(self.columns()).nth(place)) else {
            let must = format!("0 to {}", self.rows() - 1);
            return Err(Error::Argument { name: "row", must, got: row.to_string() });
        };
        let runs = cells.chunk_by(|one, next| one == next);
        Ok(runs.map(|run| Run { cell: run[0], cells: run.len() }).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::palette::Palette;

    fn grid() -> Grid {
        let palette = Palette::new(vec!["#204060".parse().unwrap(), "#f0e0b0".parse().unwrap()]).unwrap();
        Grid::from_numbers(2, 5, &[-1, -1, 0, 1, 1, 0, 0, 0, 0, 0], palette).unwrap()
    }

    #[test]
    fn a_row_is_counted_out_from_left_to_right() {
        let runs = grid().runs(0).unwrap();
        let counted: Vec<_> = runs.iter().map(|run| (run.cell, run.cells)).collect();
        assert_eq!(counted, [(None, 2), (Some(0), 1), (Some(1), 2)]);
        assert_eq!(grid().runs(1).unwrap(), [Run { cell: Some(0), cells: 5 }]);
    }

    #[test]
    fn a_row_that_is_not_there_is_an_error() {
        for row in [2, -1] {
            let error = grid().runs(row).unwrap_err().to_string();
            assert_eq!(error, format!("row must be 0 to 1, got {row}"));
        }
    }
}
