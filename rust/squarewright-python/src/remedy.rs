//! `squarewright.Remedy`, `squarewright.Strengthened` and `squarewright.strengthened`.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::PyType;
use squarewright::outline::{self, Choice, Remedy};
use squarewright::sheet::{Language, Speech};

use crate::array::shown;
use crate::failure::bad_argument;
use crate::grid::PyGrid;
use crate::kept::{kept, restored};
use crate::limits::{Asked, inks};
use crate::watch::run;
use crate::weak::{PyWeakSpot, PyWeakSpots};

/// What a remedy is made anew from: itself with its sentence as JSON, and its spot.
type Written = (String, Option<PyWeakSpot>);

/// One way to help a weak spot: cells that are painted as well, or left bare.
#[pyclass(name = "Remedy", module = "squarewright", frozen, eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PyRemedy {
    remedy: Remedy,
    sentence: String,
    spot: Option<PyWeakSpot>,
}

#[pymethods]
impl PyRemedy {
    /// ``"fill a corner"``, ``"thicken"``, ``"bridge"``, ``"border"``, ``"leave uncut"`` or
    /// ``"drop a crumb"``.
    #[getter]
    fn kind(&self) -> &'static str {
        self.remedy.cure.words()
    }

    /// The cells (row, column) that change, counted from 0.
    #[getter]
    fn cells(&self) -> Vec<(usize, usize)> {
        self.remedy.cells.clone()
    }

    /// The colour that they get, as ``"#rrggbb"``; None when they become bare.
    #[getter]
    fn colour(&self) -> Option<String> {
        self.remedy.colour.map(|colour| colour.to_string())
    }

    /// What is to be done, in words.
    #[getter]
    fn sentence(&self) -> &str {
        &self.sentence
    }

    /// Whether it is one of those that together mend the figure; others are further ways.
    #[getter]
    fn recommended(&self) -> bool {
        self.remedy.recommended
    }

    /// The spot that it helps; None for a border, which helps many.
    #[getter]
    fn spot(&self) -> Option<PyWeakSpot> {
        self.spot.clone()
    }

    fn __repr__(&self) -> String {
        let (count, further) = (self.remedy.cells.len(), !self.remedy.recommended);
        let plural = if count == 1 { "" } else { "s" };
        format!(
            "Remedy({}, {count} cell{plural}{})",
            self.kind(),
            if further { ", a further way" } else { "" }
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Written)> {
        let (restore, (text,)) = kept::<Self>(py, &(&self.remedy, &self.sentence))?;
        Ok((restore, (text, self.spot.clone())))
    }

    #[classmethod]
    fn _restore(
        _class: &Bound<'_, PyType>,
        text: &str,
        spot: Option<PyRef<'_, PyWeakSpot>>,
    ) -> PyResult<Self> {
        let (remedy, sentence) = restored(text)?;
        Ok(Self { remedy, sentence, spot: spot.map(|spot| PyWeakSpot::clone(&spot)) })
    }
}

impl PyRemedy {
    pub(crate) fn new(remedy: Remedy, speech: &Speech) -> Self {
        let sentence = speech.remedy(&remedy).replace('\u{a0}', " ");
        let spot = remedy.spot.clone().map(|spot| PyWeakSpot::new(spot, speech));
        Self { remedy, sentence, spot }
    }
}

/// What a strengthened figure is put together from again.
type Parts = (String, PyWeakSpots, PyWeakSpots, Vec<PyRemedy>);

/// A figure with remedies carried out.
#[pyclass(name = "Strengthened", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyStrengthened {
    done: outline::Strengthened,
    before: PyWeakSpots,
    after: PyWeakSpots,
    remedies: Vec<PyRemedy>,
}

#[pymethods]
impl PyStrengthened {
    /// The new grid, of the same size; new colours stand behind the old ones.
    #[getter]
    fn grid(&self) -> PyGrid {
        self.after.grid()
    }

    /// What was done, in order.
    #[getter]
    fn remedies(&self) -> Vec<PyRemedy> {
        self.remedies.clone()
    }

    /// The cells (row, column) that differ from the grid that was given, and no others do.
    #[getter]
    fn cells(&self) -> Vec<(usize, usize)> {
        self.done.cells.clone()
    }

    /// The weak spots that there were.
    #[getter]
    fn before(&self) -> PyWeakSpots {
        self.before.clone()
    }

    /// The weak spots that there are now.
    #[getter]
    fn after(&self) -> PyWeakSpots {
        self.after.clone()
    }

    /// Whether the figure is in one piece now, without corner joints and severe necks.
    #[getter]
    fn holds_together(&self) -> bool {
        self.done.after.holds_together()
    }

