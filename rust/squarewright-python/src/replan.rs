//! What a plan remembers of how it came about, and planning it again with changes.

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::IntoPyObjectExt;
use pyo3::prelude::*;
use pyo3::types::PyDict;
use squarewright::plan::Door;

use crate::grid::{Origin, PyGrid};
use crate::plan::PyPlan;

#[pymethods]
impl PyPlan {
    #[getter]
    fn _path(&self) -> Option<&PathBuf> {
        self.path.as_ref()
    }

    #[getter]
    fn _settings<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyDict>>> {
        self.settings.as_ref().map(|settings| settings.bind(py).copy()).transpose()
    }

    /// The stages that were timed, with their minutes.
    #[getter]
    fn _taken(&self) -> Vec<(&'static str, f64)> {
        self.plan.timing().taken.iter().map(|&(stage, minutes)| (stage.word(), minutes)).collect()
    }

    /// What it was made from: the recovery, or the grid with what is worth knowing about it.
    #[getter]
    fn _figure<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        let own = self.recovery.as_ref().filter(|found| found.recovery.best.grid == *self.plan.grid());
        if let Some(recovery) = own {
            return recovery.clone().into_bound_py_any(py);
        }
        let is_pixelated = self.plan.door() == Door::Pixelated;
        let origin = Origin { warnings: self.notes.clone(), path: self.path.clone(), is_pixelated };
        PyGrid::new(self.plan.grid().clone(), origin).into_bound_py_any(py)
    }

    /// Gives the same plan with the path of its picture and with what was asked for.
    #[pyo3(signature = (path, settings = None))]
    fn _at(&self, path: Option<PathBuf>, settings: Option<&Bound<'_, PyDict>>) -> PyResult<Self> {
        let settings =
            settings.map(|settings| Ok::<_, PyErr>(Arc::new(settings.copy()?.unbind()))).transpose()?;
        Ok(Self { path, settings, ..self.clone() })
    }

    /// Plan the figure again with some settings changed.
    ///
    /// Parameters
    /// ----------
    /// grid : Grid, optional
    ///     Another grid in place of its own.
    /// **changes
    ///     Settings of ``plan``; the others stay as they were. Stages that were timed stay timed.
    ///
    /// Returns
    /// -------
    /// Plan
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for a plan that was read back from JSON, and for ``background``, which is settled.
    /// SizeError, GridError
    ///     As ``plan``.
    ///
    /// Examples
    /// --------
    /// >>> larger = plan.replace(panel=Panel("24 in", "24 in"))  # doctest: +SKIP
    /// >>> merged = plan.replace(plan.grid.merged(3.0))  # doctest: +SKIP
    #[pyo3(signature = (grid = None, **changes))]
    fn replace<'py>(
        slf: &Bound<'py, Self>,
        grid: Option<&Bound<'py, PyGrid>>,
        changes: Option<&Bound<'py, PyDict>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let py = slf.py();
        let changes = changes.cloned().unwrap_or_else(|| PyDict::new(py));
        py.import("squarewright.planning")?.call_method1("replace", (slf, grid, changes))
    }
}
