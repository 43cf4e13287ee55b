//! Patches: areas of one colour whose cells share edges.

use super::{Cell, Grid};

/// A 4-connected area of one colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Patch {
    /// The colour, a place in the palette; none for a bare area.
    pub cell: Cell,
    /// Its cells as places in row-major order, ascending.
    pub places: Vec<usize>,
}

/// Finds the patches of the figure, in the order of their first cells; bare areas are left out.
pub fn patches(grid: &Grid) -> Vec<Patch> {
    let (labels, count) = connected(grid.rows(), grid.columns(), |place| grid.cells()[place]);
    let mut patches = vec![Patch { cell: None, places: Vec::new() }; count];
    for (place, &label) in labels.iter().enumerate() {
        patches[label].cell = grid.cells()[place];
        patches[label].places.push(place);
    }
    patches.retain(|patch| patch.cell.is_some());
    patches
}

/// Labels the 4-connected areas of equal `value`, numbered by their first place in row-major order.
pub(crate) fn connected<V: PartialEq>(
    rows: usize,
    columns: usize,
    value: impl Fn(usize) -> V,
) -> (Vec<usize>, usize) {
    const NONE: usize = usize::MAX;
    let mut labels = vec![NONE; rows * columns];
    let mut count = 0;
    let mut open = Vec::new();
    for start in 0..labels.len() {
        if labels[start] != NONE {
            continue;
        }
        labels[start] = count;
        open.push(start);
        while let Some(place) = open.pop() {
            for next in neighbours(rows, columns, place) {
                if labels[next] == NONE && value(next) == value(place) {
                    labels[next] = count;
                    open.push(next);
                }
            }
        }
        count += 1;
    }
    (labels, count)
}

/// Finds the first part that a part is joined to, and shortens the way there (path halving, R. E. Tarjan and
/// J. van Leeuwen 1984, from memory).
pub(crate) fn root(first: &mut [usize], mut number: usize) -> usize {
    while first[number] != number {
        first[number] = first[first[number]];
        number = first[number];
    }
    number
}

/// Gives the cells that share an edge with the cell at `place`.
pub(crate) fn neighbours(rows: usize, columns: usize, place: usize) -> impl Iterator<Item = usize> {
    let (row, column) = (place / columns, place % columns);
    let found = [
        (row > 0).then(|| place - columns),
        (column > 0).then(|| place - 1),
        (column + 1 < columns).then(|| place + 1),
        (row + 1 < rows).then(|| place + columns),
    ];
    found.into_iter().flatten()
}
