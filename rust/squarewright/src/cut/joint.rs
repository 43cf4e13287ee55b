//! Where sheets of card meet behind a figure that is larger than one of them.
//!
//! A joint over a seam of the panels would leave nothing that holds there, so joints keep an inch away from every
//! seam (common practice, as bricks and floor boards are laid), and from the edge of what is backed, where a
//! strip would come off. Each sheet reaches as far as it can, which takes the fewest.

use std::collections::BTreeSet;

use serde::Serialize;

use super::Card;
use super::backing::extent;
use crate::length::{Area, Length, Place};
use crate::panel::Fit;

/// The lines along which sheets of card meet, from the top-left corner of the grid, seen from the front.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Joints {
    /// Upright ones, from left to right.
    pub upright: Vec<Length>,
    /// Level ones, from top to bottom.
    pub level: Vec<Length>,
    /// How many of them lie nearer to a seam of the panels than [`Joints::CLEAR`], as the sheets are too small.
    pub near_seams: usize,
}

impl Joints {
    /// How far joints stay from seams: one inch.
    pub const CLEAR: Length = Length::INCH;

    /// Tells whether the card is in one piece.
    pub fn is_empty(&self) -> bool {
        self.upright.is_empty() && self.level.is_empty()
    }
}

/// One direction of the card: where it begins and ends, and the seams of the panels in between.
struct Side<'a> {
    from: Length,
    to: Length,
    margin: Length,
    seams: &'a [Length],
}

impl Side<'_> {
    /// Gives the joints for sheets of this width, and how many of them are too near to a seam.
    fn joints(&self, width: Length) -> (Vec<Length>, usize) {
        let mut joints = Vec::new();
        let mut near = 0;
        let mut last = self.from;
        let edge = [self.to - self.margin];
        while self.to - last > width {
            let most = last + width;
            let clear =
                clear(last, most, self.seams.iter().chain(&edge)).or_else(|| clear(last, most, self.seams));
            near += usize::from(clear.is_none());
            last = clear.unwrap_or(most);
            joints.push(last);
        }
        (joints, near)
    }
}

/// Finds the farthest place after `from`, up to `to`, that is clear of all lines.
fn clear<'a>(
    from: Length,
    to: Length,
    lines: impl IntoIterator<Item = &'a Length> + Clone,
) -> Option<Length> {
    let mut at = to;
    while let Some(&line) =
        lines.clone().into_iter().find(|&&line| at > line - Joints::CLEAR && at < line + Joints::CLEAR)
    {
        at = line - Joints::CLEAR;
    }
    (at > from).then_some(at)
}

/// Lays sheets edge to edge from the top-left corner of the card, upright or turned: the way with fewer joints
/// near seams, then with fewer sheets. Gives how many sheets the areas touch, and their joints.
pub(super) fn laid(areas: &[Area], card: &Card, fit: &Fit) -> (usize, Joints) {
    let corners = areas.iter().flat_map(|area| [area.corner, Place::new(area.right(), area.bottom())]);
    let around = extent(&corners.collect::<Vec<_>>());
    let place = |after: usize| fit.pitch.times(after).nearest();
    let columns: Vec<Length> = fit.column_seams().into_iter().map(place).collect();
    let rows: Vec<Length> = fit.row_seams().into_iter().map(place).collect();
    let margin = card.margin;
    let x = Side { from: around.left(), to: around.right(), margin, seams: &columns };
    let y = Side { from: around.top(), to: around.bottom(), margin, seams: &rows };
    let lay = |(width, height): (Length, Length)| {
        let (upright, near) = x.joints(width);
        let (level, nearer) = y.joints(height);
        let joints = Joints { upright, level, near_seams: near + nearer };
        (touched(areas, &joints), joints)
    };
    let (width, height) = card.sheet;
    let ways = [lay((width, height)), lay((height, width))];
    let [upright, turned] = ways;
    let rank = |(sheets, joints): &(usize, Joints)| (joints.near_seams, *sheets);
    if rank(&turned) < rank(&upright) { turned } else { upright }
}

/// Counts the sheets that areas of card touch.
fn touched(areas: &[Area], joints: &Joints) -> usize {
    if areas.len() == 1 {
        return (joints.upright.len() + 1).saturating_mul(joints.level.len() + 1);
    }
    let span = |joints: &[Length], from: Length, to: Length| {
        joints.partition_point(|&joint| joint <= from)..=joints.partition_point(|&joint| joint < to)
    };
    // A set keeps the many that cells share.
    let mut touched = BTreeSet::new();
    for area in areas {
        let columns = span(&joints.upright, area.left(), area.right());
        let rows = span(&joints.level, area.top(), area.bottom());
        touched.extend(rows.flat_map(|row| columns.clone().map(move |column| (row, column))));
    }
    touched.len()
}
