//! What no layout can go below: by area, and by figures no two of which share a panel.

use std::cmp::Reverse;

use super::board::Board;
use super::figure::Shape;
use super::footprint::Footprint;
use super::lay::Job;

/// Above this number of kinds, pairs are judged by their area alone.
const PAIRS: usize = 24;

/// Gives the least number of panels by area, those that are there already among them.
pub(super) fn by_area(job: &Job, shapes: &[Shape]) -> usize {
    let there = job.starts.len();
    if job.lattice.exact {
        let taken: usize = job.free.iter().map(|&figure| job.area(figure)).sum();
        let free: usize = job.starts.iter().map(|start| job.places() - start.taken).sum();
        return there + taken.saturating_sub(free).div_ceil(job.places());
    }
    if there > 0 {
        return there;
    }
    let mm2: f64 =
        shapes.iter().map(|shape| shape.cells() as f64 * shape.pitch.mm() * shape.pitch.mm()).sum();
    let (width, height) = job.lattice.room();
    let panels = mm2 / (width.mm() * height.mm());
    // A hair less, so that rounding never asks for a panel too many; no figure takes more than one.
    let count = job.kinds.len();
    (1..count).find(|&least| least as f64 >= panels * (1.0 - 1e-9)).unwrap_or(count)
}

/// Gives the size of a set of figures no two of which share a panel; it need not be the largest such set.
pub(super) fn by_pairs(job: &Job) -> usize {
    let alone = |one: usize, two: usize| !share(job, &job.turns[one], &job.turns[two]);
    let count = job.turns.len();
    let lower: Vec<Vec<bool>> =
        (0..count).map(|one| (0..=one).map(|two| alone(one, two)).collect()).collect();
    let apart = |one: usize, two: usize| lower[one.max(two)][one.min(two)];
    let kinds = &job.kinds;
    let strangers = |figure: &usize| kinds.iter().filter(|&&kind| apart(kinds[*figure], kind)).count();
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    order.sort_by_key(|figure| Reverse(strangers(figure)));
    let mut alone: Vec<usize> = Vec::new();
    for figure in order {
        if alone.iter().all(|&other| apart(kinds[figure], kinds[other])) {
            alone.push(figure);
        }
    }
    alone.len()
}

/// Tells whether two kinds can share a panel.
fn share(job: &Job, one: &[Footprint], two: &[Footprint]) -> bool {
    if one[0].area + two[0].area > job.places() {
        return false;
    }
    let pairs = || one.iter().flat_map(|first| two.iter().map(move |second| (first, second)));
    let beside = |(first, second): (&Footprint, &Footprint)| {
        first.width() + second.width() <= job.lattice.columns
            || first.height() + second.height() <= job.lattice.rows
    };
    job.turns.len() > PAIRS || pairs().any(beside) || pairs().any(|(first, second)| nests(job, first, second))
}

/// Tells whether two footprints fit on one panel: pushed to the top left together, one of them touches the left
/// edge and one the top edge.
fn nests(job: &Job, one: &Footprint, two: &Footprint) -> bool {
    let every = job.lattice.every;
    let beside = |first: &Footprint, spot, second: &Footprint| {
        let mut board = Board::new(&job.lattice);
        board.put(first, spot);
        board.first(second, (0, 0), every, &mut 0).is_some()
    };
    let at_top = |footprint: &Footprint| footprint.clone().at_top();
    let down = |first: &Footprint, second: Footprint| {
        (0..=first.last.1).step_by(every).any(|y| beside(first, (0, y), &second))
    };
    beside(one, (0, 0), two) || beside(two, (0, 0), one) || down(one, at_top(two)) || down(two, at_top(one))
}
