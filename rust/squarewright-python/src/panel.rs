//! `squarewright.Panel`, `squarewright.fit` and what a fit is made of.

use pyo3::prelude::*;
use pyo3::types::{PyString, PyType};
use squarewright::length::{Length, Ruler};
use squarewright::panel::{self, Alternative, Fit, Fitting, Margins, Mark, Panel, Piece, Pitches, Size, Why};

use crate::array::shown;
use crate::failure::{Failure, bad_argument};
use crate::grid::PyGrid;
use crate::length::{PyLength, positive, whole};
use crate::watch::guard;

/// A board as you measured it.
///
/// Parameters
/// ----------
/// width, height : Length or str
///     Its sides, with their units: ``"12 in"``, ``"304.8 mm"``.
/// thickness : Length or str, optional
///     How thick it is.
/// diagonal : Length or str, optional
///     From the start corner to the far corner, which shows whether it is square.
///
/// Raises
/// ------
/// SizeError
///     ``SIZE-BAD`` when one of them is no length above zero.
///
/// Examples
/// --------
/// >>> Panel("12 in", "12 in", thickness="1/4 in").width
/// Length('12 in')
#[pyclass(name = "Panel", module = "squarewright", frozen, eq, hash)]
#[derive(Debug, PartialEq, Eq, Hash)]
pub(crate) struct PyPanel(pub(crate) Panel);

#[pymethods]
impl PyPanel {
    #[new]
    #[pyo3(signature = (width, height, thickness = None, diagonal = None))]
    fn new(
        width: &Bound<'_, PyAny>,
        height: &Bound<'_, PyAny>,
        thickness: Option<&Bound<'_, PyAny>>,
        diagonal: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let (width, height) = (whole(width, "panel width")?, whole(height, "panel height")?);
        let thickness = thickness.map(|value| whole(value, "panel thickness")).transpose()?;
        let diagonal = diagonal.map(|value| whole(value, "panel diagonal")).transpose()?;
        guard(|| {
            let panel = Panel::new(width, height)?;
            let panel = thickness.map_or(Ok(panel), |thickness| panel.with_thickness(thickness))?;
            diagonal.map_or(Ok(panel), |diagonal| panel.with_diagonal(diagonal))
        })
        .map(Self)
    }

    /// Its width.
    #[getter]
    fn width(&self) -> PyLength {
        self.0.width().into()
    }

    /// Its height.
    #[getter]
    fn height(&self) -> PyLength {
        self.0.height().into()
    }

    /// Its thickness, or None.
    #[getter]
    fn thickness(&self) -> Option<PyLength> {
        self.0.thickness().map(PyLength::from)
    }

    /// Its measured diagonal, or None.
    #[getter]
    fn diagonal(&self) -> Option<PyLength> {
        self.0.diagonal().map(PyLength::from)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        let more = |name: &str, length: Option<Length>| {
            length.map_or(String::new(), |length| format!(", {name}='{length}'"))
        };
        let (thickness, diagonal) =
            (more("thickness", self.0.thickness()), more("diagonal", self.0.diagonal()));
        format!("Panel('{}', '{}'{thickness}{diagonal})", self.0.width(), self.0.height())
    }

    fn __getnewargs__(&self) -> (PyLength, PyLength, Option<PyLength>, Option<PyLength>) {
        (self.width(), self.height(), self.thickness(), self.diagonal())
    }
}

/// A tick on an edge of a panel, measured from the start edge.
#[pyclass(name = "Mark", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyMark(Mark);

#[pymethods]
impl PyMark {
    /// The cell boundary: 0 is the first edge of the figure.
    #[getter]
    fn index(&self) -> usize {
        self.0.index
    }

    /// The exact distance from the start edge.
    #[getter]
    fn position(&self) -> PyLength {
        PyLength(self.0.position)
    }

    /// That distance as the ruler can show it.
    #[getter]
    fn rounded(&self) -> PyLength {
        self.0.rounded.into()
    }

    /// ``rounded`` less ``position``.
    #[getter]
    fn error(&self) -> PyLength {
        PyLength(self.0.error)
    }

    fn __repr__(&self) -> String {
        format!("Mark({} at {})", self.0.index, self.0.rounded)
    }
}

/// What stays free between the figure and the outer edges.
#[pyclass(name = "Margins", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyMargins(Margins);

#[pymethods]
impl PyMargins {
    /// Free at the left.
    #[getter]
    fn left(&self) -> PyLength {
        PyLength(self.0.left)
    }

    /// Free at the right.
    #[getter]
    fn right(&self) -> PyLength {
        PyLength(self.0.right)
    }

