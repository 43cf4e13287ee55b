//! `squarewright.recover` and what it finds.

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyString, PyType};
use squarewright::grid::{self, Background, Hint, Reading, Recovering, Recovery, Region};
use squarewright::output;
use squarewright::picture::Picture;

use crate::array::{self, Frozen};
use crate::failure::bad_argument;
use crate::grid::{Origin, PyGrid};
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
        PyGrid::new(self.0.grid.clone(), Origin::default())
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

    /// What kind of copy the picture is: ``"native"``, ``"sharp"``, ``"smooth"`` or ``"lined"``.
    #[getter]
    fn kind(&self) -> String {
        self.0.kind.to_string()
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
#[derive(Debug, Clone)]
pub(crate) struct PyRecovery {
    pub(crate) recovery: Arc<Recovery>,
    pub(crate) picture: Arc<Picture>,
    pub(crate) region: Option<Region>,
    /// What is worth knowing about the picture itself.
    pub(crate) notes: Vec<String>,
    /// Where the picture was read from.
    pub(crate) path: Option<PathBuf>,
}

impl PartialEq for PyRecovery {
    fn eq(&self, other: &Self) -> bool {
        self.recovery == other.recovery
    }
}

#[pymethods]
impl PyRecovery {
    /// The grid, trimmed to the figure.
    #[getter]
    fn grid(&self) -> PyGrid {
        let origin = Origin { path: self.path.clone(), ..Origin::default() };
        PyGrid::new(self.recovery.best.grid.clone(), origin)
    }

    /// The colour of each cell, uint8 of shape (rows, columns, 4); read-only.
    #[getter]
    fn cell_colours(&self) -> Frozen<'static> {
        cell_colours(&self.recovery.best)
    }

    /// Width and height of a cell in pixels.
    #[getter]
    fn pitch_px(&self) -> (f64, f64) {
        self.recovery.best.pitch_px
    }

    /// The outer corner (x, y) of the first cell, in pixels from the top left of the picture.
    #[getter]
    fn offset_px(&self) -> (f64, f64) {
        self.recovery.best.offset_px
    }

    /// How sure it is, 0 to 1; under 0.5 the alternatives deserve a look.
    #[getter]
    fn confidence(&self) -> f64 {
        self.recovery.best.confidence
    }

    /// The other readings, best first.
    #[getter]
    fn alternatives(&self) -> Vec<PyReading> {
        self.recovery.alternatives.iter().cloned().map(PyReading).collect()
    }

    /// What kind of copy the picture is: ``"native"``, ``"sharp"``, ``"smooth"`` or ``"lined"``.
    #[getter]
    fn kind(&self) -> String {
        self.recovery.best.kind.to_string()
    }

    /// What you should know about it and about the picture.
    #[getter]
    fn warnings(&self) -> Vec<String> {
        self.notes.iter().cloned().chain(warnings(&self.recovery.best)).collect()
    }

    /// Draw the picture with the lattice that was found over it, to see whether it is right.
    ///
    /// Returns
    /// -------
    /// bytes
    ///     A PNG.
    fn to_png<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        let (picture, recovery) = (Arc::clone(&self.picture), Arc::clone(&self.recovery));
        let region = self.region;
        let bytes =
            run(py, None, None, move |watch| output::lattice_png(&picture, region, &recovery.best, watch))?;
        Ok(PyBytes::new(py, &bytes))
    }

    fn _repr_png_<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        self.to_png(py)
    }

    fn __repr__(&self) -> String {
        described("Recovery", &self.recovery.best)
    }

    /// Put a recovery together again from what was kept of it.
    #[classmethod]
    fn _kept(
        _class: &Bound<'_, PyType>,
        picture: &PyPicture,
        readings: &str,
        region: &str,
        notes: Vec<String>,
    ) -> PyResult<Self> {
        let (recovery, region) = serde_json::from_str(readings)
            .and_then(|recovery| Ok((recovery, serde_json::from_str(region)?)))
            .map_err(|error| bad_argument("readings", "what a recovery keeps", error.to_string()))?;
        let (recovery, path) = (Arc::new(recovery), picture.path.clone());
        Ok(Self { recovery, picture: Arc::clone(&picture.picture), region, notes, path })
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Kept)> {
        let picture = PyPicture {
            picture: Arc::clone(&self.picture),
            name: None,
            path: self.path.clone(),
            warnings: Vec::new(),
        };
        let readings = serde_json::to_string(&*self.recovery).expect("readings are numbers and words");
        let region = serde_json::to_string(&self.region).expect("a region is numbers");
        Ok((py.get_type::<Self>().getattr("_kept")?, (picture, readings, region, self.notes.clone())))
    }
}

