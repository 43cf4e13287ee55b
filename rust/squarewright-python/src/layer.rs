//! What a `squarewright.Plan` lays over its picture, as pixels.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::PyBytes;
use squarewright::output::{self, Canvas};
use squarewright::sheet::{Overlay, Press};

use crate::failure::{Failure, bad_argument};
use crate::plan::PyPlan;
use crate::watch::run;

#[pymethods]
impl PyPlan {
    /// Draw what lies over the picture in an image editor, one layer at a time.
    ///
    /// Parameters
    /// ----------
    /// layer : str
    ///     ``"cells"``, ``"inner-lines"``, ``"outline"``, ``"marks"``, ``"codes"`` or ``"weak-spots"``. Marks are
    ///     ticks at the edges of the figure, every fifth with its distance from the start edge; words that would
    ///     be too small to read are left out.
    /// width, height : int
    ///     The size of the picture in pixels.
    /// cells : tuple of float, optional
    ///     Where the cells lie on it: (left, top, right, bottom) in pixels; by default they fill it.
    /// units : str, optional
    ///     ``"inch"`` or ``"metric"``; as the ruler of the plan by default.
    /// language : str, default "en"
    ///     The language of decimal signs.
    ///
    /// Returns
    /// -------
    /// bytes
    ///     Red, green, blue and opacity of each pixel, row by row.
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for another layer, size, units or language, or cells that lie elsewhere.
    /// PictureError
    ///     ``PIC-EMPTY`` or ``PIC-TOO-BIG`` for a size that no picture has.
    #[pyo3(signature = (layer, width, height, cells = None, *, units = None, language = "en"))]
    #[expect(clippy::too_many_arguments, reason = "the keyword arguments of a public method")]
    fn to_layer<'py>(
        &self,
        py: Python<'py>,
        layer: &str,
        width: i64,
        height: i64,
        cells: Option<(f64, f64, f64, f64)>,
        units: Option<&str>,
        language: &str,
    ) -> PyResult<Bound<'py, PyBytes>> {
        let side = |value: i64, name| {
            u32::try_from(value).map_err(|_| bad_argument(name, "0 or more", value.to_string()))
        };
        let (width, height) = (side(width, "width")?, side(height, "height")?);
        let cells = cells.unwrap_or((0.0, 0.0, f64::from(width), f64::from(height)));
        let canvas = Canvas::new(width, height, cells).map_err(Failure::from)?;
        let units = units.map(str::parse).transpose().map_err(Failure::from)?;
        let press = Press { units, language: language.parse().map_err(Failure::from)?, ..Press::default() };
        let over: Option<Overlay> =
            if layer == "cells" { None } else { Some(layer.parse().map_err(Failure::from)?) };
        let plan = Arc::clone(&self.plan);
        let pixels = run(py, None, None, move |_| {
            Ok(match over {
                None => output::cells_rgba(plan.grid(), canvas),
                Some(over) => output::overlay_rgba(&press, &plan, over, canvas),
            })
        })?;
        Ok(PyBytes::new(py, &pixels))
    }
}
