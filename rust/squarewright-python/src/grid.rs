//! `squarewright.Grid`.

use std::hash::{Hash, Hasher};
use std::path::PathBuf;
use std::sync::Arc;

use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyTuple};
use squarewright::fault::Result;
use squarewright::grid::Grid;
use squarewright::output;
use squarewright::palette::Palette;

use crate::array::{self, Frozen};
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
#[derive(Debug, Clone)]
pub(crate) struct PyGrid {
    pub(crate) grid: Grid,
    pub(crate) origin: Arc<Origin>,
}

/// Where a grid came from; two grids with the same cells are equal all the same.
#[derive(Debug, Default)]
pub(crate) struct Origin {
    /// What is worth knowing about the picture and about how it became cells.
    pub(crate) warnings: Vec<String>,
    /// Where the picture was read from: never overwritten by what is made of the grid.
    pub(crate) path: Option<PathBuf>,
    pub(crate) is_pixelated: bool,
}

impl PyGrid {
    pub(crate) fn new(grid: Grid, origin: Origin) -> Self {
        Self { grid, origin: Arc::new(origin) }
    }

    /// Makes an edited grid, which comes from where this one did.
    pub(crate) fn edited(&self, edit: impl FnOnce(&Grid) -> Result<Grid>) -> PyResult<Self> {
        guard(|| edit(&self.grid)).map(|grid| Self { grid, origin: Arc::clone(&self.origin) })
    }
}

impl PartialEq for PyGrid {
    fn eq(&self, other: &Self) -> bool {
        self.grid == other.grid
    }
}

impl Hash for PyGrid {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.grid.hash(state);
    }
}

#[pymethods]
impl PyGrid {
    #[new]
    fn make(cells: &Bound<'_, PyAny>, palette: &Bound<'_, PyAny>) -> PyResult<Self> {
        let (rows, columns, numbers) = array::cells(cells)?;
        let colours = array::colours(palette)?;
        let grid = guard(|| Grid::from_numbers(rows, columns, &numbers, Palette::new(colours)?))?;
        Ok(Self::new(grid, Origin::default()))
    }

