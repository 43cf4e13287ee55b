//! The edits of `squarewright.Grid`; each gives a new grid.

use pyo3::conversion::FromPyObjectOwned;
use pyo3::prelude::*;
use squarewright::colour::Rgb;
use squarewright::grid::{Grid, Padding, Side};

use crate::array::{self};
use crate::failure::bad_argument;
use crate::grid::{Origin, PyGrid};

#[pymethods]
impl PyGrid {
    /// Merge colours that are hard to tell apart.
    ///
    /// Parameters
    /// ----------
    /// tolerance : float
    ///     The largest difference (CIEDE2000) of two colours that become one; 0 or more. The colour with
    ///     fewer cells goes.
    /// locked : sequence of int, optional
    ///     Places in the palette of colours that never go; two of them are never merged.
    ///
    /// Returns
    /// -------
    /// Grid
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when the tolerance is negative or not a number, or the palette has no such place.
    #[pyo3(signature = (tolerance, locked = None))]
    fn merged(&self, tolerance: f64, locked: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        let must = "a list of places in the palette";
        let locked = locked.map_or(Ok(Vec::new()), |value| extracted(value, "locked", must))?;
        self.edited(|grid| grid.merged(tolerance, &locked))
    }

    /// Give a colour's cells another colour.
    ///
    /// Parameters
    /// ----------
    /// index : int
    ///     The place of the colour in the palette.
    /// colour : str, tuple of int or None
    ///     ``"#rrggbb"`` or (r, g, b); None makes its cells bare. A colour that the palette already has takes
    ///     the cells over.
    ///
    /// Returns
    /// -------
    /// Grid
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when the palette has no such place, ``COLOUR-BAD`` when that is no colour.
    /// GridError
    ///     ``GRID-BAD`` when every cell would be bare.
    #[pyo3(signature = (index, colour))]
    fn replaced(&self, index: i64, colour: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        let colour: Option<Rgb> = colour.map(array::colour).transpose()?;
        let place = usize::try_from(index).map_err(|_| {
            let must = format!("0 to {}, a place in the palette", self.grid.palette().len() - 1);
            bad_argument("index", &must, index.to_string())
        })?;
        self.edited(|grid| grid.replaced(place, colour))
    }

    /// Cut away bare rows and columns at the edges.
    ///
    /// Returns
    /// -------
    /// Grid
    fn trimmed(&self) -> PyResult<Self> {
        self.edited(Grid::trimmed)
    }

    /// Paint some cells.
    ///
    /// Parameters
    /// ----------
    /// cells : sequence of (int, int)
    ///     The (row, column) of each.
    /// colour : str, tuple of int or None
    ///     ``"#rrggbb"`` or (r, g, b), added to the palette when it is new; None makes the cells bare.
    ///
    /// Returns
    /// -------
    /// Grid
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when a cell is outside the grid, ``COLOUR-BAD`` when that is no colour.
    /// GridError
    ///     ``COLOURS-RANGE`` for a 65th colour, ``GRID-BAD`` when every cell would be bare.
    #[pyo3(signature = (cells, colour))]
    fn painted(&self, cells: &Bound<'_, PyAny>, colour: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        let colour: Option<Rgb> = colour.map(array::colour).transpose()?;
        let places: Vec<(usize, usize)> = extracted(cells, "cells", "a list of (row, column)")?;
        self.edited(|grid| grid.painted(&places, colour))
    }

    /// Let small patches go over into what surrounds them.
    ///
    /// A patch takes the colour with which it shares most of its border, the smallest patch first. One that
    /// stands alone stays.
    ///
    /// Parameters
    /// ----------
    /// least : int
    ///     Patches of fewer cells go; 1 or more.
    /// accents : bool, default False
    ///     Whether small patches that clearly differ (CIEDE2000 of 25 or more) from all around go too: an eye.
    ///
    /// Returns
    /// -------
    /// Grid
    ///     With the same palette.
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when ``least`` is below 1.
    #[pyo3(signature = (least, *, accents = false))]
    fn absorbed(&self, least: &Bound<'_, PyAny>, accents: bool) -> PyResult<Self> {
        let least = extracted(least, "least", "1 cell or more")?;
        self.edited(|grid| grid.absorbed(least, accents))
    }

