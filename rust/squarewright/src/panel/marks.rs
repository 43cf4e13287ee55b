//! The ticks to pencil on an edge, each measured from the start edge and rounded once.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use crate::length::{Length, Ratio};

/// A tick on an edge of a panel.
///
/// Every mark is rounded on its own, so no error grows along the edge: it stays within half a graduation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mark {
    /// The cell boundary: 0 is the figure's first edge, n the far edge of its n-th column or row.
    pub index: usize,
    /// Its exact distance from the start edge.
    pub position: Ratio,
    /// That distance as the ruler can show it.
    pub rounded: Length,
    /// `rounded` less `position`.
    pub error: Ratio,
}

impl Mark {
    fn new(index: usize, position: Ratio, graduation: Length) -> Self {
        let rounded = position.rounded_to(graduation);
        Self { index, position, rounded, error: rounded.ratio() - position }
    }
}

/// Gives the marks of a run of cells: one before the first and one after each.
pub(super) fn along(cells: Range<usize>, start: Ratio, pitch: Ratio, graduation: Length) -> Vec<Mark> {
    (cells.start..=cells.end)
        .map(|index| Mark::new(index, start + pitch.times(index - cells.start), graduation))
        .collect()
}
