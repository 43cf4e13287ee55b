//! `squarewright.Fit` and `squarewright.fit`.

use pyo3::prelude::*;
use pyo3::types::{PyString, PyType};
use squarewright::length::{Length, Ruler};
use squarewright::outline::placed;
use squarewright::panel::{self, Fit, Fitting, Pitches, Size};

use crate::array::shown;
use crate::failure::{Failure, bad_argument};
use crate::grid::PyGrid;
use crate::length::{PyLength, positive, whole};
use crate::panel::{PyAlternative, PyFitPanel, PyMargins, PyMark, PyPanel};
use crate::watch::guard;

/// The counts of columns and rows after which seams lie.
type Seams = (Vec<usize>, Vec<usize>);
/// What a fit is made anew from: panel, ruler, columns and rows, pitch, seams, margin.
type Placed = (PyPanel, String, (usize, usize), PyLength, Seams, PyLength);

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

    /// The upright seams between panels, each by the columns to its left.
    #[getter]
    fn column_seams(&self) -> Vec<usize> {
        self.0.column_seams()
    }

    /// The level seams between panels, each by the rows above it.
    #[getter]
    fn row_seams(&self) -> Vec<usize> {
        self.0.row_seams()
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
        seams: Seams,
        margin: &Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let asked = Fitting {
            ruler: self::ruler(ruler)?,
            pitches: Pitches::Friendly,
            size: Size::Pitch(pitch.get().0),
            across: Some(seams.0.len() + 1),
            down: Some(seams.1.len() + 1),
            margin: whole(margin, "margin")?,
        };
        let panel = panel.get().0;
        guard(|| panel::fit(cells.0, cells.1, panel, &asked)?.with_seams_after(&seams.0, &seams.1)).map(Self)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Placed)> {
        let fit = &self.0;
        let (cells, seams) = ((fit.columns, fit.rows), (fit.column_seams(), fit.row_seams()));
        let placed = (self.panel(), self.ruler(), cells, self.pitch(), seams, fit.margin.into());
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
    pub(crate) ruler: Option<&'a Bound<'py, PyAny>>,
    pub(crate) pitches: Option<&'a Bound<'py, PyAny>>,
    pub(crate) pitch: Option<&'a Bound<'py, PyAny>>,
    pub(crate) width: Option<&'a Bound<'py, PyAny>>,
    pub(crate) height: Option<&'a Bound<'py, PyAny>>,
    pub(crate) across: Option<i64>,
    pub(crate) down: Option<i64>,
    pub(crate) margin: Option<&'a Bound<'py, PyAny>>,
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
            ruler: self.ruler.map_or_else(|| Ok(Ruler::default()), ruler)?,
            pitches: self.pitches.map_or(Ok(Pitches::Friendly), pitches)?,
            size,
            across: count(self.across, "across")?,
            down: count(self.down, "down")?,
            margin: self.margin.map_or(Ok(Length::ZERO), |margin| whole(margin, "margin"))?,
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
/// Notes
/// -----
/// Several panels share the cells evenly; then each seam moves to the column or row where it touches the fewest
/// weak parts and, of these, crosses the fewest colour boundaries: a quarter of a panel's share at the most, and
/// only as far as the panels hold the cells.
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
    let asked = Asked { ruler, pitches, pitch, width, height, across, down, margin }.read()?;
    let (grid, panel) = (&grid.get().grid, panel.get().0);
    guard(|| placed(grid, panel, &asked)).map(PyFit)
}
