//! `squarewright.Plan`.

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyTuple, PyType};
use squarewright::output;
use squarewright::panel::Fit;
use squarewright::plan::{Door, Plan};
use squarewright::sheet::{self, Press};

use crate::array::Frozen;
use crate::cut::PyCutPlan;
use crate::failure::Failure;
use crate::fit::PyFit;
use crate::grid::{Origin, PyGrid};
use crate::mounting;
use crate::paint::PyPaint;
use crate::painting;
use crate::pot::NewStep;
use crate::press::{Bars, Names, Printing};
use crate::recipe::NewRecipe;
use crate::recovery::PyRecovery;
use crate::watch::run;
use crate::weak::PyWeakSpots;

/// Everything about one figure; it never changes.
#[pyclass(name = "Plan", module = "squarewright", frozen)]
#[derive(Debug, Clone)]
pub(crate) struct PyPlan {
    pub(crate) plan: Arc<Plan>,
    pub(crate) recovery: Option<PyRecovery>,
    pub(crate) notes: Vec<String>,
    /// Where its picture was read from: never overwritten.
    pub(crate) path: Option<PathBuf>,
    /// What was asked for, by name; none for a plan that was read back.
    pub(crate) settings: Option<Arc<Py<PyDict>>>,
}

#[pymethods]
impl PyPlan {
    /// The name that the pages bear.
    #[getter]
    fn name(&self) -> &str {
        self.plan.name()
    }

    /// The cells.
    #[getter]
    fn grid(&self) -> PyGrid {
        let is_pixelated = self.plan.door() == Door::Pixelated;
        let origin = Origin { warnings: Vec::new(), path: self.path.clone(), is_pixelated };
        PyGrid::new(self.plan.grid().clone(), origin)
    }

    /// The place of the grid on the panels.
    #[getter]
    fn fit(&self) -> PyFit {
        PyFit(self.plan.fit().clone())
    }

    /// How the grid was recovered; None when a grid was given or the plan was read back.
    #[getter]
    fn recovery(&self) -> Option<PyRecovery> {
        self.recovery.clone()
    }

    /// How sure the recovered grid is, 0 to 1; None when a grid was given.
    #[getter]
    fn confidence(&self) -> Option<f64> {
        match self.plan.door() {
            Door::Recovered { confidence, .. } => Some(confidence),
            Door::Given | Door::Pixelated => None,
        }
    }

    /// Where the figure is weak once it is cut out.
    #[getter]
    fn weak_spots(&self) -> PyWeakSpots {
        PyWeakSpots::new(self.grid(), self.plan.weak_spots().clone(), Some(self.plan.fit().ruler))
    }

    /// Plan the figure again with the cells that make it hold together; see ``strengthened``.
    ///
    /// Returns
    /// -------
    /// Plan
    fn strengthened(&self, py: Python<'_>) -> PyResult<Self> {
        let plan = Arc::clone(&self.plan);
        let plan = run(py, None, None, move |watch| plan.strengthened(watch))?;
        Ok(Self { plan: Arc::new(plan), ..self.clone() })
    }

