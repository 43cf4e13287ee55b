//! What a `squarewright.Plan` writes beside its book: drawings, pictures, the report, lists.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::PyBytes;
use squarewright::output;
use squarewright::sheet::{Press, Screen};

use crate::failure::Failure;
use crate::plan::PyPlan;
use crate::watch::{guard, run};

#[pymethods]
impl PyPlan {
    /// Write the whole figure at full size as SVG, on its boards and seen from the front.
    ///
    /// A unit of the drawing is a millimetre. The groups ``boards``, ``backing``, ``grid``, ``seams``,
    /// ``inner-lines``, ``outline``, ``holes``, ``coarse-cuts``, ``bays`` and ``codes`` are its layers; those of
    /// what a figure does not have are empty.
    ///
    /// Returns
    /// -------
    /// str
    fn to_svg(&self, py: Python<'_>) -> PyResult<String> {
        let plan = Arc::clone(&self.plan);
        run(py, None, None, move |_| Ok(output::template_svg(&Press::default(), &plan)))
    }

    /// Draw the finished figure as PNG, which says how many pixels a metre has.
    ///
    /// Returns
    /// -------
    /// bytes
    fn to_png<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        let plan = Arc::clone(&self.plan);
        let png = run(py, None, None, move |_| Ok(output::preview_png(&plan)))?;
        Ok(PyBytes::new(py, &png))
    }

    /// Draw the figure for a projector as PNG that fits into 1920 × 1080 pixels.
    ///
    /// Outline and inner lines, a cross on each corner of the board (of all boards together), the seams between
    /// boards, and the corners of a square to measure: its sides and its diagonals are equal when the picture is
    /// thrown square.
    ///
    /// Parameters
    /// ----------
    /// ground : str, default "black"
    ///     ``"black"`` with bright lines or ``"white"`` with dark ones.
    ///
    /// Returns
    /// -------
    /// bytes
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for another ground.
    #[pyo3(signature = (*, ground = "black"))]
    fn to_projector_png<'py>(&self, py: Python<'py>, ground: &str) -> PyResult<Bound<'py, PyBytes>> {
        let screen: Screen = ground.parse().map_err(Failure::from)?;
        let plan = Arc::clone(&self.plan);
        let png = run(py, None, None, move |_| Ok(output::projector_png(&Press::default(), &plan, screen)))?;
        Ok(PyBytes::new(py, &png))
    }

    /// Write the report as one HTML page: all words and tables of the book, for the screen and for paper.
    ///
    /// It holds its pictures and its style, asks for nothing from outside, and runs no script.
    ///
    /// Parameters
    /// ----------
    /// units : str, optional
    ///     ``"inch"`` or ``"metric"``; as the ruler of the plan by default.
    /// language : str, default "en"
    ///     The language of the words.
    ///
    /// Returns
    /// -------
    /// str
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for other units or another language.
    #[pyo3(signature = (*, units = None, language = "en"))]
    fn to_html(&self, py: Python<'_>, units: Option<&str>, language: &str) -> PyResult<String> {
        let units = units.map(str::parse).transpose().map_err(Failure::from)?;
        let language = language.parse().map_err(Failure::from)?;
        let press = Press { units, language, ..Press::default() };
        let plan = Arc::clone(&self.plan);
        run(py, None, None, move |_| Ok(output::report_html(&press, &plan)))
    }

    /// Write the colours, and the paints that they are mixed from, as palette text for image editors (GPL).
    ///
    /// Returns
    /// -------
    /// str
    fn to_gpl(&self) -> PyResult<String> {
        guard(|| Ok(output::palette_gpl(&self.plan)))
    }

    fn _repr_png_<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        self.to_png(py)
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

    /// List the cuts of all panels in their order as CSV; only a head when the figure is not cut out.
    ///
    /// Returns
    /// -------
    /// str
    fn cuts_csv(&self) -> PyResult<String> {
        guard(|| Ok(output::cuts_csv(&self.plan)))
    }
}