    /// Free at the top.
    #[getter]
    fn top(&self) -> PyLength {
        PyLength(self.0.top)
    }

    /// Free at the bottom.
    #[getter]
    fn bottom(&self) -> PyLength {
        PyLength(self.0.bottom)
    }

    fn __repr__(&self) -> String {
        let Margins { left, right, top, bottom } = self.0;
        format!("Margins(left {left}, right {right}, top {top}, bottom {bottom})")
    }
}

/// The part of the grid that lies on one panel.
#[pyclass(name = "FitPanel", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyFitPanel {
    piece: Piece,
    column_marks: Vec<Mark>,
    row_marks: Vec<Mark>,
}

impl PyFitPanel {
    fn new(fit: &Fit, piece: &Piece) -> Self {
        Self { piece: piece.clone(), column_marks: fit.column_marks(piece), row_marks: fit.row_marks(piece) }
    }
}

#[pymethods]
impl PyFitPanel {
    /// Its place from the left, from 0.
    #[getter]
    fn across(&self) -> usize {
        self.piece.across
    }

    /// Its place from the top, from 0.
    #[getter]
    fn down(&self) -> usize {
        self.piece.down
    }

    /// The columns on this panel, as (start, stop).
    #[getter]
    fn columns(&self) -> (usize, usize) {
        (self.piece.columns.start, self.piece.columns.end)
    }

    /// The rows on this panel, as (start, stop).
    #[getter]
    fn rows(&self) -> (usize, usize) {
        (self.piece.rows.start, self.piece.rows.end)
    }

    /// From its left edge to the first column.
    #[getter]
    fn left(&self) -> PyLength {
        PyLength(self.piece.left)
    }

    /// From its top edge to the first row.
    #[getter]
    fn top(&self) -> PyLength {
        PyLength(self.piece.top)
    }

    /// The marks along its top and bottom edges.
    #[getter]
    fn column_marks(&self) -> Vec<PyMark> {
        self.column_marks.iter().copied().map(PyMark).collect()
    }

    /// The marks along its left and right edges.
    #[getter]
    fn row_marks(&self) -> Vec<PyMark> {
        self.row_marks.iter().copied().map(PyMark).collect()
    }

    fn __repr__(&self) -> String {
        let Piece { across, down, columns, rows, .. } = &self.piece;
        format!("FitPanel(across {across}, down {down}, columns {columns:?}, rows {rows:?})")
    }
}

/// Another pitch and what it would give.
#[pyclass(name = "Alternative", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyAlternative(Alternative);

#[pymethods]
impl PyAlternative {
    /// Why it is listed: ``"fills panel"``, ``"scale ruler"`` or ``"metric"``.
    #[getter]
    fn why(&self) -> &'static str {
        match self.0.why {
            Why::FillsPanel => "fills panel",
            Why::ScaleRuler => "scale ruler",
            Why::Metric => "metric",
        }
    }

    /// The side of a cell.
    #[getter]
    fn pitch(&self) -> PyLength {
        PyLength(self.0.pitch)
    }

    /// Width of the figure.
    #[getter]
    fn width(&self) -> PyLength {
        PyLength(self.0.width)
    }

    /// Height of the figure.
    #[getter]
    fn height(&self) -> PyLength {
        PyLength(self.0.height)
    }

    /// The largest rounding of any mark.
    #[getter]
    fn worst(&self) -> PyLength {
        PyLength(self.0.worst)
    }

    fn __repr__(&self) -> String {
        let Alternative { pitch, width, height, .. } = &self.0;
        format!("Alternative({pitch} cells, {width} x {height}: {})", self.why())
    }
}

/// What a fit is made anew from: panel, ruler, columns and rows, pitch, panels across and down, margin.
type Placed = (PyPanel, String, (usize, usize), PyLength, (usize, usize), PyLength);

/// A grid placed on panels.
#[pyclass(name = "Fit", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyFit(pub(crate) Fit);

#[pymethods]
impl PyFit {
    /// The panel, as measured.
    #[getter]
    fn panel(&self) -> PyPanel {
        PyPanel(self.0.panel)
    }

    /// The ruler that the marks are rounded to.
    #[getter]
    fn ruler(&self) -> String {
        self.0.ruler.to_string()
    }

    /// Write a length as it is read off the ruler of this fit.
    ///
    /// Parameters
    /// ----------
    /// length : Length
    ///     The length; what the ruler cannot show exactly is rounded to 0.001 in or 0.01 mm.
    ///
    /// Returns
    /// -------
    /// str
    ///     Such as ``"3 5/16 in"`` or ``"20.83 mm"``.
    fn text(&self, length: PyRef<'_, PyLength>) -> String {
        self.0.ruler.text(length.0)
    }

