//! `squarewright.PotStep` and `squarewright.mix_in_one_pot`.

use pyo3::prelude::*;
use pyo3::types::PyDict;
use squarewright::paint::{self, Mixing, Step};

use crate::array;
use crate::paint::PyStock;
use crate::recipe;
use crate::watch::run;

/// A shade mixed in one pot.
#[pyclass(name = "PotStep", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyPotStep(pub(crate) Step);

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

    /// The colour that this is predicted to make, as ``"#rrggbb"``.
    #[getter]
    fn hex(&self) -> String {
        self.0.colour.to_string()
    }

    /// How far that is from the wanted colour, CIEDE2000.
    #[getter]
    fn difference(&self) -> f64 {
        self.0.difference
    }

    /// How far to trust it.
    #[getter]
    fn trust(&self) -> &'static str {
        self.0.trust.words()
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
#[pyo3(signature = (colours, stock, max_paints = 3, max_parts = None, tolerance = 3.0))]
pub(crate) fn mix_in_one_pot(
    colours: &Bound<'_, PyAny>,
    stock: &Bound<'_, PyStock>,
    max_paints: usize,
    max_parts: Option<&Bound<'_, PyAny>>,
    tolerance: f64,
) -> PyResult<Vec<PyPotStep>> {
    let asked = Mixing { max_paints, max_parts: recipe::max_parts(max_parts)?, tolerance };
    let (wanted, known) = (array::colours(colours)?, stock.get().0.clone());
    let steps = run(colours.py(), None, None, move |watch| paint::pot(&wanted, &known, &asked, watch))?;
    Ok(steps.into_iter().map(PyPotStep).collect())
}