/// What a recovery is put together from again: the picture, the readings, the region and the notes.
type Kept = (PyPicture, String, String, Vec<String>);

/// Recover the cells of pixel art from a copy of it.
///
/// Parameters
/// ----------
/// picture : Picture, path, bytes, file object, ndarray or Pillow image
///     An ndarray is uint8 of shape (height, width, 3) or (height, width, 4).
/// background : str or tuple of int, default "auto"
///     Which cells are no part of the figure besides the see-through ones: ``"auto"`` takes a flat colour
///     that surrounds it, ``"keep"`` none, ``"#rrggbb"`` or (r, g, b) that colour from the border inwards.
/// region : tuple, optional
///     The part to look at: (left, top, right, bottom) in pixels, or the four corners of a tilted chart,
///     clockwise from its top left, each (x, y). A tilted chart is brought upright first, and places in the
///     answer are those of the upright one.
/// hint : tuple of int or float, optional
///     What you know about the cells: (columns, rows) of the figure, or the pixels of one cell as a number.
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
/// Notes
/// -----
/// Any copy is read: enlarged by any factor, sharp or blended, squeezed, cropped, saved as JPEG, with lines
/// drawn between its cells, on a checkerboard or a flat ground. A JPEG is read best from its own file. A
/// confidence of 0.99 or more has been right in more than 99 of 100 test copies; a photo stays under 0.5.
///
/// Examples
/// --------
/// >>> recover("heron.png").grid  # doctest: +SKIP
/// Grid(60 rows × 40 columns, 11 colours, 694 cells)
#[pyfunction]
#[expect(clippy::too_many_arguments, reason = "keywords, not positions")]
#[pyo3(signature = (picture, *, background = None, region = None, hint = None, max_cells = 512, progress = None))]
pub(crate) fn recover(
    picture: &Bound<'_, PyAny>,
    background: Option<&Bound<'_, PyAny>>,
    region: Option<&Bound<'_, PyAny>>,
    hint: Option<&Bound<'_, PyAny>>,
    max_cells: i64,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyRecovery> {
    let background = background.map_or(Ok(Background::Auto), ground)?;
    let most_cells = usize::try_from(max_cells)
        .map_err(|_| bad_argument("max_cells", "1 to 512", max_cells.to_string()))?;
    let picture = picture_from(picture)?;
    let (region, hint) = (region.map(region_from).transpose()?, hint.map(hint_from).transpose()?);
    found(picture.py(), picture.get(), Recovering { background, region, hint, most_cells }, progress)
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
    let region = asked.region;
    let recovery = run(py, name, progress, move |watch| grid::recover(&pixels, &asked, watch))?;
    let (recovery, notes) = (Arc::new(recovery), picture.warnings.clone());
    let (picture, path) = (Arc::clone(&picture.picture), picture.path.clone());
    Ok(PyRecovery { recovery, picture, region, notes, path })
}

/// Reads a rectangle or four corners.
fn region_from(value: &Bound<'_, PyAny>) -> PyResult<Region> {
    if let Ok((left, top, right, bottom)) = value.extract::<(u32, u32, u32, u32)>() {
        return Ok(Region::Box { left, top, right, bottom });
    }
    let corners = value.len().is_ok_and(|count| count == 4).then(|| value.extract::<[(f64, f64); 4]>());
    corners.and_then(Result::ok).map(Region::Corners).ok_or_else(|| {
        bad_argument("region", "(left, top, right, bottom) or four corners (x, y)", array::shown(value))
    })
}

/// Reads a number of cells or a pitch.
fn hint_from(value: &Bound<'_, PyAny>) -> PyResult<Hint> {
    if let Ok((columns, rows)) = value.extract::<(usize, usize)>() {
        return Ok(Hint::Cells { columns, rows });
    }
    value.extract::<f64>().map(Hint::Pitch).map_err(|_| {
        let must = "(columns, rows), or the pixels of a cell as a number";
        bad_argument("hint", must, array::shown(value))
    })
}

/// Reads the background setting.
pub(crate) fn ground(value: &Bound<'_, PyAny>) -> PyResult<Background> {
    match value.cast::<PyString>().ok().map(ToString::to_string).as_deref() {
        Some("auto") => Ok(Background::Auto),
        Some("keep") => Ok(Background::Keep),
        _ => array::colour(value).map(Background::Colour),
    }
}