    /// Turn it round left to right.
    ///
    /// Returns
    /// -------
    /// Grid
    fn mirrored(&self) -> PyResult<Self> {
        self.edited(Grid::mirrored)
    }

    /// Turn it clockwise.
    ///
    /// Parameters
    /// ----------
    /// quarter_turns : int, default 1
    ///     By how many quarters of a turn; below 0 the other way.
    ///
    /// Returns
    /// -------
    /// Grid
    #[pyo3(signature = (quarter_turns = 1))]
    fn rotated(&self, quarter_turns: i64) -> PyResult<Self> {
        self.edited(|grid| grid.rotated(quarter_turns))
    }

    /// Keep some rows and columns.
    ///
    /// Parameters
    /// ----------
    /// rows, columns : tuple of int
    ///     The first one and the one after the last, counted from 0.
    ///
    /// Returns
    /// -------
    /// Grid
    ///     With the same palette.
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when they are not within the grid.
    /// GridError
    ///     ``GRID-BAD`` when every cell would be bare.
    fn cropped(&self, rows: &Bound<'_, PyAny>, columns: &Bound<'_, PyAny>) -> PyResult<Self> {
        let must = "(first, end), counted from 0";
        let (top, bottom): (usize, usize) = extracted(rows, "rows", must)?;
        let (left, right): (usize, usize) = extracted(columns, "columns", must)?;
        self.edited(|grid| grid.cropped(top..bottom, left..right))
    }

    /// Add bare cells round it.
    ///
    /// Parameters
    /// ----------
    /// left, top, right, bottom : int, default 0
    ///     How many columns or rows of them.
    ///
    /// Returns
    /// -------
    /// Grid
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for a count below 0.
    /// GridError
    ///     ``GRID-BAD`` when it would pass 512 cells a side.
    #[pyo3(signature = (*, left = 0, top = 0, right = 0, bottom = 0))]
    fn padded(&self, left: i64, top: i64, right: i64, bottom: i64) -> PyResult<Self> {
        let count = |value: i64, name: &'static str| {
            usize::try_from(value).map_err(|_| bad_argument(name, "0 or more", value.to_string()))
        };
        let (left, top) = (count(left, "left")?, count(top, "top")?);
        let (right, bottom) = (count(right, "right")?, count(bottom, "bottom")?);
        self.edited(|grid| grid.padded(Padding { left, top, right, bottom }))
    }

    /// Put another grid beside it; colours that both have are shared.
    ///
    /// Parameters
    /// ----------
    /// other : Grid
    /// side : str, default "right"
    ///     ``"right"`` with the tops in line, or ``"below"`` with the left edges in line.
    /// gap : int, default 0
    ///     How many bare columns or rows go between.
    ///
    /// Returns
    /// -------
    /// Grid
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for a side or a gap that there is not.
    /// GridError
    ///     ``GRID-BAD`` when it would pass 512 cells a side, ``COLOURS-RANGE`` for more than 64 colours.
    #[pyo3(signature = (other, side = "right", *, gap = 0))]
    fn joined(&self, other: &Self, side: &str, gap: i64) -> PyResult<Self> {
        let gap = usize::try_from(gap).map_err(|_| bad_argument("gap", "0 or more", gap.to_string()))?;
        let side = match side {
            "right" => Side::Right,
            "below" => Side::Below,
            _ => return Err(bad_argument("side", "\"right\" or \"below\"", format!("{side:?}"))),
        };
        let Self { grid, .. } = self.edited(|grid| grid.joined(&other.grid, side, gap))?;
        let (one, two) = (&self.origin, &other.origin);
        let new = two.warnings.iter().filter(|warning| !one.warnings.contains(warning));
        let origin = Origin {
            warnings: one.warnings.iter().chain(new).cloned().collect(),
            path: one.path.clone().or_else(|| two.path.clone()),
            is_pixelated: one.is_pixelated || two.is_pixelated,
        };
        Ok(Self::new(grid, origin))
    }
}

/// Reads a value of some kind, or says what it must be.
fn extracted<'py, T: FromPyObjectOwned<'py>>(
    value: &Bound<'py, PyAny>,
    name: &'static str,
    must: &str,
) -> PyResult<T> {
    value.extract().map_err(|_| bad_argument(name, must, array::shown(value)))
}