    /// The side of a cell.
    #[getter]
    fn pitch(&self) -> PyLength {
        PyLength(self.0.pitch)
    }

    /// Width of the whole figure.
    #[getter]
    fn width(&self) -> PyLength {
        PyLength(self.0.width())
    }

    /// Height of the whole figure.
    #[getter]
    fn height(&self) -> PyLength {
        PyLength(self.0.height())
    }

    /// Columns of the grid.
    #[getter]
    fn columns(&self) -> usize {
        self.0.columns
    }

    /// Rows of the grid.
    #[getter]
    fn rows(&self) -> usize {
        self.0.rows
    }

    /// Panels side by side.
    #[getter]
    fn across(&self) -> usize {
        self.0.across
    }

    /// Panels one below the other.
    #[getter]
    fn down(&self) -> usize {
        self.0.down
    }

    /// The marks along the top and bottom edges of the first panel.
    #[getter]
    fn column_marks(&self) -> Vec<PyMark> {
        let first = self.0.pieces.first();
        first.map_or_else(Vec::new, |piece| self.0.column_marks(piece).into_iter().map(PyMark).collect())
    }

    /// The marks along the left and right edges of the first panel.
    #[getter]
    fn row_marks(&self) -> Vec<PyMark> {
        let first = self.0.pieces.first();
        first.map_or_else(Vec::new, |piece| self.0.row_marks(piece).into_iter().map(PyMark).collect())
    }

    /// What stays free around the whole figure.
    #[getter]
    fn margins(&self) -> PyMargins {
        PyMargins(self.0.margins)
    }

    /// The part of the grid on each panel, row by row.
    #[getter]
    fn panels(&self) -> Vec<PyFitPanel> {
        self.0.pieces.iter().map(|piece| PyFitPanel::new(&self.0, piece)).collect()
    }

    /// Other pitches worth a thought.
    #[getter]
    fn alternatives(&self) -> Vec<PyAlternative> {
        self.0.alternatives.iter().cloned().map(PyAlternative).collect()
    }

    /// Place a grid anew as it was placed before.
    #[classmethod]
    #[expect(clippy::too_many_arguments, reason = "one for each part of a fit")]
    fn _placed(
        _class: &Bound<'_, PyType>,
        panel: &Bound<'_, PyPanel>,
        ruler: &Bound<'_, PyAny>,
        cells: (usize, usize),
        pitch: &Bound<'_, PyLength>,
        panels: (usize, usize),
        margin: &Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let asked = Fitting {
            ruler: self::ruler(ruler)?,
            pitches: Pitches::Friendly,
            size: Size::Pitch(pitch.get().0),
            across: Some(panels.0),
            down: Some(panels.1),
            margin: whole(margin, "margin")?,
        };
        let panel = panel.get().0;
        guard(|| panel::fit(cells.0, cells.1, panel, &asked)).map(Self)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Placed)> {
        let fit = &self.0;
        let (cells, panels) = ((fit.columns, fit.rows), (fit.across, fit.down));
        let placed = (self.panel(), self.ruler(), cells, self.pitch(), panels, fit.margin.into());
        Ok((py.get_type::<Self>().getattr("_placed")?, placed))
    }

    fn __repr__(&self) -> String {
        let (fit, width, height) = (&self.0, self.0.width(), self.0.height());
        format!("Fit({} cells, {width} x {height} on {} × {} panels)", fit.pitch, fit.across, fit.down)
    }
}

/// The settings of a fit as Python gives them.
#[derive(Debug)]
pub(crate) struct Asked<'a, 'py> {
    pub(crate) ruler: &'a Bound<'py, PyAny>,
    pub(crate) pitches: Option<&'a Bound<'py, PyAny>>,
    pub(crate) pitch: Option<&'a Bound<'py, PyAny>>,
    pub(crate) width: Option<&'a Bound<'py, PyAny>>,
    pub(crate) height: Option<&'a Bound<'py, PyAny>>,
    pub(crate) across: Option<i64>,
    pub(crate) down: Option<i64>,
    pub(crate) margin: &'a Bound<'py, PyAny>,
}

