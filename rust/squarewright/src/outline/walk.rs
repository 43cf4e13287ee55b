//! The outline as counted runs: "3 right, 1 down, 2 right", for those who trace it or count it out.
//!
//! Every contour is walked with the clock from its top-left corner, so each walk begins to the right: the outer
//! ones first, then the holes.

use serde::Serialize;

use super::{Corner, Heading, Outline, Ring, Run};

/// A walk round one contour.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Walk {
    /// Where it starts and ends: the leftmost of its topmost corners.
    pub start: Corner,
    /// Its straight runs, in order; two neighbours never have the same heading.
    pub runs: Vec<Run>,
    /// Whether it goes round a hole.
    pub hole: bool,
}

/// Walks round every contour of a grid.
///
/// With `mirrored`, the number of columns of the grid, it is walked as seen from behind: columns count from the
/// other side.
pub fn walk(outline: &Outline, mirrored: Option<usize>) -> Vec<Walk> {
    let mut walks: Vec<Walk> = outline.rings.iter().map(|ring| round(ring, mirrored)).collect();
    walks.sort_by_key(|walk| (walk.hole, walk.start));
    walks
}

fn round(ring: &Ring, mirrored: Option<usize>) -> Walk {
    let turned = |at: &Corner| Corner { column: mirrored.map_or(at.column, |all| all - at.column), ..*at };
    let mut corners: Vec<Corner> = ring.corners.iter().map(turned).collect();
    let clock = Ring { corners: corners.clone(), hole: ring.hole }.area() < 0;
    if !clock {
        corners.reverse();
    }
    let first = (0..corners.len()).min_by_key(|&place| corners[place]).unwrap_or_default();
    corners.rotate_left(first);
    let next = corners.iter().cycle().skip(1);
    let runs = corners.iter().zip(next).map(|(&from, &to)| run(from, to)).collect();
    Walk { start: corners[0], runs, hole: ring.hole }
}

fn run(from: Corner, to: Corner) -> Run {
    let (heading, length) = if from.row == to.row {
        let heading = if from.column < to.column { Heading::East } else { Heading::West };
        (heading, from.column.abs_diff(to.column))
    } else {
        let heading = if from.row < to.row { Heading::South } else { Heading::North };
        (heading, from.row.abs_diff(to.row))
    };
    Run { heading, length }
}
