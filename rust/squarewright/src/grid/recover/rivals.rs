//! Other lattices worth a look: near ones, whose cells drift from those of the answer, and those of other sizes.

use super::joint::Pair;
use super::kernel::{Kernel, Model};
use super::polish::best_place;
use super::rungs::middle;
use super::solve::Axes;

/// The most that are listed.
const MOST: usize = 4;
/// Lattices that stay within this share of a cell of each other are one.
const SAME: f64 = 0.08;
/// Pitches that differ by more than this share are of other sizes.
const OTHER: f64 = 0.1;
/// How far apart two pitches may be to be tried as one.
const SQUARE: f64 = 0.06;

/// A model for across and one for down.
type Both = (Model, Model);

/// Lists them, best first: first what was nearly chosen, then other sizes.
pub(super) fn rivals(axes: &Axes, best: Both, raw: Both, pairs: &[Pair]) -> Vec<Both> {
    let sized = sizes(pairs, &best);
    let mut kept: Vec<Both> = vec![best];
    let mut near = near(axes, best, raw).into_iter();
    keep(axes, &mut kept, near.by_ref(), 2);
    keep(axes, &mut kept, sized.iter().copied(), 3);
    keep(axes, &mut kept, near, 4);
    keep(axes, &mut kept, sized.into_iter(), MOST + 1);
    kept.split_off(1)
}

/// Adds lattices that differ from all that are kept, up to a number.
fn keep(axes: &Axes, kept: &mut Vec<Both>, found: impl Iterator<Item = Both>, most: usize) {
    for both in found {
        if kept.len() >= most {
            return;
        }
        let differs = |other: &Both| {
            apart(&both.0, &other.0, axes.x.length()) > SAME
                || apart(&both.1, &other.1, axes.y.length()) > SAME
        };
        if kept.iter().all(differs) {
            kept.push(both);
        }
    }
}

/// Lists the best pair of each size other than that of the answer.
fn sizes(pairs: &[Pair], best: &Both) -> Vec<Both> {
    let far = |one: f64, two: f64| (one - two).abs() > OTHER * two;
    let mut found = vec![*best];
    for both in pairs.iter().map(|pair| (pair.x.model, pair.y.model)) {
        let differs = |other: &Both| far(both.0.pitch, other.0.pitch) || far(both.1.pitch, other.1.pitch);
        if found.len() <= MOST && found.iter().all(differs) {
            found.push(both);
        }
    }
    found.split_off(1)
}

/// Lists lattices of nearly the same size: before plain numbers were put in, the middle of all that the edges
/// allow, and one pitch for both axes.
fn near(axes: &Axes, best: Both, raw: Both) -> Vec<Both> {
    let mut found = vec![raw];
    let (across, down) = (axes.x.rungs(best.0), axes.y.rungs(best.1));
    if let (Some(across), Some(down)) = (&across, &down) {
        let square = middle(&[across, down]).and_then(|pitch| across.at(pitch).zip(down.at(pitch)));
        let alone = || Some((across.at(middle(&[across])?)?, down.at(middle(&[down])?)?));
        found.extend(square);
        found.extend(alone());
    }
    for (x, y) in [best, raw] {
        if (x.pitch - y.pitch).abs() < SQUARE * x.pitch {
            found.push((x, best_place(&axes.y.sketch.wide, y, x.pitch)));
            found.push((best_place(&axes.x.sketch.wide, x, y.pitch), y));
        }
    }
    // Every edge of a copy without blending was rounded, up or down by what wrote it.
    let shifted = |by: f64| {
        let moved = |model: Model| Model { offset: model.offset + by, ..model };
        (moved(best.0), moved(best.1))
    };
    if best.0.kernel == Kernel::Nearest {
        found.extend([0.5, -0.5].map(shifted));
    }
    found
}

/// Gives how far two lattices drift apart over a length, in cells.
fn apart(one: &Model, other: &Model, length: f64) -> f64 {
    let slip = |place: f64| {
        let turns = (place - one.offset) / one.pitch - (place - other.offset) / other.pitch;
        (turns - turns.round()).abs()
    };
    slip(0.0).max(slip(length)).max((length / one.pitch - length / other.pitch).abs().min(1.0))
}
