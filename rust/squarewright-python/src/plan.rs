//! `squarewright.plan` and `squarewright.Plan`.

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyString, PyTuple, PyType};
use squarewright::grid::Background;
use squarewright::output;
use squarewright::paint::Mixing;
use squarewright::plan::{Door, Making, Plan, Source};
use squarewright::sheet::Paper;

use crate::array;
use crate::failure::Failure;
use crate::figure::{Figure, figure};
use crate::fit::{Asked, PyFit};
use crate::grid::{Origin, PyGrid};
use crate::paint::PyStock;
use crate::panel::PyPanel;
use crate::pot::PyPotStep;
use crate::recipe::PyRecipe;
use crate::recovery::{PyRecovery, ground as background_from};
use crate::watch::{guard, run};

/// Everything about one figure; it never changes.
#[pyclass(name = "Plan", module = "squarewright", frozen)]
#[derive(Debug)]
pub(crate) struct PyPlan {
    plan: Arc<Plan>,
    recovery: Option<PyRecovery>,
    notes: Vec<String>,
    /// Where its picture was read from: never overwritten.
    path: Option<PathBuf>,
}

#[pymethods]
impl PyPlan {
    #[getter]
    fn _path(&self) -> Option<&PathBuf> {
        self.path.as_ref()
    }

    /// Gives the same plan as read back, with the path of its picture.
    fn _at(&self, path: PathBuf) -> Self {
        Self { plan: Arc::clone(&self.plan), recovery: None, notes: Vec::new(), path: Some(path) }
    }

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

    /// The corners (row, column) at which the figure hangs together by nothing.
    #[getter]
    fn corner_joints(&self) -> Vec<(usize, usize)> {
        self.plan.corner_joints().into_iter().map(|corner| (corner.row, corner.column)).collect()
    }

    /// The separate parts of the figure, largest first, each a list of cells (row, column).
    #[getter]
    fn islands(&self) -> Vec<Vec<(usize, usize)>> {
        let columns = self.plan.grid().columns();
        let cells = |island: Vec<usize>| island.into_iter().map(|at| (at / columns, at % columns)).collect();
        self.plan.islands().into_iter().map(cells).collect()
    }

