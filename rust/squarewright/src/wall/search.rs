//! Orders of figures: the plain ones first, then chance swaps what lay best so far.

use std::cmp::Reverse;

use super::footprint::Footprint;
use super::lay::{Job, Layout, Rule};
use super::offcut::Free;
use crate::fault::{Result, Watch};
use crate::length::Length;
use crate::palette::Chance;

/// Orders that are tried while fewer panels are thinkable.
const ROUNDS: u32 = 600;
/// Orders that are tried for a larger rectangle alone.
const POLISH: u32 = 80;
/// Rows that are looked at before no further order is tried, so that large walls end: a count, never a time.
const LOOKS: u64 = 40_000_000;

/// What decides between two layouts: panels, how unevenly they are filled (more is better while fewer panels
/// are thinkable: it empties one of them), the largest rectangle left.
type Score = (usize, Reverse<u128>, Reverse<i64>);

struct Tried {
    order: Vec<usize>,
    layout: Layout,
    score: Score,
}

impl Tried {
    /// Panels first, then the largest rectangle: what the maker sees.
    fn worth(&self) -> (usize, Reverse<i64>) {
        (self.score.0, self.score.2)
    }
}

/// Looks for a layout on few panels, `bound` at the least.
pub(super) fn search(
    job: &Job,
    bound: usize,
    (smallest, seed): (Length, u64),
    watch: &dyn Watch,
) -> Result<Layout> {
    let mut looks = 0;
    let mut tried = |order: Vec<usize>, rule| {
        let layout = job.lay(&order, rule, &mut looks);
        let score = score(job, &layout, bound, smallest);
        (Tried { order, layout, score }, looks)
    };
    let mut best: Option<Tried> = None;
    for order in plain(job) {
        for rule in [Rule::Top, Rule::Bottom] {
            watch.check(0.0)?;
            let (next, _) = tried(order.clone(), rule);
            if best.as_ref().is_none_or(|best| next.worth() < best.worth()) {
                best = Some(next);
            }
        }
    }
    let mut best = best.expect("there are plain orders");
    let mut now = Tried { order: best.order.clone(), layout: best.layout.clone(), score: best.score };
    let mut chance = Chance::new(seed);
    let (mut round, mut polish) = (0, 0);
    while job.free.len() > 1 && round < ROUNDS && polish < POLISH {
        watch.check(round.max(polish * ROUNDS / POLISH) as f32 / ROUNDS as f32)?;
        let rule = if chance.below(2) == 0 { Rule::Top } else { Rule::Bottom };
        let (next, looks) = tried(shuffled(&now.order, &mut chance), rule);
        if next.worth() < best.worth() {
            best = Tried { order: next.order.clone(), layout: next.layout.clone(), score: next.score };
        }
        if next.score <= now.score {
            now = next;
        }
        round += 1;
        polish += u32::from(best.score.0 == bound);
        if looks > LOOKS {
            break;
        }
    }
    Ok(best.layout)
}

/// Gives the orders that are tried first: by area, longer side, half the way round, and shorter side.
fn plain(job: &Job) -> [Vec<usize>; 4] {
    let sides = |footprint: &Footprint| (footprint.width(), footprint.height());
    [
        job.by(|footprint| footprint.area),
        job.by(|footprint| (sides(footprint).0.max(sides(footprint).1), footprint.area)),
        job.by(|footprint| (sides(footprint).0 + sides(footprint).1, footprint.area)),
        job.by(|footprint| (sides(footprint).0.min(sides(footprint).1), footprint.area)),
    ]
}

/// Swaps one to three pairs of figures, or moves one to the front.
fn shuffled(order: &[usize], chance: &mut Chance) -> Vec<usize> {
    let mut order = order.to_vec();
    let count = order.len();
    if chance.below(4) == 0 {
        let from = chance.below(count);
        order[..=from].rotate_right(1);
        return order;
    }
    for _ in 0..=chance.below(3) {
        order.swap(chance.below(count), chance.below(count));
    }
    order
}

fn score(job: &Job, layout: &Layout, bound: usize, smallest: Length) -> Score {
    let panels = layout.boards.len();
    let square = |taken: usize| taken as u128 * taken as u128;
    let uneven = if panels > bound { layout.boards.iter().map(|board| square(board.taken)).sum() } else { 0 };
    let largest = |board| Free::new(board, &job.lattice, smallest, job.lattice.every).largest();
    let largest = layout.boards.iter().filter_map(largest).map(|offcut| offcut.units()).max();
    (panels, Reverse(uneven), Reverse(largest.unwrap_or(0)))
}
