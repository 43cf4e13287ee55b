//! `squarewright.WeakSpot`, `squarewright.WeakSpots` and `squarewright.weak_spots`.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyType};
use squarewright::length::Ruler;
use squarewright::outline::{self, Severity, WeakSpot, WeakSpots, Weakness};
use squarewright::output;
use squarewright::sheet::{Language, Speech, place};

use crate::grid::{Origin, PyGrid};
use crate::kept::{Kept, kept, restored};
use crate::length::PyLength;
use crate::limits::{Asked, inks};
use crate::remedy::PyRemedy;
use crate::watch::run;

/// A place where a figure is weak once it is cut out.
#[pyclass(name = "WeakSpot", module = "squarewright", frozen, eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PyWeakSpot {
    spot: WeakSpot,
    sentence: String,
}

#[pymethods]
impl PyWeakSpot {
    /// ``"corner joint"``, ``"island"``, ``"neck"``, ``"slot"`` or ``"pinhole"``.
    #[getter]
    fn kind(&self) -> &'static str {
        match self.spot.weakness {
            Weakness::CornerJoint { .. } => "corner joint",
            Weakness::Island => "island",
            Weakness::Neck(_) => "neck",
            Weakness::Slot { .. } => "slot",
            Weakness::Pinhole { .. } => "pinhole",
        }
    }

    /// Its cells (row, column), counted from 0: those of the figure, or the bare ones of a slot or pinhole.
    #[getter]
    fn cells(&self) -> Vec<(usize, usize)> {
        self.spot.cells.clone()
    }

    /// Where it is, in words, counted from 1 as on the chart.
    #[getter]
    fn place(&self) -> String {
        place(&self.spot.cells, Language::default()).replace('\u{a0}', " ")
    }

    /// What is weak about it, in words.
    #[getter]
    fn sentence(&self) -> &str {
        &self.sentence
    }

    /// ``"severe"`` or ``"caution"``.
    #[getter]
    fn severity(&self) -> &'static str {
        self.spot.severity().word()
    }

    /// How wide it is on the board; None for corner joints and islands.
    #[getter]
    fn width(&self) -> Option<PyLength> {
        self.spot.span.map(PyLength)
    }

    /// How many cells wide it is; None for corner joints and islands.
    #[getter]
    fn width_cells(&self) -> Option<usize> {
        match self.spot.weakness {
            Weakness::CornerJoint { .. } | Weakness::Island => None,
            Weakness::Neck(neck) => Some(neck.width),
            Weakness::Slot { width } | Weakness::Pinhole { width } => Some(width),
        }
    }

    /// How many cells come off if a neck breaks; None for others.
    #[getter]
    fn beyond(&self) -> Option<usize> {
        self.spot.neck().map(|neck| neck.beyond)
    }

    /// How many wider parts a neck joins; 1 when it only stands out, 0 when its whole piece is thin; None for
    /// others.
    #[getter]
    fn joins(&self) -> Option<usize> {
        self.spot.neck().map(|neck| neck.joins)
    }

    /// The bending that a neck must bear, by which necks are ranked: the cells beyond it, times how many cells
    /// away their middle lies, over the third power of its width in cells. None for others.
    #[getter]
    fn index(&self) -> Option<f64> {
        self.spot.neck().map(|neck| neck.index)
    }

    fn __repr__(&self) -> String {
        format!("WeakSpot({}, {}, {})", self.kind(), self.place(), self.severity())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &(&self.spot, &self.sentence))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        let (spot, sentence) = restored(text)?;
        Ok(Self { spot, sentence })
    }
}

impl PyWeakSpot {
    pub(crate) fn new(spot: WeakSpot, speech: &Speech) -> Self {
        let sentence = speech.spot(&spot).replace('\u{a0}', " ");
        Self { spot, sentence }
    }
}

/// All weak spots of a figure.
#[pyclass(name = "WeakSpots", module = "squarewright", frozen, eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PyWeakSpots {
    grid: PyGrid,
    spots: Arc<WeakSpots>,
    ruler: Option<Ruler>,
}

#[pymethods]
impl PyWeakSpots {
    /// The figure.
    #[getter]
    pub(crate) fn grid(&self) -> PyGrid {
        self.grid.clone()
    }

    /// Corners at which two cells meet and share no edge, in row-major order.
    #[getter]
    fn corner_joints(&self) -> Vec<PyWeakSpot> {
        self.all(&self.spots.corner_joints)
    }

    /// The separate parts, the largest first; empty when the figure is in one piece.
    #[getter]
    fn islands(&self) -> Vec<PyWeakSpot> {
        self.all(&self.spots.islands)
    }

    /// Thin parts, the weakest first.
    #[getter]
    fn necks(&self) -> Vec<PyWeakSpot> {
        self.all(&self.spots.necks)
    }

    /// Narrow gaps between parts of the figure.
    #[getter]
    fn slots(&self) -> Vec<PyWeakSpot> {
        self.all(&self.spots.slots)
    }

    /// Small holes.
    #[getter]
    fn pinholes(&self) -> Vec<PyWeakSpot> {
        self.all(&self.spots.pinholes)
    }

    /// Whether the figure is in one piece, without corner joints and severe necks.
    #[getter]
    fn holds_together(&self) -> bool {
        self.spots.holds_together()
    }

    /// All of them, the worst first; of several islands the largest is left out, as it is the figure itself.
    #[getter]
    fn worst_first(&self) -> Vec<PyWeakSpot> {
        let speech = self.speech();
        self.spots.worst_first().into_iter().map(|spot| PyWeakSpot::new(spot.clone(), &speech)).collect()
    }

