//! `squarewright.recover` and what it finds.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::PyString;
use squarewright::grid::{self, Background, Reading, Recovering, Recovery};

use crate::array::{self, Frozen};
use crate::failure::bad_argument;
use crate::grid::PyGrid;
use crate::picture::{PyPicture, picture as picture_from};
use crate::watch::run;

fn cell_colours(reading: &Reading) -> Frozen<'static> {
    let shape = [reading.grid.rows(), reading.grid.columns(), 4];
    Frozen::uint8(reading.cell_colours.concat(), &shape)
}

fn warnings(reading: &Reading) -> Vec<String> {
    reading.warnings.iter().map(ToString::to_string).collect()
}

fn described(kind: &str, reading: &Reading) -> String {
    let (grid, (width, height)) = (&reading.grid, reading.pitch_px);
    let (rows, columns) = (grid.rows(), grid.columns());
    format!(
        "{kind}({rows} rows × {columns} columns, {width:.2} × {height:.2} pixels a cell, confidence {:.2})",
        reading.confidence
    )
}

/// One way to read a picture as cells.
#[pyclass(name = "Reading", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyReading(Reading);

#[pymethods]
impl PyReading {
    /// The grid, trimmed to the figure.
    #[getter]
    fn grid(&self) -> PyGrid {
        PyGrid(self.0.grid.clone())
    }

    /// The colour of each cell, uint8 of shape (rows, columns, 4); read-only.
    #[getter]
    fn cell_colours(&self) -> Frozen<'static> {
        cell_colours(&self.0)
    }

    /// Width and height of a cell in pixels.
    #[getter]
    fn pitch_px(&self) -> (f64, f64) {
        self.0.pitch_px
    }

    /// The outer corner (x, y) of the first cell, in pixels from the top left of the picture.
    #[getter]
    fn offset_px(&self) -> (f64, f64) {
        self.0.offset_px
    }

    /// How sure it is, 0 to 1.
    #[getter]
    fn confidence(&self) -> f64 {
        self.0.confidence
    }

    /// What you should know about it.
    #[getter]
    fn warnings(&self) -> Vec<String> {
        warnings(&self.0)
    }

    /// Give the grid of this reading.
    ///
    /// Returns
    /// -------
    /// Grid
    fn to_grid(&self) -> PyGrid {
        self.grid()
    }

    fn __repr__(&self) -> String {
        described("Reading", &self.0)
    }
}

/// The best reading of a picture as cells, and the others worth a look.
#[pyclass(name = "Recovery", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyRecovery(
    pub(crate) Arc<Recovery>,
    /// What is worth knowing about the picture itself.
    pub(crate) Vec<String>,
);

#[pymethods]
impl PyRecovery {
    /// The grid, trimmed to the figure.
    #[getter]
    fn grid(&self) -> PyGrid {
        PyGrid(self.0.best.grid.clone())
    }

    /// The colour of each cell, uint8 of shape (rows, columns, 4); read-only.
    #[getter]
    fn cell_colours(&self) -> Frozen<'static> {
        cell_colours(&self.0.best)
    }

    /// Width and height of a cell in pixels.
    #[getter]
    fn pitch_px(&self) -> (f64, f64) {
        self.0.best.pitch_px
    }

    /// The outer corner (x, y) of the first cell, in pixels from the top left of the picture.
    #[getter]
    fn offset_px(&self) -> (f64, f64) {
        self.0.best.offset_px
    }

    /// How sure it is, 0 to 1; under 0.5 the alternatives deserve a look.
    #[getter]
    fn confidence(&self) -> f64 {
        self.0.best.confidence
    }

    /// The other readings, best first.
    #[getter]
    fn alternatives(&self) -> Vec<PyReading> {
        self.0.alternatives.iter().cloned().map(PyReading).collect()
    }

    /// What you should know about it and about the picture.
    #[getter]
    fn warnings(&self) -> Vec<String> {
        self.1.iter().cloned().chain(warnings(&self.0.best)).collect()
    }

    fn __repr__(&self) -> String {
        described("Recovery", &self.0.best)
    }
}

/// Recover the cells of pixel art from a copy of it.
///
/// Parameters
/// ----------
/// picture : Picture, path, bytes, file object, ndarray or Pillow image
///     An ndarray is uint8 of shape (height, width, 3) or (height, width, 4).
/// background : str or tuple of int, default "auto"
///     Which cells are no part of the figure besides the see-through ones: ``"auto"`` takes a flat colour
///     that surrounds it, ``"keep"`` none, ``"#rrggbb"`` or (r, g, b) that colour from the border inwards.
/// max_cells : int, default 512
///     The most cells a side, 1 to 512.
/// progress : callable, optional
///     Called with the share that is done, 0 to 1.
///
/// Returns
/// -------
/// Recovery
///
/// Raises
/// ------
/// PictureError
///     When the picture cannot be used.
/// GridError
///     ``GRID-NONE`` when no grid explains the picture.
/// ArgumentError
///     ``VALUE-BAD`` or ``COLOUR-BAD`` for a setting.
///
/// Examples
/// --------
/// >>> recover("heron.png").grid  # doctest: +SKIP
/// Grid(60 rows × 40 columns, 11 colours, 694 cells)
#[pyfunction]
#[pyo3(signature = (picture, *, background = None, max_cells = 512, progress = None))]
pub(crate) fn recover(
    picture: &Bound<'_, PyAny>,
    background: Option<&Bound<'_, PyAny>>,
    max_cells: i64,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyRecovery> {
    let background = background.map_or(Ok(Background::Auto), ground)?;
    let most_cells = usize::try_from(max_cells)
        .map_err(|_| bad_argument("max_cells", "1 to 512", max_cells.to_string()))?;
    let picture = picture_from(picture)?;
    found(picture.py(), picture.get(), Recovering { background, most_cells }, progress)
}

/// Recovers a picture that is already at hand.
pub(crate) fn found(
    py: Python<'_>,
    picture: &PyPicture,
    asked: Recovering,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyRecovery> {
    let pixels = Arc::clone(&picture.picture);
    let name = picture.name.as_deref();
    let recovery = run(py, name, progress, move |watch| grid::recover(&pixels, &asked, watch))?;
    Ok(PyRecovery(Arc::new(recovery), picture.warnings.clone()))
}

/// Reads the background setting.
pub(crate) fn ground(value: &Bound<'_, PyAny>) -> PyResult<Background> {
    match value.cast::<PyString>().ok().map(ToString::to_string).as_deref() {
        Some("auto") => Ok(Background::Auto),
        Some("keep") => Ok(Background::Keep),
        _ => array::colour(value).map(Background::Colour),
    }
}
