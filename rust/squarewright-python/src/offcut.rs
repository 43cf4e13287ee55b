//! `squarewright.OffCut`.

use pyo3::prelude::*;
use pyo3::types::PyType;
use squarewright::length::Length;
use squarewright::wall::OffCut;

use crate::kept::{Kept, kept, restored};
use crate::length::{PyLength, whole};
use crate::nesting::figures;
use crate::watch::guard;

/// A rectangle that is left of a panel; it stays clear of every figure by the gap.
#[pyclass(name = "OffCut", module = "squarewright", frozen, eq, hash)]
#[derive(Debug, PartialEq, Eq, Hash)]
pub(crate) struct PyOffCut(pub(crate) OffCut);

#[pymethods]
impl PyOffCut {
    /// From the left edge of the panel.
    #[getter]
    fn x(&self) -> PyLength {
        self.0.x.into()
    }

    /// From the top edge of the panel.
    #[getter]
    fn y(&self) -> PyLength {
        self.0.y.into()
    }

    /// Its width.
    #[getter]
    fn width(&self) -> PyLength {
        self.0.width.into()
    }

    /// Its height.
    #[getter]
    fn height(&self) -> PyLength {
        self.0.height.into()
    }

    /// Tell which figures it could hold, each by itself.
    ///
    /// Parameters
    /// ----------
    /// grids : list of Grid
    ///     The figures.
    /// pitch : Length or str, or list of them
    ///     The side of a cell: one for all figures, or one for each.
    /// margin : Length or str, default "0 in"
    ///     What stays free along its edges.
    /// turning : bool, default True
    ///     Whether figures may be turned by quarter turns.
    ///
    /// Returns
    /// -------
    /// list of int
    ///     Places in ``grids``, counted from 0.
    ///
    /// Raises
    /// ------
    /// SizeError, ArgumentError
    ///     ``SIZE-BAD`` for what is no length, ``VALUE-BAD`` for any other setting.
    ///
    /// Examples
    /// --------
    /// >>> nesting.panels[-1].offcuts[0].fits(grids, pitch="1/8 in")  # doctest: +SKIP
    /// [0, 3]
    #[pyo3(signature = (grids, *, pitch, margin = None, turning = true))]
    fn fits(
        &self,
        grids: &Bound<'_, PyAny>,
        pitch: &Bound<'_, PyAny>,
        margin: Option<&Bound<'_, PyAny>>,
        turning: bool,
    ) -> PyResult<Vec<usize>> {
        let figures = figures(grids, pitch)?;
        let margin = margin.map_or(Ok(Length::ZERO), |margin| whole(margin, "margin"))?;
        guard(|| Ok(self.0.fits(&figures, margin, turning)))
    }

    fn __repr__(&self) -> String {
        let OffCut { x, y, width, height } = self.0;
        format!("OffCut({width} x {height} at {x}, {y})")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &self.0)
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        restored(text).map(Self)
    }
}
