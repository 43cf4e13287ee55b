//! `squarewright.Cut`, `squarewright.CutPlan` and `squarewright.plan_cuts`.

use pyo3::prelude::*;
use pyo3::types::PyType;
use squarewright::cut::{self, Cut, CutPlan, Cutting, Totals};
use squarewright::fault::Result;
use squarewright::length::{Length, Place};
use squarewright::panel::Fit;
use squarewright::panel::Hand;
use squarewright::sheet::{self, Language};

use crate::failure::Failure;
use crate::fit::PyFit;
use crate::grid::PyGrid;
use crate::kept::{Kept, kept, restored};
use crate::length::{PyLength, whole};
use crate::watch::run;

/// One pull of the knife; distances are from the left and the top edge of its panel.
#[pyclass(name = "Cut", module = "squarewright", frozen, eq)]
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PyCut {
    cut: Cut,
    panel: usize,
    sentence: String,
}

#[pymethods]
impl PyCut {
    /// Its panel, as a place in ``Fit.panels``.
    #[getter]
    fn panel(&self) -> usize {
        self.panel
    }

    /// Its place in the order on its panel, from 1.
    #[getter]
    fn number(&self) -> usize {
        self.cut.number
    }

    /// ``"hole"``, ``"coarse"``, ``"bay"`` or ``"stroke"``.
    #[getter]
    fn kind(&self) -> &'static str {
        self.cut.kind.word()
    }

    /// Where the tip goes in: distances from the left and the top edge.
    #[getter]
    fn start(&self) -> (PyLength, PyLength) {
        lengths(self.cut.from)
    }

    /// Where it comes out: distances from the left and the top edge.
    #[getter]
    fn end(&self) -> (PyLength, PyLength) {
        lengths(self.cut.to)
    }

    /// ``start`` in millimetres.
    #[getter]
    fn start_mm(&self) -> (f64, f64) {
        (self.cut.from.x.mm(), self.cut.from.y.mm())
    }

    /// ``end`` in millimetres.
    #[getter]
    fn end_mm(&self) -> (f64, f64) {
        (self.cut.to.x.mm(), self.cut.to.y.mm())
    }

    /// Which way it is pulled: ``"down"``, ``"right"``, ``"down and right"``…
    #[getter]
    fn pull(&self) -> &'static str {
        self.cut.pull.words()
    }

    /// How long it is.
    #[getter]
    fn length(&self) -> PyLength {
        self.cut.length.into()
    }

    /// The corners at its ends: ``"open"``, ``"one inside"``, ``"both inside"``; None for straight cuts.
    #[getter]
    fn ends(&self) -> Option<&'static str> {
        self.cut.edge.map(|edge| edge.ends.word())
    }

    /// How often the tip is stabbed in where no cut leads to.
    #[getter]
    fn stabs(&self) -> usize {
        self.cut.stabs
    }

    /// Corners of the outline that are turned at its end.
    #[getter]
    fn turns(&self) -> usize {
        self.cut.turns
    }

    /// How many light cuts go through the board; None when its thickness is not known.
    #[getter]
    fn light_cuts(&self) -> Option<usize> {
        self.cut.light_cuts
    }

    /// Whether a fresh edge of the blade is due before it.
    #[getter]
    fn fresh_edge(&self) -> bool {
        self.cut.fresh_edge
    }

    /// Whether it runs along a weak part.
    #[getter]
    fn weak(&self) -> bool {
        self.cut.weak
    }

    /// What to do, in plain words.
    #[getter]
    fn sentence(&self) -> &str {
        &self.sentence
    }

    fn __str__(&self) -> &str {
        &self.sentence
    }

    fn __repr__(&self) -> String {
        let Cut { number, kind, length, .. } = &self.cut;
        format!("Cut({number}, {}, {length}, pulled {})", kind.word(), self.cut.pull.words())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &(&self.cut, self.panel, &self.sentence))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        let (cut, panel, sentence) = restored(text)?;
        Ok(Self { cut, panel, sentence })
    }
}

fn lengths(place: Place) -> (PyLength, PyLength) {
    (place.x.into(), place.y.into())
}

/// The cuts of a figure in the order in which they are made, panel by panel.
#[pyclass(name = "CutPlan", module = "squarewright", frozen, eq)]
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PyCutPlan {
    cuts: Vec<PyCut>,
    notes: Vec<String>,
    totals: Totals,
    cutting: Cutting,
}

