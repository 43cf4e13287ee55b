//! Edits of the shape: mirrored, rotated, cropped, padded, joined. Each gives a new grid.

use std::ops::Range;

use super::{Cell, Grid};
use crate::fault::{Error, Result};
use crate::palette::Palette;

/// Where one grid goes beside another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// To its right, tops in line.
    Right,
    /// Below it, left edges in line.
    Below,
}

/// Bare cells to add on each side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Padding {
    /// Columns on the left.
    pub left: usize,
    /// Rows above.
    pub top: usize,
    /// Columns on the right.
    pub right: usize,
    /// Rows below.
    pub bottom: usize,
}

impl Grid {
    /// Turns it round left to right.
    ///
    /// # Errors
    /// None in practice: the cells stay the same.
    pub fn mirrored(&self) -> Result<Self> {
        let cells = self.cells().chunks(self.columns()).flat_map(|row| row.iter().rev().copied());
        Self::new(self.rows(), self.columns(), cells.collect(), self.palette().clone())
    }

    /// Turns it clockwise by quarter turns, below zero the other way.
    ///
    /// # Errors
    /// None in practice: the cells stay the same.
    pub fn rotated(&self, quarter_turns: i64) -> Result<Self> {
        let (rows, columns) = (self.rows(), self.columns());
        let at = |row: usize, column: usize| self.cells()[row * columns + column];
        let over = |height: usize, width: usize, from: &dyn Fn(usize, usize) -> Cell| {
            let cells = (0..height * width).map(|place| from(place / width, place % width));
            Self::new(height, width, cells.collect(), self.palette().clone())
        };
        match quarter_turns.rem_euclid(4) {
            0 => Ok(self.clone()),
            1 => over(columns, rows, &|row, column| at(rows - 1 - column, row)),
            2 => over(rows, columns, &|row, column| at(rows - 1 - row, columns - 1 - column)),
            _ => over(columns, rows, &|row, column| at(column, columns - 1 - row)),
        }
    }

    /// Keeps some rows and columns; colours without cells stay in the palette.
    ///
    /// # Errors
    /// [`Error::Argument`] when they are not within the grid, [`Error::Grid`] when only bare cells are left.
    pub fn cropped(&self, rows: Range<usize>, columns: Range<usize>) -> Result<Self> {
        for (name, range, count) in [("rows", &rows, self.rows()), ("columns", &columns, self.columns())] {
            if range.start >= range.end || range.end > count {
                let must = format!("(first, end) with 0 ≤ first < end ≤ {count}");
                return Err(Error::Argument { name, must, got: format!("({}, {})", range.start, range.end) });
            }
        }
        let line = |row: usize| self.cells()[row * self.columns()..][columns.clone()].iter().copied();
        let cells = rows.clone().flat_map(line).collect();
        Self::new(rows.len(), columns.len(), cells, self.palette().clone())
    }

    /// Adds bare cells round it.
    ///
    /// # Errors
    /// [`Error::Grid`] when it would pass [`Grid::SIDE`].
    pub fn padded(&self, by: Padding) -> Result<Self> {
        let (rows, columns) = (self.rows(), self.columns());
        let whole =
            |before: usize, cells: usize, after: usize| before.saturating_add(cells).saturating_add(after);
        let size = (whole(by.top, rows, by.bottom), whole(by.left, columns, by.right));
        self.placed(size, (by.top, by.left))
    }

    /// Puts another grid beside it, with bare rows or columns of `gap` between; the colours of both are
    /// shared.
    ///
    /// # Errors
    /// [`Error::Grid`] when it would pass [`Grid::SIDE`], [`Error::Colours`] when there would be more than
    /// 64.
    pub fn joined(&self, other: &Self, side: Side, gap: usize) -> Result<Self> {
        let (down, across) = match side {
            Side::Right => (0, self.columns().saturating_add(gap)),
            Side::Below => (self.rows().saturating_add(gap), 0),
        };
        let rows = self.rows().max(down.saturating_add(other.rows()));
        let columns = self.columns().max(across.saturating_add(other.columns()));
        let (one, two) =
            (self.placed((rows, columns), (0, 0))?, other.placed((rows, columns), (down, across))?);
        let mut colours = self.palette().colours().to_vec();
        let mut place_of = Vec::new();
        for &colour in other.palette().colours() {
            let known = colours.iter().position(|&known| known == colour);
            place_of.push(known.unwrap_or(colours.len()));
            if known.is_none() {
                colours.push(colour);
            }
        }
        let palette = Palette::new(colours)?;
        let moved = |cell: Cell| cell.and_then(|place| u8::try_from(place_of[usize::from(place)]).ok());
        let cells = one.cells().iter().zip(two.cells()).map(|(&one, &two)| one.or(moved(two)));
        Self::new(rows, columns, cells.collect(), palette)
    }

    /// Gives a grid of another size with this one in it; the first cell stands at `(row, column)`.
    fn placed(&self, (rows, columns): (usize, usize), (row, column): (usize, usize)) -> Result<Self> {
        if rows.max(columns) > Self::SIDE {
            let what = format!("{rows} rows × {columns} columns; each is 1 to {}", Self::SIDE);
            return Err(Error::Grid { what });
        }
        let mut cells = vec![None; rows * columns];
        for (down, line) in self.cells().chunks(self.columns()).enumerate() {
            cells[(row + down) * columns + column..][..line.len()].copy_from_slice(line);
        }
        Self::new(rows, columns, cells, self.palette().clone())
    }
}
