//! What `squarewright.compare` is made of: sizes of one picture, a plan in a few figures, contact sheets.

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict};
use squarewright::grid::Sizes;
use squarewright::length::Length;
use squarewright::output;
use squarewright::plan::{Bottles, Plan, Summary, Weak};
use squarewright::sheet::{self, Eye, Press, Tile, Words};

use crate::grid::PyGrid;
use crate::length::whole;
use crate::picture::picture as picture_from;
use crate::pixelation::{Asked, wrapped};
use crate::plan::PyPlan;
use crate::watch::run;

/// A picture that is ready to be pixelated to any of several numbers of columns.
#[pyclass(name = "_Sizes", module = "squarewright._core", frozen)]
#[derive(Debug)]
pub(crate) struct PySizes {
    sizes: Arc<Sizes>,
    name: Option<String>,
    warnings: Vec<String>,
    path: Option<PathBuf>,
}

#[pymethods]
impl PySizes {
    #[new]
    #[pyo3(signature = (picture, columns, *, brushwork = "easy", candidates = None, figure = None, crop = None,
        smallest_patch = None, calm = None, seed = None))]
    #[expect(clippy::too_many_arguments, reason = "the keyword arguments of a public function")]
    fn new(
        picture: &Bound<'_, PyAny>,
        columns: Vec<usize>,
        brushwork: &str,
        candidates: Option<&Bound<'_, PyAny>>,
        figure: Option<&Bound<'_, PyAny>>,
        crop: Option<&Bound<'_, PyAny>>,
        smallest_patch: Option<&Bound<'_, PyAny>>,
        calm: Option<&Bound<'_, PyAny>>,
        seed: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let asked =
            Asked { brushwork, candidates, figure, crop, smallest_patch, calm, seed, ..Asked::default() };
        let (asked, _) = asked.read()?;
        let py = picture.py();
        let picture = picture_from(picture)?;
        let picture = picture.get();
        let pixels = Arc::clone(&picture.picture);
        let name = picture.name.clone();
        let sizes =
            run(py, name.as_deref(), None, move |watch| Sizes::new(&pixels, &asked, &columns, watch))?;
        let (warnings, path) = (picture.warnings.clone(), picture.path.clone());
        Ok(Self { sizes: Arc::new(sizes), name, warnings, path })
    }

    /// Pixelates it to one of its sizes in so many colours.
    fn pixelate(&self, py: Python<'_>, size: usize, colours: usize) -> PyResult<PyGrid> {
        let sizes = Arc::clone(&self.sizes);
        let made = run(py, self.name.as_deref(), None, move |watch| sizes.pixelate(size, colours, watch))?;
        Ok(wrapped(made, &self.warnings, self.path.clone()))
    }
}

/// What Python asks of a tile: columns and colours, and the plan or what stands in its way.
type Asking = (Option<(usize, usize)>, Result<Arc<Plan>, String>);

/// Reads a tile: what was asked for, and a plan or words.
fn tile(value: &Bound<'_, PyAny>) -> PyResult<Asking> {
    let (asked, plan): (Option<(usize, usize)>, Bound<'_, PyAny>) = value.extract()?;
    let plan = match plan.cast::<PyPlan>() {
        Ok(plan) => Ok(Arc::clone(&plan.get().plan)),
        Err(_) => Err(plan.extract()?),
    };
    Ok((asked, plan))
}

fn tiles(asked: &[Asking]) -> Vec<Tile<'_>> {
    fn tile((asked, plan): &Asking) -> Tile<'_> {
        Tile { asked: *asked, plan: plan.as_deref().map_err(|why| &**why) }
    }
    asked.iter().map(tile).collect()
}

/// Draws a contact sheet as PNG.
#[pyfunction]
#[pyo3(name = "_contact_png")]
pub(crate) fn contact_png<'py>(
    py: Python<'py>,
    title: String,
    asked: Vec<Bound<'py, PyAny>>,
    abreast: usize,
    distance: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyBytes>> {
    let asked = asked.iter().map(tile).collect::<PyResult<Vec<_>>>()?;
    let distance = whole(distance, "distance")?;
    let png = run(py, None, None, move |_| {
        Ok(output::contact_png(&Press::default(), &title, &tiles(&asked), abreast, distance))
    })?;
    Ok(PyBytes::new(py, &png))
}