impl Asked<'_, '_> {
    pub(crate) fn read(&self) -> PyResult<Fitting> {
        let sizes = [self.pitch, self.width, self.height].into_iter().flatten().count();
        if sizes > 1 {
            let got = format!("{sizes} of them");
            return Err(bad_argument("pitch, width, height", "given one at a time", got));
        }
        let size = match (self.pitch, self.width, self.height) {
            (Some(pitch), ..) => Size::Pitch(positive(pitch, "pitch")?),
            (_, Some(width), _) => Size::Width(positive(width, "width")?),
            (.., Some(height)) => Size::Height(positive(height, "height")?),
            _ => Size::Largest,
        };
        Ok(Fitting {
            ruler: ruler(self.ruler)?,
            pitches: self.pitches.map_or(Ok(Pitches::Friendly), pitches)?,
            size,
            across: count(self.across, "across")?,
            down: count(self.down, "down")?,
            margin: whole(self.margin, "margin")?,
        })
    }
}

fn ruler(value: &Bound<'_, PyAny>) -> PyResult<Ruler> {
    if let Ok(text) = value.cast::<PyString>() {
        return Ok(Ruler::parse(text.to_str()?).map_err(Failure::from)?);
    }
    let graduation = whole(value, "ruler")?;
    guard(|| Ruler::new(graduation))
}

fn pitches(value: &Bound<'_, PyAny>) -> PyResult<Pitches> {
    let must = "\"any\" or a list of lengths";
    if let Ok(text) = value.cast::<PyString>() {
        return match text.to_str()?.trim() {
            "any" => Ok(Pitches::Any),
            other => Err(bad_argument("pitches", must, format!("{other:?}"))),
        };
    }
    let items = value.try_iter().map_err(|_| bad_argument("pitches", must, shown(value)))?;
    Ok(Pitches::Listed(items.map(|item| positive(&item?, "pitches")).collect::<PyResult<_>>()?))
}

fn count(value: Option<i64>, name: &'static str) -> PyResult<Option<usize>> {
    let read = |value: i64| {
        usize::try_from(value).map_err(|_| bad_argument(name, "1 to 100 panels", value.to_string()))
    };
    value.map(read).transpose()
}

/// Place a grid on panels.
///
/// Parameters
/// ----------
/// grid : Grid
///     The cells.
/// panel : Panel
///     The board; every board of a figure has this size.
/// ruler : Length or str, default "1/16 in"
///     The space between two lines of your ruler, or ``"scale ruler"``.
/// pitches : "any" or list of Length or str, optional
///     The cell sizes to choose from: the largest that fits is taken. By default those of a scale ruler, or
///     whole and half millimetres with a metric ruler; ``"any"`` takes every multiple of the ruler's lines.
/// pitch, width, height : Length or str, optional
///     The size of a cell, or of the whole figure, instead. At most one of them.
/// across, down : int, optional
///     Panels side by side and one below the other, 1 to 100.
/// margin : Length or str, default "0 in"
///     What stays free along the outer edges.
///
/// Returns
/// -------
/// Fit
///
/// Raises
/// ------
/// SizeError
///     ``SIZE-FIT`` when the cells do not fit, ``SIZE-BAD`` for what is no length.
/// ArgumentError
///     ``VALUE-BAD`` for any other setting.
///
/// Examples
/// --------
/// >>> fit(grid, Panel("12 in", "12 in")).pitch  # doctest: +SKIP
/// Length('3/16 in')
#[pyfunction]
#[pyo3(signature = (grid, panel, ruler = None, pitches = None, pitch = None, width = None, height = None,
    across = None, down = None, margin = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn fit(
    py: Python<'_>,
    grid: &Bound<'_, PyGrid>,
    panel: &Bound<'_, PyPanel>,
    ruler: Option<&Bound<'_, PyAny>>,
    pitches: Option<&Bound<'_, PyAny>>,
    pitch: Option<&Bound<'_, PyAny>>,
    width: Option<&Bound<'_, PyAny>>,
    height: Option<&Bound<'_, PyAny>>,
    across: Option<i64>,
    down: Option<i64>,
    margin: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyFit> {
    let (sixteenth, none) = defaults(py);
    let (ruler, margin) = (ruler.unwrap_or(&sixteenth), margin.unwrap_or(&none));
    let asked = Asked { ruler, pitches, pitch, width, height, across, down, margin }.read()?;
    let (grid, panel) = (&grid.get().0, panel.get().0);
    guard(|| panel::fit(grid.columns(), grid.rows(), panel, &asked)).map(PyFit)
}

/// Gives the ruler and the margin that count when none is given.
pub(crate) fn defaults(py: Python<'_>) -> (Bound<'_, PyAny>, Bound<'_, PyAny>) {
    (PyString::new(py, "1/16 in").into_any(), PyString::new(py, "0 in").into_any())
}
