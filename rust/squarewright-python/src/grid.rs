//! `squarewright.Grid`.

use pyo3::conversion::FromPyObjectOwned;
use pyo3::prelude::*;
use pyo3::types::PyBytes;
use squarewright::colour::Rgb;
use squarewright::grid::{Grid, Padding, Side};
use squarewright::output;
use squarewright::palette::Palette;

use crate::array::{self, Frozen};
use crate::failure::bad_argument;
use crate::watch::{guard, run};

/// Pixels along the longer side of the picture that a notebook shows.
const SHOWN: usize = 480;

/// Rows and columns of cells, each bare or of one colour of a palette; it never changes.
///
/// Parameters
/// ----------
/// cells : array_like of int, shape (rows, columns)
///     For each cell its place in the palette, -1 when it is bare. 1 to 512 a side.
/// palette : array_like of uint8, shape (n, 3), or list of str
///     The 1 to 64 colours, as sRGB or as ``"#rrggbb"``, all different.
///
/// Raises
/// ------
/// GridError
///     ``GRID-BAD`` when cells and palette do not make a grid, ``COLOURS-RANGE`` for too many colours.
/// ArgumentError
///     ``COLOUR-BAD`` when a colour of the palette is none.
///
/// Examples
/// --------
/// >>> Grid([[0, -1], [0, 1]], ["#ff0000", "#0000ff"])
/// Grid(2 rows × 2 columns, 2 colours, 3 cells)
#[pyclass(name = "Grid", module = "squarewright", frozen, eq, hash)]
#[derive(Debug, PartialEq, Eq, Hash)]
pub(crate) struct PyGrid(pub(crate) Grid);

#[pymethods]
impl PyGrid {
    #[new]
    fn new(cells: &Bound<'_, PyAny>, palette: &Bound<'_, PyAny>) -> PyResult<Self> {
        let (rows, columns, numbers) = array::cells(cells)?;
        let colours = array::colours(palette)?;
        guard(|| Grid::from_numbers(rows, columns, &numbers, Palette::new(colours)?)).map(Self)
    }

    /// The cells, int16 of shape (rows, columns), -1 for bare; read-only.
    #[getter]
    fn cells(&self) -> Frozen<'static> {
        let numbers = self.0.cells().iter().map(|cell| cell.map_or(-1, i16::from));
        Frozen::int16(numbers, &[self.0.rows(), self.0.columns()])
    }

    /// The colours, uint8 of shape (n, 3), sRGB; read-only.
    #[getter]
    fn palette(&self) -> Frozen<'static> {
        let colours = self.0.palette().colours();
        Frozen::uint8(colours.iter().flat_map(|colour| colour.0).collect(), &[colours.len(), 3])
    }

    /// The cells of each colour, int64 of shape (n,); read-only.
    #[getter]
    fn counts(&self) -> Frozen<'static> {
        let counts = self.0.counts();
        let shape = [counts.len()];
        Frozen::int64(counts.into_iter(), &shape)
    }

    /// How many rows it has.
    #[getter]
    fn rows(&self) -> usize {
        self.0.rows()
    }

    /// How many columns it has.
    #[getter]
    fn columns(&self) -> usize {
        self.0.columns()
    }

    /// The colours in plain words.
    #[getter]
    fn names(&self) -> Vec<String> {
        self.0.names()
    }

    /// The short name of each colour, as it stands in the cells of a chart.
    #[getter]
    fn codes(&self) -> Vec<String> {
        self.0.codes()
    }

    /// Draw the grid as an array.
    ///
    /// Parameters
    /// ----------
    /// scale : int, default 1
    ///     Pixels a cell, 1 or more.
    ///
    /// Returns
    /// -------
    /// ndarray of uint8, shape (rows * scale, columns * scale, 4)
    ///     Red, green, blue and opacity; bare cells are transparent. Read-only.
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when the scale is out of range.
    #[pyo3(signature = (scale = 1))]
    fn to_array(&self, scale: i64) -> PyResult<Frozen<'static>> {
        let scale = pixels_a_cell(scale);
        let (width, height, pixels) = guard(|| self.0.rgba(scale))?;
        Ok(Frozen::uint8(pixels, &[height, width, 4]))
    }

    /// Draw the grid as PNG.
    ///
    /// Parameters
    /// ----------
    /// scale : int, default 8
    ///     Pixels a cell, 1 or more.
    ///
    /// Returns
    /// -------
    /// bytes
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when the scale is out of range.
    #[pyo3(signature = (scale = 8))]
    fn to_png<'py>(&self, py: Python<'py>, scale: i64) -> PyResult<Bound<'py, PyBytes>> {
        let (grid, scale) = (self.0.clone(), pixels_a_cell(scale));
        let png = run(py, None, None, move |_| output::grid_png(&grid, scale))?;
        Ok(PyBytes::new(py, &png))
    }

    fn _repr_png_<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        let scale = SHOWN / self.0.rows().max(self.0.columns());
        self.to_png(py, i64::try_from(scale.max(1)).unwrap_or(1))
    }

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
        guard(|| self.0.merged(tolerance, &locked)).map(Self)
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
            let must = format!("0 to {}, a place in the palette", self.0.palette().len() - 1);
            bad_argument("index", &must, index.to_string())
        })?;
        guard(|| self.0.replaced(place, colour)).map(Self)
    }

    /// Cut away bare rows and columns at the edges.
    ///
    /// Returns
    /// -------
    /// Grid
    fn trimmed(&self) -> PyResult<Self> {
        guard(|| self.0.trimmed()).map(Self)
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
        guard(|| self.0.painted(&places, colour)).map(Self)
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
        guard(|| self.0.absorbed(least, accents)).map(Self)
    }

    /// Turn it round left to right.
    ///
    /// Returns
    /// -------
    /// Grid
    fn mirrored(&self) -> PyResult<Self> {
        guard(|| self.0.mirrored()).map(Self)
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
        guard(|| self.0.rotated(quarter_turns)).map(Self)
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
        guard(|| self.0.cropped(top..bottom, left..right)).map(Self)
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
        guard(|| self.0.padded(Padding { left, top, right, bottom })).map(Self)
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
        guard(|| self.0.joined(&other.0, side, gap)).map(Self)
    }

    fn __repr__(&self) -> String {
        let grid = &self.0;
        let (rows, columns, colours) = (grid.rows(), grid.columns(), grid.palette().len());
        let plural = if colours == 1 { "" } else { "s" };
        format!(
            "Grid({rows} rows × {columns} columns, {colours} colour{plural}, {} cells)",
            grid.figure_cells()
        )
    }

    fn __getnewargs__(&self) -> (Vec<Vec<i16>>, Vec<String>) {
        let number = |cell: &Option<u8>| cell.map_or(-1, i16::from);
        let cells = self.0.cells().chunks(self.0.columns()).map(|row| row.iter().map(number).collect());
        (cells.collect(), self.0.palette().colours().iter().map(ToString::to_string).collect())
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

/// Reads a scale; what is below zero counts as 0, which the core refuses.
fn pixels_a_cell(scale: i64) -> usize {
    usize::try_from(scale).unwrap_or(0)
}