    /// What there is to paint: a dict with ``code``, ``name``, ``hex``, ``cells``, ``patches`` and
    /// ``area_cm2`` for each colour, in the order of the codes.
    #[getter]
    fn colours<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        let cell = self.plan.cell_cm2();
        let described = self.plan.tally().iter().map(|tally| {
            let entry = PyDict::new(py);
            entry.set_item("code", &tally.code)?;
            entry.set_item("name", &tally.name)?;
            entry.set_item("hex", tally.colour.to_string())?;
            entry.set_item("cells", tally.cells)?;
            entry.set_item("patches", tally.patches)?;
            entry.set_item("area_cm2", cell * tally.cells as f64)?;
            Ok(entry)
        });
        described.collect()
    }

    /// How each colour is mixed, in the order of the codes; empty when no stock was given.
    #[getter]
    fn recipes(&self) -> Vec<PyRecipe> {
        self.plan.mixes().recipes.iter().cloned().map(PyRecipe).collect()
    }

    /// The shades that can be mixed in one pot, a list for each family; empty when no stock was given.
    #[getter]
    fn pots(&self) -> Vec<Vec<PyPotStep>> {
        let steps = |pot: &Vec<_>| pot.iter().cloned().map(PyPotStep).collect();
        self.plan.mixes().pots.iter().map(steps).collect()
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

    /// Write the book as PDF.
    ///
    /// Parameters
    /// ----------
    /// paper : str, default "letter"
    ///     ``"letter"`` or ``"a4"``.
    ///
    /// Returns
    /// -------
    /// bytes
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for another paper.
    #[pyo3(signature = (paper = "letter"))]
    fn to_pdf<'py>(&self, py: Python<'py>, paper: &str) -> PyResult<Bound<'py, PyBytes>> {
        let paper: Paper = paper.parse().map_err(Failure::from)?;
        let plan = Arc::clone(&self.plan);
        let pdf = run(py, None, None, move |watch| output::book_pdf(&plan, paper, watch))?;
        Ok(PyBytes::new(py, &pdf))
    }

    /// Write the full-size template as SVG.
    ///
    /// Returns
    /// -------
    /// str
    fn to_svg(&self, py: Python<'_>) -> PyResult<String> {
        let plan = Arc::clone(&self.plan);
        run(py, None, None, move |_| Ok(output::template_svg(&plan)))
    }

    /// Draw the finished figure as PNG.
    ///
    /// Returns
    /// -------
    /// bytes
    fn to_png<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        let plan = Arc::clone(&self.plan);
        let png = run(py, None, None, move |_| Ok(output::preview_png(&plan)))?;
        Ok(PyBytes::new(py, &png))
    }

    fn _repr_png_<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        self.to_png(py)
    }

    /// Write the plan as JSON.
    ///
    /// Returns
    /// -------
    /// str
    fn to_json(&self) -> PyResult<String> {
        guard(|| Ok(self.plan.to_json()))
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
    ///     ``VALUE-BAD`` when it is no such plan.
    #[classmethod]
    fn from_json(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        let plan = guard(|| Plan::from_json(text))?;
        Ok(Self { plan: Arc::new(plan), recovery: None, notes: Vec::new(), path: None })
    }

    /// List the colours as CSV.
    ///
    /// Returns
    /// -------
    /// str
    fn colours_csv(&self) -> PyResult<String> {
        guard(|| Ok(output::colours_csv(&self.plan)))
    }

    /// List the marks of all panels as CSV.
    ///
    /// Returns
    /// -------
    /// str
    fn marks_csv(&self) -> PyResult<String> {
        guard(|| Ok(output::marks_csv(&self.plan)))
    }

    /// Write book, template, preview, JSON and lists into a folder.
    ///
    /// Parameters
    /// ----------
    /// folder : path
    ///     Made when it is missing.
    /// paper : str, default "letter"
    ///     ``"letter"`` or ``"a4"``.
    /// overwrite : bool, default False
    ///     Whether files that are there already may be replaced; the picture never is.
    /// mkdir : bool, default False
    ///     Whether missing folders above it are made too.
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
    #[pyo3(signature = (folder, *, paper = "letter", overwrite = false, mkdir = false))]
    fn write(
        slf: &Bound<'_, Self>,
        folder: &Bound<'_, PyAny>,
        paper: &str,
        overwrite: bool,
        mkdir: bool,
    ) -> PyResult<Vec<PathBuf>> {
        let files = slf.py().import("squarewright.files")?;
        files.call_method1("write_plan", (slf, folder, paper, overwrite, mkdir))?.extract()
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
        let (plan, fit) = (&self.plan, self.plan.fit());
        let (rows, columns) = (plan.grid().rows(), plan.grid().columns());
        format!(
            "Plan({:?}, {rows} rows × {columns} columns at {}, {} × {} panels)",
            plan.name(),
            fit.pitch,
            fit.across,
            fit.down
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let restore = py.get_type::<Self>().getattr("from_json")?;
        let Some(path) = &self.path else { return Ok((restore, (self.to_json()?,).into_pyobject(py)?)) };
        let at = py.import("operator")?.getattr("methodcaller")?.call1(("_at", path))?;
        Ok((at, (restore.call1((self.to_json()?,))?,).into_pyobject(py)?))
    }
}

/// Plan a figure: recover its cells, fit them on panels and prepare its book.
///
/// Parameters
/// ----------
/// picture_or_grid : Grid, Picture, path, bytes, file object, ndarray or Pillow image
///     The figure; a picture is recovered first.
/// panel : Panel
///     The board.
/// ruler, pitches, pitch, width, height, across, down, margin
///     As for ``fit``.
/// ending : str, default "cut out"
///     ``"cut out"`` along the outline, or ``"whole square"``.
/// backing : bool, default True
///     Whether card is glued behind it.
/// edges : bool, default True
///     Whether its edges are painted.
/// paints : str, default "mixed"
///     ``"mixed"`` to match, or ``"from the bottle"``.
/// raw : str or tuple of int, optional
///     The colour of the raw board, when cells of that colour stay unpainted.
/// ground : str or tuple of int, optional
///     The colour of the bare cells of a whole square.
/// background : str or tuple of int, default "auto"
///     As for ``recover``.
/// stock : Stock, optional
///     The paints; each colour gets a recipe.
/// pinned : list of Recipe, optional
///     Recipes of your own, made by ``pin``, that stay as they are.
/// name : str, optional
///     The name that the pages bear; by default that of the file.
/// progress : callable, optional
///     Called with the share that is done, 0 to 1.
///
/// Returns
/// -------
/// Plan
///
/// Raises
/// ------
/// GridError
///     ``GRID-UNSURE`` when the reading of a picture has a confidence under 0.5.
/// PictureError, SizeError, ArgumentError
///     As ``recover`` and ``fit``.
///
/// Examples
/// --------
/// >>> plan("heron.png", panel=Panel("12 in", "12 in")).write("heron-plan")  # doctest: +SKIP
#[pyfunction]
#[pyo3(signature = (picture_or_grid, *, panel, ruler = None, pitches = None, pitch = None, width = None,
    height = None, across = None, down = None, margin = None, ending = "cut out", backing = true, edges = true,
    paints = "mixed", raw = None, ground = None, background = None, stock = None,
    pinned = None, name = None, progress = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn plan(
    picture_or_grid: &Bound<'_, PyAny>,
    panel: &Bound<'_, PyPanel>,
    ruler: Option<&Bound<'_, PyAny>>,
    pitches: Option<&Bound<'_, PyAny>>,
    pitch: Option<&Bound<'_, PyAny>>,
    width: Option<&Bound<'_, PyAny>>,
    height: Option<&Bound<'_, PyAny>>,
    across: Option<i64>,
    down: Option<i64>,
    margin: Option<&Bound<'_, PyAny>>,
    ending: &str,
    backing: bool,
    edges: bool,
    paints: &str,
    raw: Option<&Bound<'_, PyAny>>,
    ground: Option<&Bound<'_, PyAny>>,
    background: Option<&Bound<'_, PyAny>>,
    stock: Option<&Bound<'_, PyStock>>,
    pinned: Option<Vec<Bound<'_, PyRecipe>>>,
    name: Option<&Bound<'_, PyString>>,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyPlan> {
    let py = picture_or_grid.py();
    let asked = Asked { ruler, pitches, pitch, width, height, across, down, margin }.read()?;
    let making = Making {
        ending: ending.parse().map_err(Failure::from)?,
        backing,
        edges,
        paints: paints.parse().map_err(Failure::from)?,
        raw: raw.map(array::colour).transpose()?,
        ground: ground.map(array::colour).transpose()?,
    };
    let background = background.map_or(Ok(Background::Auto), background_from)?;
    let Figure { grid, door, recovery, notes, name: file, path } =
        figure(picture_or_grid, background, progress)?;
    // A name may hold surrogates, which no page can show.
    let name = name.map(|name| name.to_string_lossy().into_owned()).or(file);
    let (panel, source) = (panel.get().0, Source { name: name.unwrap_or_else(|| "figure".into()), door });
    let stock = stock.map(|stock| stock.get().0.clone());
    let pinned: Vec<_> = pinned.into_iter().flatten().map(|recipe| recipe.get().0.clone()).collect();
    let plan = run(py, None, None, move |watch| {
        let plan = Plan::new(source, grid, panel, &asked, making)?;
        plan.mixed(stock.as_ref(), &pinned, &Mixing::default(), watch)
    })?;
    Ok(PyPlan { plan: Arc::new(plan), recovery, notes, path })
}
