//! `squarewright.Grid`.

use pyo3::prelude::*;
use pyo3::types::PyBytes;
use squarewright::colour::Rgb;
use squarewright::grid::Grid;
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
    ///
    /// Returns
    /// -------
    /// Grid
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when the tolerance is negative or not a number.
    fn merged(&self, tolerance: f64) -> PyResult<Self> {
        guard(|| self.0.merged(tolerance)).map(Self)
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

/// Reads a scale; what is below zero counts as 0, which the core refuses.
fn pixels_a_cell(scale: i64) -> usize {
    usize::try_from(scale).unwrap_or(0)
}
