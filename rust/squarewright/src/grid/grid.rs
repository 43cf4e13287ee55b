//! Rows and columns of cells, each bare or of one colour of a palette.

use serde::{Deserialize, Serialize};

use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::palette::{Palette, codes, names};
use crate::picture::limits;

/// What a cell holds: a place in the palette, or none when the cell is bare.
pub type Cell = Option<u8>;

/// A grid of cells over a palette; it never changes.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct Grid {
    rows: usize,
    columns: usize,
    cells: Vec<Cell>,
    palette: Palette,
}

impl Grid {
    /// The most rows or columns that a grid may have.
    pub const SIDE: usize = 512;

    /// Makes a grid from its cells, row by row.
    ///
    /// # Errors
    /// [`Error::Grid`] when the shape is not 1 to [`Grid::SIDE`] a side, a cell names no colour of the
    /// palette, or every cell is bare.
    pub fn new(rows: usize, columns: usize, cells: Vec<Cell>, palette: Palette) -> Result<Self> {
        if rows == 0 || columns == 0 || rows > Self::SIDE || columns > Self::SIDE {
            let what = format!("{rows} rows × {columns} columns; each is 1 to {}", Self::SIDE);
            return Err(Error::Grid { what });
        }
        if cells.len() != rows * columns {
            let what = format!("{} cells for {rows} rows × {columns} columns", cells.len());
            return Err(Error::Grid { what });
        }
        let stray =
            cells.iter().position(|cell| cell.is_some_and(|index| usize::from(index) >= palette.len()));
        if let Some(place) = stray {
            let (row, column, index) = (place / columns, place % columns, cells[place].unwrap_or_default());
            let what =
                format!("cell row {row} column {column} is {index}, and the palette has {}", palette.len());
            return Err(Error::Grid { what });
        }
        if cells.iter().all(Option::is_none) {
            return Err(Error::Grid { what: "every cell is bare".into() });
        }
        Ok(Self { rows, columns, cells, palette })
    }

    /// Makes a grid from numbers, row by row: -1 for bare, else a place in the palette.
    ///
    /// # Errors
    /// [`Error::Grid`] as for [`Grid::new`].
    pub fn from_numbers(rows: usize, columns: usize, numbers: &[i16], palette: Palette) -> Result<Self> {
        let cells = numbers.iter().map(|&number| cell_from(number)).collect::<Result<_>>()?;
        Self::new(rows, columns, cells, palette)
    }

    /// Counts the rows.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// Counts the columns.
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// Gives the cells, row by row.
    pub fn cells(&self) -> &[Cell] {
        &self.cells
    }

    /// Gives the palette.
    pub fn palette(&self) -> &Palette {
        &self.palette
    }

    /// Gives one cell; outside the grid every cell is bare.
    pub fn cell(&self, row: isize, column: isize) -> Cell {
        let inside = |at: isize, count: usize| usize::try_from(at).ok().filter(|&at| at < count);
        let (row, column) = (inside(row, self.rows)?, inside(column, self.columns)?);
        self.cells[row * self.columns + column]
    }

    /// Gives the colour of one cell, if it is not bare.
    pub fn colour(&self, cell: Cell) -> Option<Rgb> {
        cell.map(|index| self.palette.colours()[usize::from(index)])
    }

    /// Counts the cells of each colour.
    pub fn counts(&self) -> Vec<usize> {
        let mut counts = vec![0; self.palette.len()];
        for index in self.cells.iter().flatten() {
            counts[usize::from(*index)] += 1;
        }
        counts
    }

    /// Counts the cells of the figure: those that are not bare.
    pub fn figure_cells(&self) -> usize {
        self.cells.iter().flatten().count()
    }

    /// Names the colours in plain words, each name once.
    pub fn names(&self) -> Vec<String> {
        names(self.palette.colours())
    }

    /// Gives each colour the short name that stands in its cells.
    pub fn codes(&self) -> Vec<String> {
        codes(self.palette.colours())
    }

    /// Draws the grid at `scale` pixels a cell, RGBA, bare cells transparent.
    ///
    /// # Errors
    /// [`Error::Argument`] when the scale is 0 or the picture would pass 32,768 pixels a side.
    pub fn rgba(&self, scale: usize) -> Result<(usize, usize, Vec<u8>)> {
        let (width, height) = (self.columns.saturating_mul(scale), self.rows.saturating_mul(scale));
        let pixels = width as u64 * height as u64;
        if scale == 0 || width.max(height) > limits::SIDE as usize || pixels > limits::PIXELS {
            let must = "1 or more pixels a cell, within 32768 pixels a side and 100 megapixels".into();
            return Err(Error::Argument { name: "scale", must, got: scale.to_string() });
        }
        let mut pixels = Vec::with_capacity(width * height * 4);
        for row in self.cells.chunks(self.columns) {
            let line: Vec<u8> =
                row.iter().flat_map(|&cell| std::iter::repeat_n(self.pixel(cell), scale)).flatten().collect();
            for _ in 0..scale {
                pixels.extend_from_slice(&line);
            }
        }
        Ok((width, height, pixels))
    }

    fn pixel(&self, cell: Cell) -> [u8; 4] {
        self.colour(cell).map_or([0; 4], |Rgb([r, g, b])| [r, g, b, 255])
    }
}

/// A grid as it stands in a file: cells as numbers, -1 for bare.
#[derive(Serialize, Deserialize)]
struct Written {
    rows: usize,
    columns: usize,
    palette: Palette,
    cells: Vec<Vec<i16>>,
}

impl From<Grid> for Written {
    fn from(grid: Grid) -> Self {
        let number = |cell: &Cell| cell.map_or(-1, i16::from);
        let cells = grid.cells.chunks(grid.columns).map(|row| row.iter().map(number).collect()).collect();
        Self { rows: grid.rows, columns: grid.columns, palette: grid.palette, cells }
    }
}

impl TryFrom<Written> for Grid {
    type Error = Error;
    fn try_from(written: Written) -> Result<Self> {
        let cells = written.cells.concat();
        let cells = cells.into_iter().map(cell_from).collect::<Result<_>>()?;
        Self::new(written.rows, written.columns, cells, written.palette)
    }
}

/// Reads a cell from its number, -1 for bare.
fn cell_from(number: i16) -> Result<Cell> {
    match number {
        -1 => Ok(None),
        _ => u8::try_from(number).map(Some).map_err(|_| Error::Grid { what: format!("a cell is {number}") }),
    }
}
