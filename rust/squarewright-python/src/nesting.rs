//! `squarewright.Nesting`, `squarewright.nest` and what they are made of.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyString, PyType};
use squarewright::length::Ratio;
use squarewright::output;
use squarewright::wall::{self, Figure, Nested, Nesting, Spacing};

use crate::array::shown;
use crate::failure::bad_argument;
use crate::grid::PyGrid;
use crate::kept::{Kept, kept, restored};
use crate::length::{PyLength, positive, whole};
use crate::offcut::PyOffCut;
use crate::panel::PyPanel;
use crate::pixelation::seed_from;
use crate::repr::counted;
use crate::watch::{guard, run};

/// One figure of a nesting in its place; distances are from the left and the top edge of its panel.
#[pyclass(name = "NestedFigure", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyNestedFigure(Nested);

#[pymethods]
impl PyNestedFigure {
    /// Which of the grids it is, counted from 0.
    #[getter]
    fn index(&self) -> usize {
        self.0.figure
    }

    /// From the left edge of the panel to the smallest box that holds its cells, as it lies.
    #[getter]
    fn x(&self) -> PyLength {
        self.0.x.into()
    }

    /// From the top edge of the panel to that box.
    #[getter]
    fn y(&self) -> PyLength {
        self.0.y.into()
    }

    /// The width of that box.
    #[getter]
    fn width(&self) -> PyLength {
        PyLength(self.0.width)
    }

    /// The height of that box.
    #[getter]
    fn height(&self) -> PyLength {
        PyLength(self.0.height)
    }

    /// How many quarter turns clockwise it has made, 0 to 3; it is never mirrored.
    #[getter]
    fn quarter_turns(&self) -> u8 {
        self.0.quarter_turns
    }

    fn __repr__(&self) -> String {
        let Nested { figure, x, y, quarter_turns, .. } = self.0;
        let turned = match quarter_turns {
            0 => String::new(),
            1 => ", turned once".into(),
            count => format!(", turned {count} times"),
        };
        format!("NestedFigure({figure} at {x}, {y}{turned})")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &self.0)
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        restored(text).map(Self)
    }
}

/// What lies on one panel of a nesting, and what is left of it.
#[pyclass(name = "NestedPanel", module = "squarewright", frozen)]
#[derive(Debug)]
pub(crate) struct PyNestedPanel {
    nesting: Arc<Nesting>,
    place: usize,
}

#[pymethods]
impl PyNestedPanel {
    /// The figures on it, from the top down and from the left.
    #[getter]
    fn figures(&self) -> Vec<PyNestedFigure> {
        self.panel().figures.iter().copied().map(PyNestedFigure).collect()
    }

    /// Where it comes from: ``"new"``, ``"in use"`` when work on it has begun, or ``"off-cut"``.
    #[getter]
    fn origin(&self) -> &'static str {
        self.panel().origin.word()
    }

    /// Its width and height.
    #[getter]
    fn size(&self) -> (PyLength, PyLength) {
        let size = self.panel().size(self.nesting.panel);
        (size.0.into(), size.1.into())
    }

    /// What is left of it and worth keeping, the largest first; no two overlap.
    #[getter]
    fn offcuts(&self) -> Vec<PyOffCut> {
        self.panel().offcuts.iter().copied().map(PyOffCut).collect()
    }

    fn __eq__(&self, other: &Self) -> bool {
        self.nesting.panel == other.nesting.panel && self.panel() == other.panel()
    }

    fn __repr__(&self) -> String {
        let (figures, offcuts) = (self.panel().figures.len(), self.panel().offcuts.len());
        format!("NestedPanel({}, {})", counted(figures, "figure"), counted(offcuts, "off-cut"))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (String, usize))> {
        let (restore, (text,)) = kept::<Self>(py, &*self.nesting)?;
        Ok((restore, (text, self.place)))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str, place: usize) -> PyResult<Self> {
        restored(text).map(|nesting| Self { nesting: Arc::new(nesting), place })
    }
}

impl PyNestedPanel {
    fn panel(&self) -> &wall::NestedPanel {
        &self.nesting.panels[self.place]
    }
}

/// Figures in their places on panels of one size; a notebook shows it as a drawing.
///
/// The drawing numbers figures and panels from 1, in the order of ``grids`` and ``panels``.
#[pyclass(name = "Nesting", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PyNesting(pub(crate) Arc<Nesting>);

#[pymethods]
impl PyNesting {
    /// What lies on each panel.
    #[getter]
    fn panels(&self) -> Vec<PyNestedPanel> {
        let panel = |place| PyNestedPanel { nesting: Arc::clone(&self.0), place };
        (0..self.0.panels.len()).map(panel).collect()
    }

    /// How many panels there are.
    #[getter]
    fn count(&self) -> usize {
        self.0.panels.len()
    }

    /// The number of panels that no nesting with these settings goes below, as far as is known.
    #[getter]
    fn lower_bound(&self) -> usize {
        self.0.lower_bound
    }

    /// Whether it is known that fewer panels are not enough: ``count == lower_bound``.
    #[getter]
    fn proven(&self) -> bool {
        self.0.is_proven()
    }

    /// The panel, as measured.
    #[getter]
    fn panel(&self) -> PyPanel {
        PyPanel(self.0.panel)
    }

    /// Draw the panels as SVG text, 3 in for the longer side of a panel.
    ///
    /// Returns
    /// -------
    /// str
    fn to_svg(&self, py: Python<'_>) -> PyResult<String> {
        py.detach(|| guard(|| output::nesting_svg(&self.0)))
    }

