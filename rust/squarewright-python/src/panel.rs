//! `squarewright.Panel` and what a fit is made of.

use pyo3::prelude::*;
use pyo3::types::PyType;
use squarewright::length::Length;
use squarewright::panel::{Alternative, Fit, Margins, Mark, Panel, Piece, Why};

use crate::kept::{Kept, kept, restored};
use crate::length::{PyLength, whole};
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
pub(crate) struct PyMark(pub(crate) Mark);

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

    /// Put a mark where it was before.
    #[classmethod]
    fn _placed(
        _class: &Bound<'_, PyType>,
        index: usize,
        position: &PyLength,
        rounded: &Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let (position, rounded) = (position.0, whole(rounded, "rounded")?);
        Ok(Self(Mark { index, position, rounded, error: rounded.ratio() - position }))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (usize, PyLength, PyLength))> {
        Ok((py.get_type::<Self>().getattr("_placed")?, (self.index(), self.position(), self.rounded())))
    }
}

/// What stays free between the figure and the outer edges.
#[pyclass(name = "Margins", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyMargins(pub(crate) Margins);

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

    /// Leave free what was free before.
    #[classmethod]
    fn _placed(
        _class: &Bound<'_, PyType>,
        left: &PyLength,
        right: &PyLength,
        top: &PyLength,
        bottom: &PyLength,
    ) -> Self {
        Self(Margins { left: left.0, right: right.0, top: top.0, bottom: bottom.0 })
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Free)> {
        let free = (self.left(), self.right(), self.top(), self.bottom());
        Ok((py.get_type::<Self>().getattr("_placed")?, free))
    }
}

/// What stays free at the left, right, top and bottom.
type Free = (PyLength, PyLength, PyLength, PyLength);

/// The part of the grid that lies on one panel.
#[pyclass(name = "FitPanel", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyFitPanel {
    piece: Piece,
    column_marks: Vec<Mark>,
    row_marks: Vec<Mark>,
}

impl PyFitPanel {
    pub(crate) fn new(fit: &Fit, piece: &Piece) -> Self {
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

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &(&self.piece, &self.column_marks, &self.row_marks))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        let (piece, column_marks, row_marks) = restored(text)?;
        Ok(Self { piece, column_marks, row_marks })
    }
}

/// Another pitch and what it would give.
#[pyclass(name = "Alternative", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyAlternative(pub(crate) Alternative);

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

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &self.0)
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        restored(text).map(Self)
    }
}
