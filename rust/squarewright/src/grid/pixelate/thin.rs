//! Thin things that stay in one piece: areas thinned to their middles (Zhang and Suen 1984, doi
//! 10.1145/357994.358023), and the cells that the middles run through.

use super::Layout;
use super::trim::{is_loose_among, ring};

/// What a fine cell shows; nothing where it does not count.
pub(super) type Label = Option<u8>;

/// How much of a cell is of one label.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    pub(super) label: u8,
    /// How many of its fine cells are.
    pub(super) area: usize,
    /// How many of these are the middle of something thin.
    pub(super) middle: usize,
}

/// A line ends before the cell of which it fills less than one part in so many.
const ENDS: usize = 4;

/// Thins the `thin` parts of areas to lines one place wide that hang together, and on the rest, as the areas
/// do.
pub(super) fn middles(size: (usize, usize), labels: &[Label], thin: &[bool]) -> Vec<bool> {
    let mut left = labels.to_vec();
    let places: Vec<usize> = (0..thin.len()).filter(|&place| thin[place]).collect();
    loop {
        let mut changed = false;
        for (first, second) in [([0, 2, 4], [2, 4, 6]), ([0, 2, 6], [0, 4, 6])] {
            let goes = |place: usize| {
                let around = ring(size, place).map(|next| next.is_some_and(|next| left[next] == left[place]));
                let count = around.iter().filter(|&&there| there).count();
                let starts = (0..8).filter(|&side| !around[side] && around[(side + 1) % 8]).count();
                let open = |sides: [usize; 3]| sides.iter().any(|&side| !around[side]);
                (2..=6).contains(&count) && starts == 1 && open(first) && open(second)
            };
            let there = places.iter().copied().filter(|&place| left[place].is_some());
            let gone: Vec<usize> = there.filter(|&place| goes(place)).collect();
            changed |= !gone.is_empty();
            for place in gone {
                left[place] = None;
            }
        }
        if !changed {
            return (0..thin.len()).map(|place| thin[place] && left[place].is_some()).collect();
        }
    }
}

/// Counts what each cell is made of.
pub(super) fn parts(layout: Layout, labels: &[Label], middles: &[bool]) -> Vec<Vec<Part>> {
    let mut parts: Vec<Vec<Part>> = vec![Vec::new(); layout.rows * layout.columns];
    for (place, label) in labels.iter().enumerate() {
        let Some(label) = *label else { continue };
        let parts = &mut parts[layout.cell_of(place)];
        let at = parts.iter().position(|part| part.label == label).unwrap_or(parts.len());
        if at == parts.len() {
            parts.push(Part { label, area: 0, middle: 0 });
        }
        parts[at].area += 1;
        parts[at].middle += usize::from(middles[place]);
    }
    parts
}

/// Draws thin things over the labels of the cells, so that the cells of each share edges.
pub(super) fn draw(layout: Layout, parts: &[Vec<Part>], base: &[Label]) -> Vec<Label> {
    let through =
        |place: usize| parts[place].iter().filter(|part| part.middle > 0).max_by_key(|part| part.area);
    let middle = |place: usize| through(place).map(|part| part.label);
    let area = |place: usize, label: u8| {
        parts[place].iter().find(|part| part.label == label).map_or(0, |part| part.area)
    };
    let mut drawn: Vec<Label> = (0..parts.len()).map(|place| middle(place).or(base[place])).collect();
    for row in 1..layout.rows {
        for column in 1..layout.columns {
            let corner = row * layout.columns + column;
            let [a, b, c, d] = [corner - layout.columns - 1, corner - layout.columns, corner - 1, corner];
            for (one, other, ends) in [(b, c, [a, d]), (a, d, [b, c])] {
                let Some(label) = drawn[ends[0]].filter(|_| ends.iter().all(|&end| middle(end).is_some()))
                else {
                    continue;
                };
                if drawn[ends[1]] == Some(label) && drawn[one] != Some(label) && drawn[other] != Some(label) {
                    drawn[if area(other, label) > area(one, label) { other } else { one }] = Some(label);
                }
            }
        }
    }
    // Where a line only clips a corner, the cells before and after it do without; and it ends where little of
    // it is left.
    let size = (layout.rows, layout.columns);
    let full = layout.fine * layout.fine;
    for place in 0..drawn.len() {
        let Some(label) = drawn[place].filter(|_| drawn[place] != base[place]) else { continue };
        let same = |next: usize| drawn[next] == Some(label);
        let around = ring(size, place).into_iter().step_by(2).flatten().filter(|&next| same(next)).count();
        let clipped = through(place).is_none_or(|part| part.middle <= 1) && around >= 2;
        let faint = around == 1 && base[place].is_some() && ENDS * area(place, label) < full;
        if (clipped || faint) && is_loose_among(size, place, same) {
            drawn[place] = base[place];
        }
    }
    drawn
}
