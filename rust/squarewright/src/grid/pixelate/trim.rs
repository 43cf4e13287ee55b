//! Trimming: single cells at the borders of patches take the colour next door where that costs less, as long
//! as no patch falls apart or becomes too small.

use super::field::{Costs, Field};
use crate::fault::{Result, Watch};
use crate::grid::patch::connected;

/// Steps down and right, counted from above left, to the cells around one, clockwise from the one above.
const RING: [(usize, usize); 8] = [(0, 1), (0, 2), (1, 2), (2, 2), (2, 1), (2, 0), (1, 0), (0, 0)];
/// Passes over all cells at most.
const PASSES: usize = 4;

/// Lowers the energy of `labels` cell by cell.
pub(super) fn trim(
    field: &Field,
    costs: &Costs,
    labels: &mut [u8],
    least: usize,
    watch: &dyn Watch,
) -> Result<()> {
    for _ in 0..PASSES {
        watch.check(0.9)?;
        let value = |place: usize| field.cells[place].map(|_| labels[place]);
        let (patch_of, count) = connected(field.rows, field.columns, value);
        let mut sizes = vec![0_usize; count];
        for &patch in &patch_of {
            sizes[patch] += 1;
        }
        let mut changed = false;
        for place in (0..labels.len()).filter(|&place| field.cells[place].is_some()) {
            // A patch counts only what it loses, so that it stays large enough whatever it gains.
            if sizes[patch_of[place]] <= least || !is_loose(field, labels, place) {
                continue;
            }
            if let Some(label) = better(field, costs, labels, place) {
                labels[place] = label;
                sizes[patch_of[place]] -= 1;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    Ok(())
}

/// Gives the colour of a neighbour that lowers the energy most.
fn better(field: &Field, costs: &Costs, labels: &[u8], place: usize) -> Option<u8> {
    let energy = |label: u8| {
        let borders =
            field.around(place).filter(|&(next, _)| labels[next] != label).map(|(_, border)| border);
        costs.of(place, label) + borders.sum::<i32>()
    };
    let others =
        field.around(place).filter(|&(next, _)| field.cells[next].is_some()).map(|(next, _)| labels[next]);
    let best = others.filter(|&label| label != labels[place]).map(|label| (energy(label), label)).min()?;
    (best.0 < energy(labels[place])).then_some(best.1)
}

/// Says whether a cell can leave its patch without cutting it in two.
pub(super) fn is_loose(field: &Field, labels: &[u8], place: usize) -> bool {
    let same = |next: usize| field.cells[next].is_some() && labels[next] == labels[place];
    is_loose_among((field.rows, field.columns), place, same)
}

/// Says whether a cell can leave those that are the `same` without cutting them in two, judged by the cells
/// around it.
pub(super) fn is_loose_among(size: (usize, usize), place: usize, same: impl Fn(usize) -> bool) -> bool {
    let same = ring(size, place).map(|next| next.is_some_and(&same));
    let sides = || [0, 2, 4, 6].into_iter().filter(|&side| same[side]);
    // Two sides hang together when the corner between them is of the same kind.
    let links = sides().filter(|&side| same[side + 1] && same[(side + 2) % 8]).count();
    sides().count() == links + 1 || links == 4
}

/// Gives the cells around one, clockwise from the one above; those outside are missing.
pub(super) fn ring((rows, columns): (usize, usize), place: usize) -> [Option<usize>; 8] {
    let (row, column) = (place / columns, place % columns);
    RING.map(|(down, right)| {
        let (row, column) = (row + down, column + right);
        let inside = (1..=rows).contains(&row) && (1..=columns).contains(&column);
        inside.then(|| (row - 1) * columns + column - 1)
    })
}