/// The head of a tile, its lines, and what is seen as PNG.
type Told<'py> = (String, Vec<(String, String)>, Option<Bound<'py, PyBytes>>);

/// Gives what stands on a contact sheet: the remark, and for each tile its head, its lines and its picture as PNG.
#[pyfunction]
#[pyo3(name = "_contact_words")]
pub(crate) fn contact_words<'py>(
    py: Python<'py>,
    asked: Vec<Bound<'py, PyAny>>,
    distance: &Bound<'py, PyAny>,
) -> PyResult<(String, Vec<Told<'py>>)> {
    let asked = asked.iter().map(tile).collect::<PyResult<Vec<_>>>()?;
    let distance: Length = whole(distance, "distance")?;
    let (remark, told) = run(py, None, None, move |_| {
        let (press, tiles) = (Press::default(), tiles(&asked));
        let plans: Vec<&Plan> = tiles.iter().filter_map(|tile| tile.plan.ok()).collect();
        let eye = Eye::for_all(&plans, distance);
        let told = |tile| {
            (sheet::contact_words(&press, tile), tile.plan.ok().map(|plan| output::view_png(plan, eye)))
        };
        Ok((sheet::contact_remark(&press, eye), tiles.iter().map(told).collect::<Vec<_>>()))
    })?;
    let wrapped = |(Words { head, facts }, png): (Words, Option<Vec<u8>>)| {
        (head, facts, png.map(|png| PyBytes::new(py, &png)))
    };
    Ok((remark, told.into_iter().map(wrapped).collect()))
}

#[pymethods]
impl PyPlan {
    /// It in a few figures that can be written as JSON: a dict with ``rows``, ``columns``, ``cells``, ``patches``,
    /// ``colours``, ``pitch``, ``width``, ``height``, ``panels`` (across, down), ``jars``, ``colour_ml``, ``paints``,
    /// ``bottles`` and ``bottles_to_buy`` (None without a stock), ``hours`` and ``waiting_hours`` (low, high),
    /// ``weak_spots`` of each kind and ``severe_spots``.
    #[getter]
    fn summary<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        summary(&self.plan, py)
    }
}

/// Describes a plan in a few figures.
fn summary<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
    let sum @ Summary { panels, bottles, minutes, weak, .. } = plan.summary();
    let entry = PyDict::new(py);
    entry.set_item("rows", sum.rows)?;
    entry.set_item("columns", sum.columns)?;
    entry.set_item("cells", sum.cells)?;
    entry.set_item("patches", sum.patches)?;
    entry.set_item("colours", sum.colours)?;
    entry.set_item("pitch", sum.pitch.to_string())?;
    entry.set_item("width", plan.fit().width().to_string())?;
    entry.set_item("height", plan.fit().height().to_string())?;
    entry.set_item("panels", [panels.0, panels.1])?;
    entry.set_item("jars", sum.jars)?;
    entry.set_item("colour_ml", sum.colour_ml)?;
    entry.set_item("paints", bottles.map(|bottles: Bottles| bottles.paints))?;
    entry.set_item("bottles", bottles.map(|bottles| bottles.all))?;
    entry.set_item("bottles_to_buy", bottles.map(|bottles| bottles.to_buy))?;
    entry.set_item("hours", [minutes.work.low / 60.0, minutes.work.high / 60.0])?;
    entry.set_item("waiting_hours", [minutes.wait.low / 60.0, minutes.wait.high / 60.0])?;
    entry.set_item("weak_spots", weak_spots(weak, py)?)?;
    entry.set_item("severe_spots", weak.severe())?;
    Ok(entry)
}

fn weak_spots(weak: Weak, py: Python<'_>) -> PyResult<Bound<'_, PyDict>> {
    let entry = PyDict::new(py);
    entry.set_item("corner_joints", weak.corner_joints)?;
    entry.set_item("loose_parts", weak.loose_parts)?;
    entry.set_item("thin_parts", weak.thin_parts)?;
    entry.set_item("may_snap", weak.may_snap)?;
    entry.set_item("narrow_gaps", weak.narrow_gaps)?;
    entry.set_item("small_holes", weak.small_holes)?;
    Ok(entry)
}
