//! What a `squarewright.WallPlan` prints: its book, its page, its picture; and where its figures hang.

use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict};
use squarewright::fault::Error;
use squarewright::length::{Area, Length, Place};
use squarewright::output;
use squarewright::sheet::Press;
use squarewright::wall::{Placing, fits};

use crate::failure::Failure;
use crate::length::{PyLength, whole};
use crate::plan::PyPlan;
use crate::press::{Bars, Printing};
use crate::wall_plan::PyWallPlan;
use crate::watch::{guard, run};

impl PyWallPlan {
    fn placed(&self) -> PyResult<&Placing> {
        let none = || {
            let must = "a wall with a width and a height".into();
            Failure::from(Error::Argument { name: "wall", must, got: "one without".into() }).into()
        };
        self.wall.placing().ok_or_else(none)
    }
}

/// Gives a rectangle of the wall by name.
fn told(py: Python<'_>, area: Area) -> PyResult<Bound<'_, PyDict>> {
    let entry = PyDict::new(py);
    let sides = [("x", area.left()), ("y", area.top()), ("width", area.width), ("height", area.height)];
    for (name, side) in sides {
        entry.set_item(name, PyLength::from(side))?;
    }
    Ok(entry)
}

#[pymethods]
impl PyWallPlan {
    /// Write the book of the wall as PDF: cover, buying list, colours, painting days, boards, wall map, hanging.
    ///
    /// Parameters
    /// ----------
    /// paper, units, large_print, ink, language, bars
    ///     As for ``Plan.to_pdf``.
    /// progress : callable, optional
    ///     Called with the share that is done.
    ///
    /// Returns
    /// -------
    /// bytes
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` for another value, or bars that are off by more than a tenth.
    /// SizeError
    ///     ``SIZE-BAD`` for a bar that is no length.
    #[pyo3(signature = (paper = "letter", *, units = None, large_print = false, ink = "colour", language = "en",
                        bars = None, progress = None))]
    #[expect(clippy::too_many_arguments, reason = "keywords, not positions")]
    fn to_pdf<'py>(
        &self,
        py: Python<'py>,
        paper: &str,
        units: Option<&str>,
        large_print: bool,
        ink: &str,
        language: &str,
        bars: Option<Bars<'py>>,
        progress: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Bound<'py, PyBytes>> {
        let press = Printing { paper, pages: None, units, large_print, ink, language, bars }.press()?;
        let wall = Arc::clone(&self.wall);
        let pdf = run(py, None, progress, move |watch| output::wall_pdf(&press, &wall, watch))?;
        Ok(PyBytes::new(py, &pdf))
    }

    /// Write the wall as one HTML page: all words and tables of its book, and links to the files of its figures.
    ///
    /// Parameters
    /// ----------
    /// links : dict of str to sequence of (str, str), optional
    ///     For the name of a figure the addresses of its files, each with the name that is shown.
    /// units : str, optional
    ///     ``"inch"`` or ``"metric"``; as the ruler of the figures by default.
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
    #[pyo3(signature = (*, links = None, units = None, language = "en"))]
    fn to_html(
        &self,
        py: Python<'_>,
        links: Option<&Bound<'_, PyDict>>,
        units: Option<&str>,
        language: &str,
    ) -> PyResult<String> {
        let units = units.map(str::parse).transpose().map_err(Failure::from)?;
        let language = language.parse().map_err(Failure::from)?;
        let press = Press { units, language, ..Press::default() };
        let wall = Arc::clone(&self.wall);
        let of = |name: &str| match links.map(|links| links.get_item(name)).transpose()?.flatten() {
            Some(found) => found.extract::<Vec<(String, String)>>(),
            None => Ok(Vec::new()),
        };
        let links = wall.figures().iter().map(|each| of(&each.name)).collect::<PyResult<Vec<_>>>()?;
        run(py, None, None, move |watch| output::wall_html(&press, &wall, &links, watch))
    }

    /// Draw the wall as it is seen from its distance as PNG, so that nothing finer shows than eyes can see.
    ///
    /// Returns
    /// -------
    /// bytes
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when the wall has no width and height.
    fn to_png<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyBytes>> {
        self.placed()?;
        let wall = Arc::clone(&self.wall);
        let png = run(py, None, None, move |_| Ok(output::wall_png(&wall).unwrap_or_default()))?;
        Ok(PyBytes::new(py, &png))
    }

    fn _repr_png_<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyBytes>>> {
        if self.wall.placing().is_none() { Ok(None) } else { self.to_png(py).map(Some) }
    }

    /// Where every figure hangs, copy by copy: a dict with ``figure``, ``copy``, ``x`` and ``y`` (from the top-left
    /// corner of the wall to that of the box round it), ``width``, ``height``, ``grams`` and ``by_hand`` for each;
    /// None when the wall has no width and height.
    #[getter]
    fn placing<'py>(&self, py: Python<'py>) -> PyResult<Option<Vec<Bound<'py, PyDict>>>> {
        let Some(placing) = self.wall.placing() else { return Ok(None) };
        let each = placing.figures.iter().zip(self.wall.hung()).map(|(placed, (figure, copy))| {
            let entry = told(py, placed.area())?;
            entry.set_item("figure", &self.wall.figures()[figure].name)?;
            entry.set_item("copy", copy + 1)?;
            entry.set_item("grams", placed.grams)?;
            entry.set_item("by_hand", placed.by_hand)?;
            Ok(entry)
        });
        each.collect::<PyResult<_>>().map(Some)
    }

    /// List the free places of the wall, the largest first: a dict with ``x``, ``y``, ``width`` and ``height`` for
    /// each. They keep the gap from everything and do not overlap.
    ///
    /// Parameters
    /// ----------
    /// smallest : Length or str, default "4 in"
    ///     The shorter side of a place at the least.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///
    /// Raises
    /// ------
    /// ArgumentError
    ///     ``VALUE-BAD`` when the wall has no width and height.
    /// SizeError
    ///     ``SIZE-BAD`` for a side that is no length.
    #[pyo3(signature = (smallest = None))]
    fn gaps<'py>(
        &self,
        py: Python<'py>,
        smallest: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Vec<Bound<'py, PyDict>>> {
        let usual = Length::INCH * 4;
        let smallest = smallest.map_or(Ok(usual), |given| whole(given, "smallest"))?;
        let smallest = smallest.positive("smallest").map_err(Failure::from)?;
        let placing = self.placed()?;
        let gaps = guard(|| Ok(placing.gaps(smallest)))?;
        gaps.into_iter().map(|area| told(py, area)).collect()
    }

    /// Give the largest friendly pitch at which the cells of a plan fit into a place, and on its boards.
    fn _pitch_for(
        &self,
        size: (PyRef<'_, PyLength>, PyRef<'_, PyLength>),
        cells: (usize, usize),
        plan: PyRef<'_, PyPlan>,
    ) -> PyResult<Option<PyLength>> {
        self.placed()?;
        let (fit, (width, height)) = (plan.plan.fit(), size);
        let (wide, high) = fit.joined();
        let (width, height) = (width.0.nearest().min(wide), height.0.nearest().min(high));
        Ok(fits(Area::new(Place::default(), width, height), cells, fit.ruler).map(PyLength))
    }
}
