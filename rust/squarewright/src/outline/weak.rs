//! Where a cut figure would not hold together.

use super::Corner;
use crate::grid::Grid;
use crate::grid::patch::connected;

/// Lists the corners at which two figure cells touch and share no edge: cut out, nothing joins them there.
pub fn corner_joints(grid: &Grid) -> Vec<Corner> {
    let filled = |row: usize, column: usize| grid.cells()[row * grid.columns() + column].is_some();
    let inner = (1..grid.rows()).flat_map(|row| (1..grid.columns()).map(move |column| (row, column)));
    inner
        .filter(|&(row, column)| {
            let falling = (filled(row - 1, column - 1), filled(row, column));
            let rising = (filled(row - 1, column), filled(row, column - 1));
            matches!((falling, rising), ((true, true), (false, false)) | ((false, false), (true, true)))
        })
        .map(|(row, column)| Corner { row, column })
        .collect()
}

/// Lists the parts of the figure that share no edge with each other, as places of cells in row-major order:
/// the largest first, then by first cell. A figure in one piece gives one part.
pub fn islands(grid: &Grid) -> Vec<Vec<usize>> {
    let filled = |place: usize| grid.cells()[place].is_some();
    let (labels, count) = connected(grid.rows(), grid.columns(), filled);
    let mut parts = vec![Vec::new(); count];
    for (place, &label) in labels.iter().enumerate().filter(|(place, _)| filled(*place)) {
        parts[label].push(place);
    }
    parts.retain(|part| !part.is_empty());
    parts.sort_by_key(|part| (std::cmp::Reverse(part.len()), part[0]));
    parts
}
