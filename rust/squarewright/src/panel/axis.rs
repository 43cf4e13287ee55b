//! One axis of a figure on one board or on several in a row.
//!
//! A seam always lies on a cell boundary and on the boards' own edges: no margin is left on that side.

use std::ops::Range;

use crate::length::{Length, Ratio};

/// One axis of the board, and the margin that stays free at the two outer ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Axis {
    pub(super) side: Length,
    pub(super) margin: Length,
}

/// The cells of one board along an axis and where the first of them starts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Share {
    pub(super) cells: Range<usize>,
    pub(super) start: Ratio,
}

impl Axis {
    /// Counts the cells that board `index` of `parts` can hold.
    pub(super) fn capacity(self, pitch: Ratio, index: usize, parts: usize) -> usize {
        let outer = usize::from(index == 0) + usize::from(index + 1 == parts);
        let room = self.side - self.margin * i64::try_from(outer).unwrap_or(2);
        usize::try_from(room.ratio().holds(pitch)).unwrap_or(0)
    }

    /// Tells whether `parts` boards hold `cells`, none of them bare.
    pub(super) fn holds(self, cells: usize, pitch: Ratio, parts: usize) -> bool {
        let mut room = 0;
        let none_bare = (0..parts).all(|index| {
            let capacity = self.capacity(pitch, index, parts);
            room += capacity;
            capacity > 0
        });
        none_bare && room >= cells
    }

    /// Counts the boards needed for `cells`, if a board holds any.
    pub(super) fn parts(self, cells: usize, pitch: Ratio) -> Option<usize> {
        let inner = self.capacity(pitch, 1, 3);
        let most = cells.div_ceil(inner.max(1)) + 2;
        (1..=most).find(|&parts| self.holds(cells, pitch, parts))
    }

    /// Gives the room for cells on `parts` boards.
    pub(super) fn room(self, parts: usize) -> Length {
        self.side * i64::try_from(parts).unwrap_or(i64::from(i32::MAX)) - self.margin * 2
    }

    /// Shares `cells` out as evenly as the boards allow, and gives the seams: the boundaries after which the
    /// next board begins.
    pub(super) fn even(self, cells: usize, pitch: Ratio, parts: usize) -> Vec<usize> {
        let mut seams = Vec::with_capacity(parts.saturating_sub(1));
        let mut first = 0;
        for index in 0..parts.saturating_sub(1) {
            let later: usize = (index + 1..parts).map(|i| self.capacity(pitch, i, parts)).sum();
            let left = cells - first;
            let even = left.div_ceil(parts - index);
            first += even.max(left.saturating_sub(later)).min(self.capacity(pitch, index, parts));
            seams.push(first);
        }
        seams
    }

    /// Places the cells between seams: centred on a single board with the start side rounded down to the
    /// ruler, against the seam on several.
    pub(super) fn shares(
        self,
        cells: usize,
        pitch: Ratio,
        seams: &[usize],
        graduation: Length,
    ) -> Vec<Share> {
        let starts = std::iter::once(0).chain(seams.iter().copied());
        let ends = seams.iter().copied().chain([cells]);
        let share = |(index, (from, to)): (usize, (usize, usize))| Share {
            cells: from..to,
            start: self.start(pitch, to - from, (index, seams.len() + 1), graduation),
        };
        starts.zip(ends).enumerate().map(share).collect()
    }

    fn start(self, pitch: Ratio, count: usize, (index, parts): (usize, usize), graduation: Length) -> Ratio {
        let spare = self.side.ratio() - pitch.times(count);
        match index {
            0 if parts == 1 => spare.over(2).floor_to(graduation).max(self.margin).ratio(),
            0 => spare,
            _ => Ratio::from(Length::ZERO),
        }
    }
}