    fn _repr_svg_(&self, py: Python<'_>) -> PyResult<String> {
        self.to_svg(py)
    }

    fn __repr__(&self) -> String {
        let (count, least) = (self.0.panels.len(), self.0.lower_bound);
        let known = match least {
            _ if self.0.is_proven() => "the fewest".to_owned(),
            _ => format!("{least} or more needed"),
        };
        let figures = counted(self.0.figures.len(), "figure");
        format!("Nesting({figures} on {} of {}, {known})", counted(count, "panel"), self.0.panel)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &*self.0)
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        restored(text).map(|nesting| Self(Arc::new(nesting)))
    }
}

/// Nest figures on as few panels as can be found, by their true shapes.
///
/// Of nestings on as few panels the one with the largest rectangle left is taken.
///
/// Parameters
/// ----------
/// grids : list of Grid
///     The figures, 1 to 500.
/// panel : Panel
///     The board; every board has this size.
/// pitch : Length or str, or list of them
///     The side of a cell: one for all figures, or one for each.
/// gap : Length or str, default "1/4 in"
///     What stays free between two figures, measured level and upright: twice the clearance of coarse cuts.
/// margin : Length or str, default "0 in"
///     What stays free along the edges of the panel.
/// step : Length or str, default "1/8 in"
///     Boxes round figures start at multiples of this from the left and the top edge; ``"1 mm"`` or more suits a
///     metric ruler.
/// turning : bool, default True
///     Whether figures may be turned by quarter turns; they are never mirrored.
/// smallest_offcut : Length or str, default "2 in"
///     Both sides of an off-cut that is listed are this long or longer.
/// seed : int, default 0
///     Where chance starts from, 0 or more: another seed may give another nesting.
/// progress : callable, optional
///     Called with the share that is done, 0 to 1.
///
/// Returns
/// -------
/// Nesting
///
/// Raises
/// ------
/// SizeError
///     ``SIZE-FIT`` when a figure is larger than the panel, ``SIZE-BAD`` for what is no length, or a negative one.
/// ArgumentError
///     ``VALUE-BAD`` for no figures, or any other setting.
///
/// Notes
/// -----
/// A figure whose cells share no common measure with ``step`` that is at least 1/4096 of the panel counts as up to
/// one such part larger all round, so that it never comes too near to another.
///
/// Examples
/// --------
/// >>> block = Grid([[0, -1], [0, 0]], ["#204060"])
/// >>> nest([block] * 12, Panel("12 in", "12 in"), pitch="2 in", gap="0 in")
/// Nesting(12 figures on 1 panel of 12 in x 12 in, the fewest)
#[pyfunction]
#[pyo3(signature = (grids, panel, *, pitch, gap = None, margin = None, step = None, turning = true,
    smallest_offcut = None, seed = None, progress = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn nest(
    grids: &Bound<'_, PyAny>,
    panel: &Bound<'_, PyPanel>,
    pitch: &Bound<'_, PyAny>,
    gap: Option<&Bound<'_, PyAny>>,
    margin: Option<&Bound<'_, PyAny>>,
    step: Option<&Bound<'_, PyAny>>,
    turning: bool,
    smallest_offcut: Option<&Bound<'_, PyAny>>,
    seed: Option<&Bound<'_, PyAny>>,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyNesting> {
    let usual = Spacing::default();
    let length =
        |value: Option<&Bound<'_, PyAny>>, name, usual| value.map_or(Ok(usual), |value| whole(value, name));
    let spacing = Spacing {
        gap: length(gap, "gap", usual.gap)?,
        margin: length(margin, "margin", usual.margin)?,
        step: length(step, "step", usual.step)?,
        turning,
        smallest_offcut: length(smallest_offcut, "smallest_offcut", usual.smallest_offcut)?,
        seed: seed.map_or(Ok(usual.seed), seed_from)?,
    };
    let (figures, board) = (figures(grids, pitch)?, panel.get().0);
    let nesting = run(panel.py(), None, progress, move |watch| wall::nest(figures, board, spacing, watch))?;
    Ok(PyNesting(Arc::new(nesting)))
}

/// Reads grids and the sides of their cells.
pub(crate) fn figures(grids: &Bound<'_, PyAny>, pitch: &Bound<'_, PyAny>) -> PyResult<Vec<Figure>> {
    let bad = |_| bad_argument("grids", "a list of Grid", shown(grids));
    let grids: Vec<PyRef<'_, PyGrid>> = grids.extract().map_err(bad)?;
    let pitches = pitches(pitch, grids.len())?;
    let figure = |(grid, pitch): (&PyRef<'_, PyGrid>, Ratio)| Figure { grid: grid.grid.clone(), pitch };
    Ok(grids.iter().zip(pitches).map(figure).collect())
}

fn pitches(pitch: &Bound<'_, PyAny>, count: usize) -> PyResult<Vec<Ratio>> {
    let one = pitch.is_instance_of::<PyString>() || pitch.is_instance_of::<PyLength>();
    let Some(listed) = pitch.try_iter().ok().filter(|_| !one) else {
        return Ok(vec![positive(pitch, "pitch")?; count]);
    };
    let pitches = listed.map(|item| positive(&item?, "pitch")).collect::<PyResult<Vec<_>>>()?;
    if pitches.len() == count {
        return Ok(pitches);
    }
    let must = format!("one length, or as many as there are grids ({count})");
    Err(bad_argument("pitch", &must, format!("{} of them", pitches.len())))
}
