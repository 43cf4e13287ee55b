//! What a plan says about its marks, and `squarewright.walk`.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};
use squarewright::outline::{self, GridLine, GridLines, Heading, Walk};
use squarewright::panel::Piece;
use squarewright::plan::{Marked, Plan};

use crate::grid::PyGrid;
use crate::plan::PyPlan;
use crate::watch::guard;

#[pymethods]
impl PyPlan {
    /// What is marked and drawn: a dict with ``marks``, ``lines``, ``metres`` and, less than all there could be,
    /// ``marks_saved``, ``lines_saved``, ``metres_saved`` and ``minutes_saved`` (low, high); for each of
    /// ``panels`` its ``across``, ``down``, ``columns`` and ``rows``: (mark, from, to) of each line.
    #[getter]
    fn marking<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        marking(&self.plan, py)
    }
}

/// Describes what is marked and drawn.
fn marking<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
    let entry = PyDict::new(py);
    let Marked { marks, lines, mm, marks_saved, lines_saved, saved_mm, saved } = plan.marked();
    entry.set_item("marks", marks)?;
    entry.set_item("lines", lines)?;
    entry.set_item("metres", mm / 1e3)?;
    entry.set_item("marks_saved", marks_saved)?;
    entry.set_item("lines_saved", lines_saved)?;
    entry.set_item("metres_saved", saved_mm / 1e3)?;
    entry.set_item("minutes_saved", (saved.low, saved.high))?;
    let panels = plan.fit().pieces.iter().map(|piece| panel(py, piece, &plan.lines(piece)));
    entry.set_item("panels", panels.collect::<PyResult<Vec<_>>>()?)?;
    Ok(entry)
}

fn panel<'py>(py: Python<'py>, piece: &Piece, lines: &GridLines) -> PyResult<Bound<'py, PyDict>> {
    let listed = |lines: &[GridLine]| -> Vec<(usize, usize, usize)> {
        lines.iter().map(|line| (line.index, line.from, line.to)).collect()
    };
    let entry = PyDict::new(py);
    entry.set_item("across", piece.across)?;
    entry.set_item("down", piece.down)?;
    entry.set_item("columns", listed(&lines.columns))?;
    entry.set_item("rows", listed(&lines.rows))?;
    Ok(entry)
}

/// Walk round the outline in counted runs.
///
/// Parameters
/// ----------
/// grid : Grid
///     The cells.
/// mirrored : bool, default False
///     Whether to walk it as seen from behind, where columns count from the other side.
///
/// Returns
/// -------
/// list of dict
///     The contours, outer ones first: each with ``start`` (row and column of the leftmost of its topmost
///     corners), ``hole``, and ``runs``: pairs such as ``(3, "right")``, with the clock until the start is
///     reached again.
///
/// Examples
/// --------
/// >>> walk(Grid([[0, 0], [0, -1]], ["#1d2430"]))[0]["runs"]
/// [(2, 'right'), (1, 'down'), (1, 'left'), (1, 'down'), (1, 'left'), (2, 'up')]
#[pyfunction]
#[pyo3(signature = (grid, *, mirrored = false))]
pub(crate) fn walk<'py>(
    py: Python<'py>,
    grid: &Bound<'py, PyGrid>,
    mirrored: bool,
) -> PyResult<Bound<'py, PyList>> {
    let grid = &grid.get().grid;
    let walks = guard(|| Ok(outline::walk(&outline::trace(grid), mirrored.then_some(grid.columns()))))?;
    PyList::new(py, walks.iter().map(|walk| contour(py, walk)).collect::<PyResult<Vec<_>>>()?)
}

fn contour<'py>(py: Python<'py>, walk: &Walk) -> PyResult<Bound<'py, PyDict>> {
    let way = |heading| match heading {
        Heading::East => "right",
        Heading::South => "down",
        Heading::West => "left",
        Heading::North => "up",
    };
    let entry = PyDict::new(py);
    entry.set_item("start", (walk.start.row, walk.start.column))?;
    entry.set_item("hole", walk.hole)?;
    let runs = walk.runs.iter().map(|run| (run.length, way(run.heading)));
    entry.set_item("runs", runs.collect::<Vec<_>>())?;
    Ok(entry)
}