impl PyCutPlan {
    pub(crate) fn new(plan: CutPlan, fit: &Fit) -> Self {
        let cuts = plan.panels.iter().enumerate().flat_map(|(panel, found)| {
            let wrapped = |cut: &Cut| PyCut { cut: *cut, panel, sentence: plain(cut, fit, &plan) };
            found.cuts.iter().map(wrapped).collect::<Vec<_>>()
        });
        let (cuts, totals) = (cuts.collect(), plan.totals());
        let notes = plan
            .panels
            .iter()
            .filter_map(|panel| sheet::remark(panel, fit, Language::default()))
            .map(spaced)
            .collect();
        Self { cuts, notes, totals, cutting: plan.cutting }
    }
}

/// Gives the sentence with common spaces.
fn plain(cut: &Cut, fit: &Fit, plan: &CutPlan) -> String {
    spaced(sheet::sentence(cut, fit, plan, Language::default()))
}

fn spaced(words: String) -> String {
    words.replace('\u{a0}', " ")
}

#[pymethods]
impl PyCutPlan {
    /// The cuts in their order, panel by panel.
    #[getter]
    fn cuts(&self) -> Vec<PyCut> {
        self.cuts.clone()
    }

    /// Why a panel has no list of cuts: one sentence for each panel that has none.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.notes.clone()
    }

    /// How far the coarse cuts stay away from the outline.
    #[getter]
    fn clearance(&self) -> PyLength {
        self.cutting.clearance.into()
    }

    /// Length of the coarse cuts.
    #[getter]
    fn coarse(&self) -> PyLength {
        self.totals.coarse.into()
    }

    /// Length of the cuts across bays.
    #[getter]
    fn bays(&self) -> PyLength {
        self.totals.bays.into()
    }

    /// Length of the strokes along outline and holes.
    #[getter]
    fn outline(&self) -> PyLength {
        self.totals.outline.into()
    }

    /// Length of outline on the edges of panels, which needs no cut.
    #[getter]
    fn on_edge(&self) -> PyLength {
        self.totals.on_edge.into()
    }

    /// Length of all cuts, each counted once.
    #[getter]
    fn length(&self) -> PyLength {
        self.totals.length().into()
    }

    /// Strokes along outline and holes.
    #[getter]
    fn strokes(&self) -> usize {
        self.totals.strokes
    }

    /// Corners turned.
    #[getter]
    fn turns(&self) -> usize {
        self.totals.turns
    }

    /// Stabs.
    #[getter]
    fn stabs(&self) -> usize {
        self.totals.stabs
    }

    /// Fresh edges of the blade, the first one counted.
    #[getter]
    fn fresh_edges(&self) -> usize {
        self.totals.fresh_edges
    }

    fn __len__(&self) -> usize {
        self.cuts.len()
    }

    fn __repr__(&self) -> String {
        let (coarse, bays, outline) = (self.totals.coarse, self.totals.bays, self.totals.outline);
        let inches = |length: Length| length.mm() / 25.4;
        format!(
            "CutPlan({} cuts: {:.1} in coarse, {:.1} in across bays, {:.1} in of outline in {} strokes)",
            self.cuts.len(),
            inches(coarse),
            inches(bays),
            inches(outline),
            self.totals.strokes
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        let cuts: Vec<_> = self.cuts.iter().map(|cut| (&cut.cut, cut.panel, &cut.sentence)).collect();
        kept::<Self>(py, &(&cuts, &self.notes, &self.totals, &self.cutting))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        let (cuts, notes, totals, cutting): (Vec<(Cut, usize, String)>, _, _, _) = restored(text)?;
        let cuts = cuts.into_iter().map(|(cut, panel, sentence)| PyCut { cut, panel, sentence }).collect();
        Ok(Self { cuts, notes, totals, cutting })
    }
}

/// What Python asks of a cut plan.
#[derive(Debug)]
pub(crate) struct Asked<'a, 'py> {
    pub(crate) clearance: Option<&'a Bound<'py, PyAny>>,
    pub(crate) smallest_piece: Option<&'a Bound<'py, PyAny>>,
    pub(crate) thickness: Option<&'a Bound<'py, PyAny>>,
    pub(crate) light_cut: Option<&'a Bound<'py, PyAny>>,
    pub(crate) fresh_edge: Option<&'a Bound<'py, PyAny>>,
    pub(crate) hand: &'a str,
}