    /// What there is to paint: a dict with ``code``, ``name``, ``hex``, ``cells``, ``patches`` and
    /// ``area_cm2`` for each colour, in the order of the codes.
    #[getter]
    fn colours<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        painting::colours(&self.plan, py)
    }

    /// How each colour is mixed, in the order of the codes; empty when no stock was given.
    #[getter]
    fn recipes(&self) -> Vec<NewRecipe> {
        self.plan.mixes().recipes.iter().cloned().map(NewRecipe).collect()
    }

    /// The shades that can be mixed in one pot, a list for each family; empty when no stock was given.
    #[getter]
    fn pots(&self) -> Vec<Vec<NewStep>> {
        let steps = |pot: &Vec<_>| pot.iter().cloned().map(NewStep).collect();
        self.plan.mixes().pots.iter().map(steps).collect()
    }

    /// The cuts in their order; None when the figure is not cut out.
    #[getter]
    fn cuts(&self) -> Option<PyCutPlan> {
        self.plan.cuts().map(|cuts| PyCutPlan::new(cuts.clone(), self.plan.fit()))
    }

    /// The jars: a dict with ``code``, ``hex``, ``area_cm2``, ``coats``, ``undercoat``, ``ml`` (needed),
    /// ``batch_ml`` (to mix), ``measure`` and ``doses`` (measures of each paint) for each colour.
    #[getter]
    fn jars<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        painting::jars(&self.plan, py)
    }

    /// The paints that the recipes take, as the stock has them; empty when no stock was given.
    #[getter]
    fn paints(&self) -> Vec<PyPaint> {
        self.plan.amounts().paints.iter().map(|need| PyPaint(need.paint.clone())).collect()
    }

    /// How much of each of ``paints``: a dict with ``paint``, ``hex``, ``ml`` (needed), ``poured_ml`` (as counted out),
    /// ``bottle_ml``, ``bottles``, ``owned``, ``cost`` (of what is to buy, in hundredths) and ``currency`` for
    /// each; empty when no stock was given.
    #[getter]
    fn bottles<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        painting::bottles(&self.plan, py)
    }

    /// What is brushed on all over: a dict with ``area_cm2``, ``coats`` and ``ml`` under ``"primer"``,
    /// ``"undercoat"`` and ``"varnish"``.
    #[getter]
    fn layers<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        painting::layers(&self.plan, py)
    }

    /// The order of painting: a dict with ``set``, ``coat``, ``colours`` (pairs of colour and cells) and
    /// ``wait_minutes`` for each pass.
    #[getter]
    fn passes<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        painting::passes(&self.plan, py)
    }

    /// The card behind the figure: a dict with ``contours`` and ``mirrored`` (as seen from behind) as lists of
    /// ``places`` and ``hole``, ``area_cm2``, ``extra_cm2`` (what few cuts take more than square corners), ``cuts``
    /// (None when its corners are round), ``cut_mm``, ``trim_mm``, ``closed_holes``, ``webs`` (left, top and
    /// side), ``parts``, ``sheets``, where these meet (``upright_joints_mm``, ``level_joints_mm``, and how many are
    /// ``joints_near_seams`` of the panels), ``thickness_mm``, ``glued_cm2`` and ``glue_ml`` (low, likely, high);
    /// None without a backing. Places are in millimetres from the top-left corner of the grid.
    #[getter]
    fn backing<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyDict>>> {
        mounting::backing(&self.plan, py)
    }

    /// The edges to paint: a dict with ``code``, ``hex``, ``length_mm``, ``depth_mm`` and ``area_cm2`` for each.
    #[getter]
    fn edges<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        mounting::edges(&self.plan, py)
    }

    /// The weight and its fixings: a dict with ``grams`` and those of ``board_grams``, ``card_grams``,
    /// ``glue_grams`` and ``paint_grams`` (low, likely, high), ``balance_mm``, ``hook_mm``, ``pair_mm``,
    /// ``rated_grams``, ``fixings`` and ``frame_mm`` (width, height and depth inside).
    #[getter]
    fn hanging<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        mounting::hanging(&self.plan, py)
    }

    /// What the finished figure weighs, in grams: low, likely and high.
    #[getter]
    fn weight(&self) -> (f64, f64, f64) {
        mounting::three(self.plan.hanging().grams())
    }

    /// The steps in order: a dict with ``step``, ``stage``, ``work_minutes`` and ``wait_minutes`` (low and
    /// high) for each.
    #[getter]
    fn steps<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        mounting::steps(&self.plan, py)
    }

    /// The hours: a dict with ``work`` and ``wait`` (low and high), both again for each of ``stages``, ``pace``,
    /// ``steps`` as above and ``rates`` (``unit`` and ``minutes`` of each).
    #[getter]
    fn hours<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        mounting::hours(&self.plan, py)
    }

    /// Reckon every other stage by what one really took.
    ///
    /// Parameters
    /// ----------
    /// stage : str
    ///     One of ``stages``.
    /// minutes : float
    ///     The minutes of work that it took, waiting not counted.
    ///
    /// Returns
    /// -------
    /// Plan
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for another stage, or minutes of zero or below.
    fn with_rate(&self, stage: &str, minutes: f64) -> PyResult<Self> {
        let stage = stage.parse().map_err(Failure::from)?;
        let plan = Plan::clone(&self.plan).with_rate(stage, minutes).map_err(Failure::from)?;
        Ok(Self { plan: Arc::new(plan), ..self.clone() })
    }

    /// Which cells draw the outline, bool of shape (rows, columns), read-only.
    #[getter]
    fn outline_cells(&self) -> Frozen<'static> {
        let grid = self.plan.grid();
        Frozen::bool(self.plan.outline_cells().into_iter(), &[grid.rows(), grid.columns()])
    }

    /// The stages of the job, in order.
    #[getter]
    fn stages(&self) -> Vec<String> {
        self.plan.stages().iter().map(|stage| stage.word().to_owned()).collect()
    }

    /// What you should know before you start.
    #[getter]
    fn warnings(&self) -> Vec<String> {
        let notes = self.notes.iter().cloned();
        notes.chain(self.plan.warnings().iter().map(ToString::to_string)).collect()
    }

    /// What `warnings` says, in the words of the book; what was noted of the picture's file is left out.
    fn _cautions(&self, language: &str) -> PyResult<Vec<String>> {
        let press = Press { language: language.parse().map_err(Failure::from)?, ..Press::default() };
        let found = self.recovery.as_ref().map_or(&[][..], |found| &found.recovery.best.warnings);
        Ok([sheet::doubts(&press, found), sheet::cautions(&press, &self.plan)].concat())
    }

    /// Write the book as PDF.
    ///
    /// Parameters
    /// ----------
    /// paper : str, default "letter"
    ///     ``"letter"`` or ``"a4"``.
    /// pages : str or sequence of str, optional
    ///     Kinds of sheets, such as ``"template"``; all that the figure needs by default. They come in the order
    ///     of the work.
    /// units : str, optional
    ///     ``"inch"`` or ``"metric"``: how lengths are read, to 1/16 in or 1 mm, where that is not as the ruler is
    ///     cut.
    /// large_print : bool, default False
    ///     Whether words are set at 16 points and tables at 14.
    /// ink : str, default "colour"
    ///     ``"colour"``, or ``"grey"`` for greys as light as the colours.
    /// language : str, default "en"
    ///     Of all words in the book: ``"en"`` or ``"de"``. Files beside the book stay as they are.
    /// bars : (Length, Length, Length), optional
    ///     A check bar of an earlier print, and what it measured across and down: pages are drawn larger or
    ///     smaller by that, so that they come out true.
    ///
    /// Returns
    /// -------
    /// bytes
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for another value, or bars that are off by more than a tenth.
    /// SizeError
    ///     ``SIZE-BAD`` for a bar that is no length.
    #[pyo3(signature = (paper = "letter", *, pages = None, units = None, large_print = false, ink = "colour",
                        language = "en", bars = None))]
    #[expect(clippy::too_many_arguments, reason = "keywords, not positions")]
    fn to_pdf<'py>(
        &self,
        py: Python<'py>,
        paper: &str,
        pages: Option<Names>,
        units: Option<&str>,
        large_print: bool,
        ink: &str,
        language: &str,
        bars: Option<Bars<'py>>,
    ) -> PyResult<Bound<'py, PyBytes>> {
        let press = Printing { paper, pages, units, large_print, ink, language, bars }.press()?;
        let plan = Arc::clone(&self.plan);
        let pdf = run(py, None, None, move |watch| output::book_pdf(&press, &plan, watch))?;
        Ok(PyBytes::new(py, &pdf))
    }

    /// Write the plan as JSON, in the form of ``plan_schema()``.
    ///
    /// Returns
    /// -------
    /// str
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        let plan = Arc::clone(&self.plan);
        run(py, None, None, move |_| Ok(plan.to_json()))
    }

    /// Read a plan back from its JSON.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     As written by ``to_json``.
    ///
    /// Returns
    /// -------
    /// Plan
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when it is no such plan, ``PLAN-VERSION`` when it is one of another version.
    #[classmethod]
    fn from_json(class: &Bound<'_, PyType>, text: String) -> PyResult<Self> {
        let plan = run(class.py(), None, None, move |_| Plan::from_json(&text))?;
        Ok(Self { plan: Arc::new(plan), recovery: None, notes: Vec::new(), path: None, settings: None })
    }

    /// Write book, report, template, pictures, palette, JSON and lists into a folder.
    ///
    /// Parameters
    /// ----------
    /// folder : path
    ///     Made when it is missing.
    /// overwrite : bool, default False
    ///     Whether files that are there already may be replaced; the picture never is.
    /// mkdir : bool, default False
    ///     Whether missing folders above it are made too.
    /// **printing
    ///     How the book is printed, as for ``to_pdf``.
    ///
    /// Returns
    /// -------
    /// list of Path
    ///     The files written.
    ///
    /// Raises
    /// ------
    /// OutputError
    ///     ``OUT-EXISTS`` when files are there already, ``OUT-…`` when they cannot be written.
    #[pyo3(signature = (folder, *, overwrite = false, mkdir = false, **printing))]
    fn write(
        slf: &Bound<'_, Self>,
        folder: &Bound<'_, PyAny>,
        overwrite: bool,
        mkdir: bool,
        printing: Option<&Bound<'_, PyDict>>,
    ) -> PyResult<Vec<PathBuf>> {
        let files = slf.py().import("squarewright.files")?;
        files.call_method1("write_plan", (slf, folder, overwrite, mkdir, printing))?.extract()
    }

    fn __eq__(&self, other: &Self) -> bool {
        self.plan == other.plan
    }

    fn __hash__(&self) -> u64 {
        use std::hash::{DefaultHasher, Hash, Hasher};
        let mut hasher = DefaultHasher::new();
        (self.plan.name(), self.plan.grid()).hash(&mut hasher);
        hasher.finish()
    }

    fn __repr__(&self) -> String {
        let Fit { rows, columns, pitch, across, down, .. } = self.plan.fit();
        let name = self.plan.name();
        format!("Plan({name:?}, {rows} rows × {columns} columns at {pitch}, {across} × {down} panels)")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let restore = py.get_type::<Self>().getattr("from_json")?;
        if self.path.is_none() && self.settings.is_none() {
            return Ok((restore, (self.to_json(py)?,).into_pyobject(py)?));
        }
        let told = ("_at", &self.path, self.settings.as_deref());
        let at = py.import("operator")?.getattr("methodcaller")?.call1(told)?;
        Ok((at, (restore.call1((self.to_json(py)?,))?,).into_pyobject(py)?))
    }
}
