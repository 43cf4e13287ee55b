//! `squarewright.PotStep` and `squarewright.mix_in_one_pot`.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyType};
use squarewright::paint::{self, Mixing, Recipe, Step};

use crate::array;
use crate::kept::{Kept, kept, restored};
use crate::paint::PyStock;
use crate::recipe::{self, PyBlend, PyRecipe};
use crate::watch::run;

/// A shade mixed in one pot.
#[pyclass(name = "PotStep", module = "squarewright", frozen, eq, extends = PyBlend)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyPotStep(Step);

/// A step on its way to Python.
pub(crate) struct NewStep(pub(crate) Step);

impl<'py> IntoPyObject<'py> for NewStep {
    type Target = PyPotStep;
    type Output = Bound<'py, PyPotStep>;
    type Error = PyErr;

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Self::Output> {
        let blend = PyClassInitializer::from(PyBlend(self.0.blend));
        Bound::new(py, blend.add_subclass(PyPotStep(self.0)))
    }
}

#[pymethods]
impl PyPotStep {
    /// The colour that is wanted, as ``"#rrggbb"``.
    #[getter]
    fn target(&self) -> String {
        self.0.target.to_string()
    }

    /// How many parts of what is in the pot are taken; 0 begins a new pot.
    #[getter]
    fn pot(&self) -> u32 {
        self.0.pot
    }

    /// The parts of each paint that is added, by its name.
    #[getter]
    fn added<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        recipe::listed(py, &self.0.added)
    }

    /// How far that is from the wanted colour, CIEDE2000.
    #[getter]
    fn difference(&self) -> f64 {
        self.0.difference
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &self.0)
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<NewStep> {
        restored(text).map(NewStep)
    }
}

/// Mix shades in one pot, from the lightest to the darkest.
///
/// Parameters
/// ----------
/// colours : iterable of str or tuple of int
///     The shades, in any order.
/// stock, max_paints, max_parts, tolerance
///     As for ``mix``.
/// pinned : iterable of Recipe, optional
///     Recipes of your own, made by ``pin``: they are followed as they are, and the next shade goes on from
///     their pot.
///
/// Returns
/// -------
/// list of PotStep
///     From light to dark: parts of what is in the pot, and what is added to them.
///
/// Raises
/// ------
/// ArgumentError
///     As ``mix``.
#[pyfunction]
#[pyo3(signature = (colours, stock, max_paints = 3, max_parts = None, tolerance = 3.0, *,
    pinned = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn mix_in_one_pot(
    colours: &Bound<'_, PyAny>,
    stock: &Bound<'_, PyStock>,
    max_paints: usize,
    max_parts: Option<&Bound<'_, PyAny>>,
    tolerance: f64,
    pinned: Option<Vec<Bound<'_, PyRecipe>>>,
) -> PyResult<Vec<NewStep>> {
    let max_parts = recipe::max_parts(max_parts)?;
    let asked = Mixing { max_paints, max_parts, tolerance, ..Mixing::default() };
    let (wanted, known) = (array::colours(colours)?, stock.get().0.clone());
    let own: Vec<Recipe> = pinned.iter().flatten().map(|recipe| recipe.get().0.clone()).collect();
    let steps = run(colours.py(), None, None, move |watch| {
        let recipes = paint::recipes(&wanted, &own, &known, &asked, watch)?;
        paint::pot(&recipes, &known, &asked, watch)
    })?;
    Ok(steps.into_iter().map(NewStep).collect())
}