    /// The cells, int16 of shape (rows, columns), -1 for bare; read-only.
    #[getter]
    fn cells(&self) -> Frozen<'static> {
        let numbers = self.grid.cells().iter().map(|cell| cell.map_or(-1, i16::from));
        Frozen::int16(numbers, &[self.grid.rows(), self.grid.columns()])
    }

    /// The colours, uint8 of shape (n, 3), sRGB; read-only.
    #[getter]
    fn palette(&self) -> Frozen<'static> {
        let colours = self.grid.palette().colours();
        Frozen::uint8(colours.iter().flat_map(|colour| colour.0).collect(), &[colours.len(), 3])
    }

    /// The cells of each colour, int64 of shape (n,); read-only.
    #[getter]
    fn counts(&self) -> Frozen<'static> {
        let counts = self.grid.counts();
        let shape = [counts.len()];
        Frozen::int64(counts.into_iter(), &shape)
    }

    /// How many rows it has.
    #[getter]
    fn rows(&self) -> usize {
        self.grid.rows()
    }

    /// How many columns it has.
    #[getter]
    fn columns(&self) -> usize {
        self.grid.columns()
    }

    /// The colours in plain words.
    #[getter]
    fn names(&self) -> Vec<String> {
        self.grid.names()
    }

    /// The short name of each colour, as it stands in the cells of a chart.
    #[getter]
    fn codes(&self) -> Vec<String> {
        self.grid.codes()
    }

    /// Count out one row, as the counting pages of the book do.
    ///
    /// Parameters
    /// ----------
    /// row : int
    ///     The row, 0 to ``rows - 1``.
    ///
    /// Returns
    /// -------
    /// list of tuple of (str or None, int)
    ///     From left to right the code of each run of cells alike, None where they are bare, and how many they
    ///     are. The numbers add up to ``columns``.
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when there is no such row.
    ///
    /// Examples
    /// --------
    /// >>> Grid([[-1, -1, 0, 0, 0, 1]], ["#ff0000", "#0000ff"]).runs(0)
    /// [(None, 2), ('A1', 3), ('C1', 1)]
    fn runs(&self, row: isize) -> PyResult<Vec<(Option<String>, usize)>> {
        let runs = guard(|| self.grid.runs(row))?;
        let codes = self.grid.codes();
        let code = |index: u8| codes[usize::from(index)].clone();
        Ok(runs.into_iter().map(|run| (run.cell.map(code), run.cells)).collect())
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
        let (width, height, pixels) = guard(|| self.grid.rgba(scale))?;
        Ok(Frozen::uint8(pixels, &[height, width, 4]))
    }

    /// Its colours as for ``to_array()``: so ``numpy.asarray(grid)`` and ``imshow(grid)`` show the picture. The
    /// places in the palette are in ``cells``.
    #[pyo3(signature = (dtype = None, copy = None))]
    fn __array__<'py>(
        &self,
        py: Python<'py>,
        dtype: Option<&Bound<'py, PyAny>>,
        copy: Option<bool>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let numpy = py.import("numpy")?;
        if copy == Some(false) {
            // Such an array is always made anew; NumPy 2 asks for this answer.
            return Err(PyValueError::new_err("the colours of a grid cannot be had without a copy"));
        }
        let keywords = PyDict::new(py);
        keywords.set_item("dtype", dtype)?;
        numpy.getattr("array")?.call((self.to_array(1)?,), Some(&keywords))
    }

    /// What Pillow asks for in ``Image.fromarray``.
    #[getter]
    fn __array_interface__<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let (rows, columns) = (self.grid.rows(), self.grid.columns());
        let interface = PyDict::new(py);
        interface.set_item("version", 3)?;
        interface.set_item("shape", (rows, columns, 4))?;
        interface.set_item("typestr", "|u1")?;
        interface.set_item("strides", (columns * 4, 4, 1))?;
        interface.set_item("data", self.tobytes(py)?)?;
        Ok(interface)
    }

    /// Give the colours as bytes: red, green, blue and opacity of each cell, row by row.
    ///
    /// Returns
    /// -------
    /// bytes
    fn tobytes<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        let (_, _, pixels) = guard(|| self.grid.rgba(1))?;
        Ok(PyBytes::new(py, &pixels))
    }

    /// Draw it with matplotlib.
    ///
    /// Parameters
    /// ----------
    /// ax : matplotlib.axes.Axes, optional
    ///     Where to; by default a new one.
    /// lines : bool, default False
    ///     Whether lines between the cells are drawn.
    ///
    /// Returns
    /// -------
    /// matplotlib.axes.Axes
    ///     With columns and rows counted from 1, as on the chart; nothing is shown or saved.
    ///
    /// Raises
    /// ------
    /// PackageError
    ///     ``PACKAGE-MISSING`` when matplotlib is not installed.
    #[pyo3(signature = (ax = None, *, lines = false))]
    fn plot<'py>(
        slf: &Bound<'py, Self>,
        ax: Option<&Bound<'py, PyAny>>,
        lines: bool,
    ) -> PyResult<Bound<'py, PyAny>> {
        slf.py().import("squarewright.plotting")?.call_method1("plot", (slf, ax, lines))
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
        let (grid, scale) = (self.grid.clone(), pixels_a_cell(scale));
        let png = run(py, None, None, move |_| output::grid_png(&grid, scale))?;
        Ok(PyBytes::new(py, &png))
    }

    /// What you should know about how it was made; empty for a grid of your own. Edits keep it, and it plays no
    /// part when grids are compared.
    #[getter]
    fn warnings(&self) -> Vec<String> {
        self.origin.warnings.clone()
    }

    #[getter]
    fn _path(&self) -> Option<&PathBuf> {
        self.origin.path.as_ref()
    }

    fn _repr_png_<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        let scale = SHOWN / self.grid.rows().max(self.grid.columns());
        self.to_png(py, i64::try_from(scale.max(1)).unwrap_or(1))
    }

    fn __repr__(&self) -> String {
        let grid = &self.grid;
        let (rows, columns, colours) = (grid.rows(), grid.columns(), grid.palette().len());
        let plural = if colours == 1 { "" } else { "s" };
        format!(
            "Grid({rows} rows × {columns} columns, {colours} colour{plural}, {} cells)",
            grid.figure_cells()
        )
    }

    /// Gives the same cells with another origin.
    fn _from(&self, warnings: Vec<String>, path: Option<PathBuf>, is_pixelated: bool) -> Self {
        Self::new(self.grid.clone(), Origin { warnings, path, is_pixelated })
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let (py, Self { grid, origin }) = (slf.py(), slf.get());
        let number = |cell: &Option<u8>| cell.map_or(-1, i16::from);
        let row = |row: &[Option<u8>]| row.iter().map(number).collect();
        let cells: Vec<Vec<i16>> = grid.cells().chunks(grid.columns()).map(row).collect();
        let colours: Vec<String> = grid.palette().colours().iter().map(ToString::to_string).collect();
        let bare = (py.get_type::<Self>(), (cells, colours).into_pyobject(py)?);
        if origin.warnings.is_empty() && origin.path.is_none() && !origin.is_pixelated {
            return Ok((bare.0.into_any(), bare.1));
        }
        let told = ("_from", &origin.warnings, &origin.path, origin.is_pixelated);
        let from = py.import("operator")?.getattr("methodcaller")?.call1(told)?;
        Ok((from, (bare.0.call1(bare.1)?,).into_pyobject(py)?))
    }
}

/// Reads a scale; what is below zero counts as 0, which the core refuses.
fn pixels_a_cell(scale: i64) -> usize {
    usize::try_from(scale).unwrap_or(0)
}