    fn __repr__(&self) -> String {
        let (cells, ways) = (self.done.cells.len(), self.done.remedies.len());
        let state = if self.done.after.holds_together() { "holds together" } else { "still weak" };
        let (s, ies) = (if cells == 1 { "" } else { "s" }, if ways == 1 { "y" } else { "ies" });
        format!("Strengthened({cells} cell{s} changed by {ways} remed{ies}, {state})")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Parts)> {
        let (restore, (text,)) = kept::<Self>(py, &self.done)?;
        Ok((restore, (text, self.before.clone(), self.after.clone(), self.remedies.clone())))
    }

    #[classmethod]
    fn _restore(
        _class: &Bound<'_, PyType>,
        text: &str,
        before: &Bound<'_, PyWeakSpots>,
        after: &Bound<'_, PyWeakSpots>,
        remedies: Vec<Bound<'_, PyRemedy>>,
    ) -> PyResult<Self> {
        let remedies = remedies.iter().map(|remedy| remedy.get().clone()).collect();
        Ok(Self { done: restored(text)?, before: before.get().clone(), after: after.get().clone(), remedies })
    }
}

/// Carry out remedies for the weak spots of a figure, and look at it again.
///
/// Parameters
/// ----------
/// grid : Grid
///     The figure.
/// remedies : str or list of Remedy, default "all"
///     ``"all"`` does what it takes to leave no corner joint, no loose part and no severe neck; a list, out of
///     ``weak_spots(…).remedies()``, is carried out as it stands.
/// pitch, thickness, severe_width, severe_load, caution_width, caution_load, slender, slot, pinhole
///     As for ``weak_spots``.
/// colour, ground : str or tuple of int, optional
///     As for ``WeakSpots.remedies``; they count for ``"all"``.
/// progress : callable, optional
///     Called with the share that is done, 0 to 1.
///
/// Returns
/// -------
/// Strengthened
///     With ``.holds_together`` false when the grid has no room for what it takes: pad it first.
///
/// Raises
/// ------
/// SizeError, ArgumentError
///     As ``weak_spots``; ``VALUE-BAD`` when a remedy is for another grid.
/// GridError
///     ``COLOURS-RANGE`` for a 65th colour, ``GRID-BAD`` when every cell would be bare.
///
/// Examples
/// --------
/// >>> strengthened(Grid([[0, -1], [-1, 0]], ["#204060"]), pitch="1 in")
/// Strengthened(1 cell changed by 1 remedy, holds together)
#[pyfunction]
#[pyo3(signature = (grid, remedies = None, *, pitch, thickness = None, severe_width = None, severe_load = 9,
    caution_width = None, caution_load = 36, slender = 3, slot = None, pinhole = None, colour = None,
    ground = None, progress = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn strengthened(
    grid: &Bound<'_, PyGrid>,
    remedies: Option<&Bound<'_, PyAny>>,
    pitch: &Bound<'_, PyAny>,
    thickness: Option<&Bound<'_, PyAny>>,
    severe_width: Option<&Bound<'_, PyAny>>,
    severe_load: i64,
    caution_width: Option<&Bound<'_, PyAny>>,
    caution_load: i64,
    slender: i64,
    slot: Option<&Bound<'_, PyAny>>,
    pinhole: Option<&Bound<'_, PyAny>>,
    colour: Option<&Bound<'_, PyAny>>,
    ground: Option<&Bound<'_, PyAny>>,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyStrengthened> {
    let asked = Asked {
        pitch,
        thickness,
        severe_width,
        severe_load,
        caution_width,
        caution_load,
        slender,
        slot,
        pinhole,
    };
    let (limits, inks) = (asked.read()?, inks(colour, ground)?);
    let choice = remedies.map_or(Ok(Choice::All), chosen)?;
    let figure = grid.get().clone();
    let known = figure.grid.clone();
    let done = run(grid.py(), None, progress, move |watch| {
        outline::strengthened(&known, &limits, choice, inks, watch)
    })?;
    let speech = Speech::new(&done.grid, None, Language::default());
    let after = PyGrid { grid: done.grid.clone(), origin: Arc::clone(&figure.origin) };
    Ok(PyStrengthened {
        before: PyWeakSpots::new(figure, done.before.clone(), None),
        after: PyWeakSpots::new(after, done.after.clone(), None),
        remedies: done.remedies.iter().map(|remedy| PyRemedy::new(remedy.clone(), &speech)).collect(),
        done,
    })
}

/// Reads `"all"` or a list of remedies.
fn chosen(value: &Bound<'_, PyAny>) -> PyResult<Choice> {
    if value.extract::<&str>().is_ok_and(|word| word == "all") {
        return Ok(Choice::All);
    }
    let bad = |_| bad_argument("remedies", "\"all\" or a list of Remedy", shown(value));
    let list: Vec<PyRef<'_, PyRemedy>> = value.extract().map_err(bad)?;
    Ok(Choice::These(list.iter().map(|remedy| remedy.remedy.clone()).collect()))
}