impl Default for Asked<'_, '_> {
    fn default() -> Self {
        Self {
            clearance: None,
            smallest_piece: None,
            thickness: None,
            light_cut: None,
            fresh_edge: None,
            hand: "right",
        }
    }
}

impl Asked<'_, '_> {
    pub(crate) fn read(&self) -> PyResult<Cutting> {
        let usual = Cutting::default();
        let read = |value: Option<&Bound<'_, PyAny>>, name, usual| {
            value.map_or(Ok(usual), |value| whole(value, name))
        };
        let hand: Result<Hand> = self.hand.parse();
        let cutting = Cutting {
            clearance: read(self.clearance, "clearance", usual.clearance)?,
            smallest_piece: read(self.smallest_piece, "smallest piece", usual.smallest_piece)?,
            thickness: self.thickness.map(|value| whole(value, "thickness")).transpose()?,
            light_cut: read(self.light_cut, "light cut", usual.light_cut)?,
            fresh_edge: read(self.fresh_edge, "fresh edge", usual.fresh_edge)?,
            hand: hand.map_err(Failure::from)?,
        };
        Ok(cutting.checked().map_err(Failure::from)?)
    }
}

/// Plan the cuts of a figure that is cut out.
///
/// Holes come first, while the sheet is stiff; then straight cuts through the waste, largest pieces first; then the
/// outline, every straight run from its inside corner out; and last what is weak.
///
/// Parameters
/// ----------
/// grid : Grid
///     The cells; what is not bare is kept.
/// fit : Fit
///     Their place on the panels, from ``fit``.
/// clearance : Length or str, default "1/8 in"
///     How far the coarse cuts stay away from the outline, 1/16 in or more.
/// smallest_piece : Length or str, default "1 in"
///     The side of a square of waste that is just worth a straight cut of its own.
/// thickness : Length or str, optional
///     How thick the board is; by default what the panel says.
/// light_cut : Length or str, default "1/16 in"
///     How deep one light cut goes.
/// fresh_edge : Length or str, default "20 ft"
///     How far an edge of the blade cuts, all light cuts counted, before a fresh one is due.
/// hand : str, default "right"
///     ``"right"`` or ``"left"``: the hand that holds the knife.
/// weak : list of list of (int, int), optional
///     Parts that could break, each as cells (row, column), the weakest first: they are cut last.
///
/// Returns
/// -------
/// CutPlan
///
/// Raises
/// ------
/// ArgumentError
///     ``VALUE-BAD`` when the fit is of another grid, a weak cell lies outside it, or a setting is out of range.
/// SizeError
///     ``SIZE-BAD`` for what is no length.
///
/// Examples
/// --------
/// >>> plan_cuts(grid, fit(grid, Panel("12 in", "12 in"))).cuts[0].sentence  # doctest: +SKIP
#[pyfunction]
#[pyo3(signature = (grid, fit, *, clearance = None, smallest_piece = None, thickness = None, light_cut = None,
    fresh_edge = None, hand = "right", weak = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn plan_cuts(
    py: Python<'_>,
    grid: &Bound<'_, PyGrid>,
    fit: &Bound<'_, PyFit>,
    clearance: Option<&Bound<'_, PyAny>>,
    smallest_piece: Option<&Bound<'_, PyAny>>,
    thickness: Option<&Bound<'_, PyAny>>,
    light_cut: Option<&Bound<'_, PyAny>>,
    fresh_edge: Option<&Bound<'_, PyAny>>,
    hand: &str,
    weak: Option<Vec<Vec<(usize, usize)>>>,
) -> PyResult<PyCutPlan> {
    let cutting = Asked { clearance, smallest_piece, thickness, light_cut, fresh_edge, hand }.read()?;
    let (grid, fit) = (grid.get().grid.clone(), fit.get().0.clone());
    let weak = weak.unwrap_or_default();
    run(py, None, None, move |watch| {
        let cuts = cut::plan_cuts(&grid, &fit, &cutting, &weak, watch)?;
        Ok(PyCutPlan::new(cuts, &fit))
    })
}