    /// The cells (row, column) of each thin part, the weakest first: what is cut last.
    #[getter]
    fn weak_parts(&self) -> Vec<Vec<(usize, usize)>> {
        self.spots.weak_parts()
    }

    /// Propose what may be done.
    ///
    /// Parameters
    /// ----------
    /// colour : str or tuple of int, optional
    ///     The colour of new cells; by default that of the outline, or what lies around.
    /// ground : str or tuple of int, optional
    ///     The colour of waste that is left uncut; by default that of new cells.
    ///
    /// Returns
    /// -------
    /// list of Remedy
    ///     What is recommended first, then further ways.
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``COLOUR-BAD`` when that is no colour.
    /// GridError
    ///     ``COLOURS-RANGE`` for a 65th colour.
    #[pyo3(signature = (*, colour = None, ground = None))]
    fn remedies(
        &self,
        py: Python<'_>,
        colour: Option<&Bound<'_, PyAny>>,
        ground: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Vec<PyRemedy>> {
        let inks = inks(colour, ground)?;
        let (grid, spots) = (self.grid.grid.clone(), Arc::clone(&self.spots));
        let found = run(py, None, None, move |_| outline::remedies(&grid, &spots, inks))?;
        let speech = self.speech();
        Ok(found.into_iter().map(|remedy| PyRemedy::new(remedy, &speech)).collect())
    }

    /// Draw the figure with its weak spots ringed, as PNG.
    ///
    /// Returns
    /// -------
    /// bytes
    fn to_png<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        let (grid, spots) = (self.grid.grid.clone(), Arc::clone(&self.spots));
        let png = run(py, None, None, move |_| Ok(output::weak_spots_png(&grid, &spots)))?;
        Ok(PyBytes::new(py, &png))
    }

    fn _repr_png_<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        self.to_png(py)
    }

    fn __len__(&self) -> usize {
        self.spots.count()
    }

    fn __repr__(&self) -> String {
        let spots = &*self.spots;
        let severe = spots.necks.iter().filter(|neck| neck.severity() == Severity::Severe).count();
        let counted = |count: usize, word: &str| {
            let plural = if count == 1 { "" } else { "s" };
            format!("{count} {word}{plural}")
        };
        format!(
            "WeakSpots({}, {}, {} ({severe} severe), {}, {})",
            counted(spots.corner_joints.len(), "corner joint"),
            counted(spots.islands.len(), "island"),
            counted(spots.necks.len(), "neck"),
            counted(spots.slots.len(), "slot"),
            counted(spots.pinholes.len(), "pinhole")
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &(&self.grid.grid, &*self.spots, &self.ruler))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        let (grid, spots, ruler) = restored(text)?;
        Ok(Self::new(PyGrid::new(grid, Origin::default()), spots, ruler))
    }
}

impl PyWeakSpots {
    pub(crate) fn new(grid: PyGrid, spots: WeakSpots, ruler: Option<Ruler>) -> Self {
        Self { grid, spots: Arc::new(spots), ruler }
    }

    fn speech(&self) -> Speech {
        Speech::new(&self.grid.grid, self.ruler, Language::default())
    }

    fn all(&self, spots: &[WeakSpot]) -> Vec<PyWeakSpot> {
        let speech = self.speech();
        spots.iter().map(|spot| PyWeakSpot::new(spot.clone(), &speech)).collect()
    }
}

/// Find where a figure would not hold together once it is cut out, and where its waste is hard to cut.
///
/// Parameters
/// ----------
/// grid : Grid
///     The figure.
/// pitch : Length or str
///     The side of a cell.
/// thickness : Length or str, default "1/4 in"
///     How thick the board is: parts and gaps narrower than that are weak.
/// severe_width : Length or str, default "1/4 in"
///     A neck of one cell is severe when it is narrower than this,
/// severe_load : int, default 9
///     or when more cells than this hang on it.
/// caution_width : Length or str, default "1/2 in"
///     A neck below this width, or one of two cells, is weak
/// caution_load : int, default 36
///     when more cells than this times the square of its width hang on it.
/// slender : int, default 3
///     A thin part that stands out is weak when it is longer than this many times its width.
/// slot : Length or str, default "1/8 in"
///     Gaps narrower than this, or than the board is thick, are hard to cut.
/// pinhole : Length or str, default "12 mm"
///     Holes narrower than this are.
///
/// Returns
/// -------
/// WeakSpots
///
/// Raises
/// ------
/// SizeError
///     ``SIZE-BAD`` when a length is none, or not above zero.
/// ArgumentError
///     ``VALUE-BAD`` for a number below 0.
///
/// Examples
/// --------
/// >>> weak_spots(Grid([[0, -1], [-1, 0]], ["#204060"]), pitch="3/16 in")
/// WeakSpots(1 corner joint, 2 islands, 0 necks (0 severe), 0 slots, 0 pinholes)
#[pyfunction]
#[pyo3(signature = (grid, *, pitch, thickness = None, severe_width = None, severe_load = 9,
    caution_width = None, caution_load = 36, slender = 3, slot = None, pinhole = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn weak_spots(
    grid: &Bound<'_, PyGrid>,
    pitch: &Bound<'_, PyAny>,
    thickness: Option<&Bound<'_, PyAny>>,
    severe_width: Option<&Bound<'_, PyAny>>,
    severe_load: i64,
    caution_width: Option<&Bound<'_, PyAny>>,
    caution_load: i64,
    slender: i64,
    slot: Option<&Bound<'_, PyAny>>,
    pinhole: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyWeakSpots> {
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
    let limits = asked.read()?;
    let figure = grid.get().clone();
    let known = figure.grid.clone();
    let spots = run(grid.py(), None, None, move |_| outline::weak_spots(&known, &limits))?;
    Ok(PyWeakSpots::new(figure, spots, None))
}
