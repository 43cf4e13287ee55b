//! `squarewright.WallPlan`.

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple, PyType};
use squarewright::output;
use squarewright::plan::Minutes;
use squarewright::wall::{Done, Merged, OddSize, Remaining, WallFigure, WallPlan};

use crate::length::PyLength;
use crate::nesting::PyNesting;
use crate::panel::PyPanel;
use crate::plan::PyPlan;
use crate::repr::counted;
use crate::wall_told;
use crate::watch::{guard, run};

/// Everything about a wall; it never changes. ``Wall.plan`` makes one.
#[pyclass(name = "WallPlan", module = "squarewright", frozen)]
#[derive(Debug, Clone)]
pub(crate) struct PyWallPlan {
    pub(crate) wall: Arc<WallPlan>,
    /// Where the picture of each figure was read from, and what is worth knowing about it.
    sources: Vec<(Option<PathBuf>, Vec<String>)>,
    /// What its files are written with, by name.
    told: Option<Arc<Py<PyDict>>>,
}

impl PyWallPlan {
    /// Keeps of the plans that came in what the core does not know.
    pub(crate) fn new(wall: WallPlan, plans: Vec<PyPlan>) -> Self {
        let sources = plans.into_iter().map(|plan| (plan.path, plan.notes)).collect();
        Self { wall: Arc::new(wall), sources, told: None }
    }

    fn name_of(&self, figure: usize) -> &str {
        wall_told::name_of(&self.wall, figure)
    }

    fn figure(&self, place: usize, each: &WallFigure) -> PyPlan {
        let (path, notes) = self.sources.get(place).cloned().unwrap_or_default();
        PyPlan { plan: Arc::clone(&each.plan), recovery: None, notes, path, settings: None }
    }
}

#[pymethods]
impl PyWallPlan {
    /// The name that the pages bear.
    #[getter]
    fn name(&self) -> &str {
        self.wall.name()
    }

    /// The board, as measured.
    #[getter]
    fn panel(&self) -> PyPanel {
        PyPanel(self.wall.panel())
    }

