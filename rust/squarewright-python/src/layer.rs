//! What lies over a picture in an image editor, as pixels: the cells of a `squarewright.Grid`, the lines of a `Plan`.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::PyBytes;
use squarewright::output::{self, Canvas};
use squarewright::sheet::{Overlay, Press};

use crate::failure::{Failure, bad_argument};
use crate::grid::PyGrid;
use crate::plan::PyPlan;
use crate::watch::run;

/// Where cells lie: left, top, right, bottom.
type Cells = Option<(f64, f64, f64, f64)>;

#[pymethods]
impl PyGrid {
    /// Draw the cells as they lie over a picture in an image editor.
    ///
    /// Parameters
    /// ----------
    /// width, height : int
    ///     The size of the picture in pixels.
    /// cells : tuple of float, optional
    ///     Where the cells lie on it: (left, top, right, bottom) in pixels; by default they fill it.
    ///
    /// Returns
    /// -------
    /// bytes
    ///     Red, green, blue and opacity of each pixel, row by row; a pixel has the colour of the cell that its
    ///     middle lies in.
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for a size below 0, or cells that lie elsewhere.
    /// PictureError
    ///     ``PIC-EMPTY`` or ``PIC-TOO-BIG`` for a size that no picture has.
    #[pyo3(signature = (width, height, cells = None))]
    fn to_layer<'py>(
        &self,
        py: Python<'py>,
        width: i64,
        height: i64,
        cells: Cells,
    ) -> PyResult<Bound<'py, PyBytes>> {
        let (grid, canvas) = (self.grid.clone(), canvas(width, height, cells)?);
        let pixels = run(py, None, None, move |_| Ok(output::cells_rgba(&grid, canvas)))?;
        Ok(PyBytes::new(py, &pixels))
    }
}

#[pymethods]
impl PyPlan {
    /// Draw lines, marks or words as they lie over the picture in an image editor.
    ///
    /// Parameters
    /// ----------
    /// layer : str
    ///     ``"inner-lines"``, ``"outline"``, ``"marks"``, ``"codes"`` or ``"weak-spots"``. Marks are ticks at the
    ///     edges of the figure, every fifth with its distance from the start edge; words that would be too small
    ///     to read are left out.
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
        cells: Cells,
        units: Option<&str>,
        language: &str,
    ) -> PyResult<Bound<'py, PyBytes>> {
        let layer: Overlay = layer.parse().map_err(Failure::from)?;
        let units = units.map(str::parse).transpose().map_err(Failure::from)?;
        let language = language.parse().map_err(Failure::from)?;
        let press = Press { units, language, ..Press::default() };
        let (plan, canvas) = (Arc::clone(&self.plan), canvas(width, height, cells)?);
        let pixels = run(py, None, None, move |_| Ok(output::overlay_rgba(&press, &plan, layer, canvas)))?;
        Ok(PyBytes::new(py, &pixels))
    }
}

fn canvas(width: i64, height: i64, cells: Cells) -> PyResult<Canvas> {
    let side = |value: i64, name| {
        u32::try_from(value).map_err(|_| bad_argument(name, "0 or more", value.to_string()))
    };
    let (width, height) = (side(width, "width")?, side(height, "height")?);
    let cells = cells.unwrap_or((0.0, 0.0, f64::from(width), f64::from(height)));
    Ok(Canvas::new(width, height, cells).map_err(Failure::from)?)
}
