//! Making a thin part one cell wider on the cheaper side.

use super::body::Mask;
use super::neck::Thin;
use crate::grid::patch::neighbours;

/// The corners of the wider square at which the narrower one may lie: rows above it, columns left of it.
const SIDES: [(usize, usize); 4] = [(0, 0), (0, 1), (1, 0), (1, 1)];

/// Lists the cells that make a part of `width` one cell wider; none when the grid has no room for them.
///
/// All its squares grow towards the same corner, the one that costs the fewest cells.
pub(super) fn thicken(mask: &Mask, thin: &Thin, width: usize) -> Option<Vec<usize>> {
    let anchors = anchors(mask, thin, width);
    let all = |side| {
        let cells: Option<Vec<Vec<usize>>> =
            anchors.iter().map(|&anchor| wider(mask, anchor, width, side)).collect();
        cells.map(|cells| tidy(cells.concat()))
    };
    let whole = SIDES.into_iter().filter_map(all).filter(|cells| !cells.is_empty());
    let best = whole.min_by_key(Vec::len).or_else(|| {
        // No corner suits all of them: each square takes its own.
        let one = |&anchor: &usize| {
            let sides = SIDES.into_iter().filter_map(|side| wider(mask, anchor, width, side));
            sides.min_by_key(Vec::len).unwrap_or_default()
        };
        Some(tidy(anchors.iter().flat_map(one).collect()))
    });
    best.filter(|cells| !cells.is_empty())
}

/// Lists the squares of the part, and those of the bodies that it begins from.
fn anchors(mask: &Mask, thin: &Thin, width: usize) -> Vec<usize> {
    let own = &thin.squares;
    let filled = |place: usize| {
        let (row, column) = mask.at(place);
        let inside = row + width <= mask.rows && column + width <= mask.columns;
        inside && square(mask, (row, column), width).all(|cell| mask.filled[cell])
    };
    let beside = own.iter().flat_map(|&place| neighbours(mask.rows, mask.columns, place));
    // Where two bodies touch there is no part between them, and nothing to begin from.
    let beside = beside.filter(|&place| thin.reach > 1 && filled(place));
    let mut anchors: Vec<usize> = own.iter().copied().chain(beside).collect();
    anchors.sort_unstable();
    anchors.dedup();
    anchors
}

/// Lists the bare cells of the wider square, if the grid holds it.
fn wider(mask: &Mask, anchor: usize, width: usize, (up, left): (usize, usize)) -> Option<Vec<usize>> {
    let (row, column) = mask.at(anchor);
    let (row, column) = (row.checked_sub(up)?, column.checked_sub(left)?);
    let inside = row + width < mask.rows && column + width < mask.columns;
    inside.then(|| square(mask, (row, column), width + 1).filter(|&cell| !mask.filled[cell]).collect())
}

fn square(mask: &Mask, (row, column): (usize, usize), side: usize) -> impl Iterator<Item = usize> {
    let columns = mask.columns;
    (row..row + side).flat_map(move |row| (column..column + side).map(move |column| row * columns + column))
}

fn tidy(mut cells: Vec<usize>) -> Vec<usize> {
    cells.sort_unstable();
    cells.dedup();
    cells
}