    /// The plan of one copy of each figure, by its name, painted in the colours of the wall.
    #[getter]
    fn figures<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let entry = PyDict::new(py);
        for (place, each) in self.wall.figures().iter().enumerate() {
            entry.set_item(&each.name, self.figure(place, each))?;
        }
        Ok(entry)
    }

    /// How many there are of each figure, by its name.
    #[getter]
    fn copies<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let entry = PyDict::new(py);
        for each in self.wall.figures() {
            entry.set_item(&each.name, each.copies)?;
        }
        Ok(entry)
    }

    /// Where each figure is to hang, by its name: x and y, or None where it may hang anywhere.
    #[getter]
    fn places<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let entry = PyDict::new(py);
        for each in self.wall.figures() {
            let place = each.place.map(|(x, y)| (PyLength::from(x), PyLength::from(y)));
            entry.set_item(&each.name, place)?;
        }
        Ok(entry)
    }

    /// The figures that could not be planned: a dict with ``name``, ``code``, ``what`` and ``hint`` for each.
    #[getter]
    fn faults<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        let fault = |fault: &squarewright::wall::Fault| {
            let entry = PyDict::new(py);
            entry.set_item("name", &fault.name)?;
            entry.set_item("code", &fault.code)?;
            entry.set_item("what", &fault.what)?;
            entry.set_item("hint", &fault.hint)?;
            Ok(entry)
        };
        self.wall.faults().iter().map(fault).collect()
    }

    /// The colours that gave way: a dict with ``from`` and ``into``, ``difference`` (side by side) and ``shows``
    /// (at the distance), both CIEDE2000, and the names of the ``figures`` that it changes.
    #[getter]
    fn merges<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        let merge = |merge: &Merged| {
            let entry = PyDict::new(py);
            entry.set_item("from", merge.from.to_string())?;
            entry.set_item("into", merge.into.to_string())?;
            entry.set_item("difference", merge.difference)?;
            entry.set_item("shows", merge.shows)?;
            let figures = merge.figures.iter().map(|&figure| self.name_of(figure));
            entry.set_item("figures", figures.collect::<Vec<_>>())?;
            Ok(entry)
        };
        self.wall.merging().merges.iter().map(merge).collect()
    }

    /// How many jars there would be with each figure mixed by itself.
    #[getter]
    fn jars_before(&self) -> usize {
        self.wall.merging().jars_before
    }

    /// The jars, each mixed once: a dict with ``number``, ``name``, ``hex``, ``area_cm2``, ``coats``,
    /// ``undercoat``, ``ml`` (needed), ``batch_ml`` (to mix), ``measure``, ``doses`` (paint and measures),
    /// ``recipe``, and ``uses`` (``figure``, ``code``, ``cells`` of one copy, ``ml`` of all copies) for each.
    #[getter]
    fn jars<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        self.wall.jars().iter().map(|jar| wall_told::jar(&self.wall, py, jar)).collect()
    }

    /// The boards: a dict with their ``count``, those that figures have to themselves (``own``, by name), and
    /// which figures share boards (``shared``: name, copy and piece, in the order of ``nesting``). A figure of
    /// several boards has a piece for each. What ``nesting`` has beyond them was begun and is on the wall no more.
    #[getter]
    fn panels<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let boards = self.wall.boards();
        let (entry, own) = (PyDict::new(py), PyDict::new(py));
        entry.set_item("count", boards.count())?;
        for &(figure, count) in &boards.own {
            own.set_item(self.name_of(figure), count)?;
        }
        entry.set_item("own", own)?;
        let shared =
            boards.laid.iter().map(|laid| (self.name_of(laid.figure), laid.copy + 1, laid.piece + 1));
        entry.set_item("shared", shared.collect::<Vec<_>>())?;
        Ok(entry)
    }

    /// How figures lie on the boards that they share; None when none does.
    #[getter]
    fn nesting(&self) -> Option<PyNesting> {
        self.wall.boards().nesting.clone().map(|nesting| PyNesting(Arc::new(nesting)))
    }

    /// What to buy: a dict with ``panels`` (``needed``, ``owned``, ``packs``, ``spare``, ``pack``, ``at_hand``, ``cost``), ``paints``
    /// (``paint``, ``hex``, ``ml``, ``poured_ml``, ``at_hand_ml``, ``bottle_ml``, ``to_buy``, ``cost`` for each),
    /// ``cards`` (width, height and sheets), ``glue_ml``, ``primer_ml``, ``varnish_ml``, ``undercoat_ml``,
    /// ``blade_edges``, ``fixings`` (grams and count), ``jars``, and of all that has a price the ``total``, its
    /// ``currency``, and how many lines to buy have none (``unpriced``). Money is in hundredths.
    #[getter]
    fn buying<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        wall_told::buying(&self.wall, py)
    }

    /// The painting days: a dict with ``minutes`` and ``openings`` for each, in order. An opening has ``jar`` (its
    /// number; None for white below), ``name``, ``hex``, ``gap_minutes`` (nothing can be painted before it),
    /// ``meanwhile`` (``figure``, ``copy``, ``step`` and ``minutes`` of other work for that time, and ``ends``),
    /// ``minutes``, and ``work`` (``figure``, ``copy``, ``set``, ``coat``, ``cells``, ``minutes``).
    #[getter]
    fn days<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        self.wall.days().days.iter().map(|day| wall_told::day(&self.wall, py, day)).collect()
    }

    /// How often the brush changes colour: figure by figure, and on the days of the wall.
    #[getter]
    fn brush_changes(&self) -> (usize, usize) {
        (self.wall.days().changes_before, self.wall.days().changes_after)
    }

    /// Figures that break the rule of one pitch for the wall: a dict with ``figure``, its ``pitch``, the ``common``
    /// one, and ``error``, by which part it is larger (below zero: smaller) than the others.
    #[getter]
    fn odd_sizes<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        let odd = |odd: &OddSize| {
            let entry = PyDict::new(py);
            entry.set_item("figure", self.name_of(odd.figure))?;
            entry.set_item("pitch", PyLength(odd.pitch))?;
            entry.set_item("common", self.wall.pitch().map(PyLength))?;
            entry.set_item("error", odd.error)?;
            Ok(entry)
        };
        self.wall.odd_sizes().iter().map(odd).collect()
    }

    /// What is done of it.
    #[getter]
    fn progress<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        let done = PyDict::new(py);
        for (name, copies) in &self.wall.done().0 {
            done.set_item(name, copies.iter().map(|words| words.iter().collect()).collect::<Vec<Vec<_>>>())?;
        }
        py.import("squarewright.wall.progress")?.getattr("Progress")?.call1((done,))
    }

    /// Give the same wall when so much of it is done: what is to buy, the painting days and the book are those of
    /// the rest.
    ///
    /// Parameters
    /// ----------
    /// progress : Progress
    ///     What is done.
    ///
    /// Returns
    /// -------
    /// WallPlan
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for a word that is no step, no stage and no coat.
    fn after(&self, progress: &Bound<'_, PyAny>) -> PyResult<Self> {
        let mut done = Done::default();
        for item in progress.getattr("done")?.call_method0("items")?.try_iter()? {
            let (name, copies): (String, Vec<Vec<String>>) = item?.extract()?;
            done.0.insert(name, copies.into_iter().map(|words| words.into_iter().collect()).collect());
        }
        let wall = Arc::clone(&self.wall);
        let wall = run(progress.py(), None, None, move |watch| wall.after(done, watch))?;
        Ok(Self { wall: Arc::new(wall), ..self.clone() })
    }

    /// The steps that are left: a dict with ``figure``, ``copy``, ``stage``, ``step``, ``work_minutes`` and
    /// ``wait_minutes`` (low and high) for each, figure by figure in the order of the work.
    #[getter]
    fn remaining<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
        let step = |left: &Remaining| {
            let (entry, step) = (PyDict::new(py), left.step);
            entry.set_item("figure", self.name_of(left.figure))?;
            entry.set_item("copy", left.copy + 1)?;
            entry.set_item("stage", step.what.stage().word())?;
            entry.set_item("step", step.what.word())?;
            entry.set_item("work_minutes", (step.work.low, step.work.high))?;
            entry.set_item("wait_minutes", (step.wait.low, step.wait.high))?;
            Ok(entry)
        };
        self.wall.remaining().iter().map(step).collect()
    }

    /// The hours of all figures, copies counted: a dict with ``work`` and ``wait``, low and high.
    #[getter]
    fn hours<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let (totals, entry) = (self.wall.totals(), PyDict::new(py));
        let hours = |Minutes { low, high }: Minutes| (low / 60.0, high / 60.0);
        entry.set_item("work", hours(totals.minutes.work))?;
        entry.set_item("wait", hours(totals.minutes.wait))?;
        Ok(entry)
    }

    /// What all figures weigh, in grams: low, likely, high.
    #[getter]
    fn weight(&self) -> (f64, f64, f64) {
        let grams = self.wall.totals().grams;
        (grams.low, grams.likely, grams.high)
    }

    /// Write the wall as JSON.
    ///
    /// Returns
    /// -------
    /// str
    fn to_json(&self, py: Python<'_>) -> PyResult<String> {
        let wall = Arc::clone(&self.wall);
        run(py, None, None, move |_| Ok(wall.to_json()))
    }

    /// Read a wall back from its JSON.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     As written by ``to_json``.
    ///
    /// Returns
    /// -------
    /// WallPlan
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when it is no such wall, ``PLAN-VERSION`` when it is one of another version.
    #[classmethod]
    fn from_json(class: &Bound<'_, PyType>, text: String) -> PyResult<Self> {
        let wall = run(class.py(), None, None, move |_| WallPlan::from_json(&text))?;
        Ok(Self { wall: Arc::new(wall), sources: Vec::new(), told: None })
    }

    /// List what to buy as CSV.
    ///
    /// Returns
    /// -------
    /// str
    fn buying_csv(&self) -> PyResult<String> {
        guard(|| Ok(output::buying_csv(&self.wall)))
    }

    /// Write the wall and the plan of each figure into a folder.
    ///
    /// Parameters
    /// ----------
    /// folder : path
    ///     Made when it is missing; each figure has a folder in it.
    /// overwrite : bool, default False
    ///     Whether files that are there already may be replaced; pictures never are.
    /// mkdir : bool, default False
    ///     Whether missing folders above it are made too.
    /// progress : callable, optional
    ///     Called with the share that is done.
    /// threads : int, optional
    ///     How many figures are written at once; by default as many as there are processors.
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
    /// ProjectError
    ///     ``PROJECT-NEWER`` when the wall file is of a newer version than this package knows.
    #[pyo3(signature = (folder, *, overwrite = false, mkdir = false, progress = None, threads = None))]
    #[expect(clippy::too_many_arguments, reason = "keywords, not positions")]
    fn write(
        slf: &Bound<'_, Self>,
        folder: &Bound<'_, PyAny>,
        overwrite: bool,
        mkdir: bool,
        progress: Option<&Bound<'_, PyAny>>,
        threads: Option<usize>,
    ) -> PyResult<Vec<PathBuf>> {
        let output = slf.py().import("squarewright.wall.output")?;
        output.call_method1("write", (slf, folder, overwrite, mkdir, progress, threads))?.extract()
    }

    /// What its files are written with.
    #[getter]
    fn _told<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyDict>>> {
        self.told.as_ref().map(|told| told.bind(py).copy()).transpose()
    }

    #[getter]
    fn _sources(&self) -> Vec<(Option<PathBuf>, Vec<String>)> {
        self.sources.clone()
    }

    /// Gives the same wall with where its pictures were read from, and what its files are written with.
    fn _at(
        &self,
        sources: Vec<(Option<PathBuf>, Vec<String>)>,
        told: Option<&Bound<'_, PyDict>>,
    ) -> PyResult<Self> {
        let told = told.map(|told| Ok::<_, PyErr>(Arc::new(told.copy()?.unbind()))).transpose()?;
        Ok(Self { wall: Arc::clone(&self.wall), sources, told })
    }

    fn __eq__(&self, other: &Self) -> bool {
        self.wall == other.wall
    }

    fn __hash__(&self) -> usize {
        self.wall.figures().len()
    }

    fn __repr__(&self) -> String {
        let (name, totals, faults) = (self.wall.name(), self.wall.totals(), self.wall.faults().len());
        let Minutes { low, high } = totals.minutes.work;
        let failed = if faults > 0 { format!(", {faults} not planned") } else { String::new() };
        let (figures, panels) = (counted(totals.figures, "figure"), counted(totals.panels, "panel"));
        let (low, high, jars) = (low / 60.0, high / 60.0, counted(self.wall.jars().len(), "jar"));
        format!("WallPlan({name:?}, {figures} on {panels}, {jars}, {low:.0}–{high:.0} h{failed})")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let restore = py.get_type::<Self>().getattr("from_json")?;
        if self.sources.is_empty() && self.told.is_none() {
            return Ok((restore, (self.to_json(py)?,).into_pyobject(py)?));
        }
        let told = ("_at", &self.sources, self.told.as_deref());
        let at = py.import("operator")?.getattr("methodcaller")?.call1(told)?;
        Ok((at, (restore.call1((self.to_json(py)?,))?,).into_pyobject(py)?))
    }
}
