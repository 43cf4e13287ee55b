//! Seams: where boards meet, moved from the even share to the boundary where they harm least.
//!
//! What a seam costs at each boundary comes from outside as plain numbers. Of all ways to place the seams the one
//! is taken that touches the fewest weak parts, then crosses the fewest colour boundaries, then lies nearest to
//! the even share, then furthest to the left or the top; found by dynamic programming over the boards (R. Bellman
//! 1957, from memory).

use std::ops::RangeInclusive;

use super::Fit;
use super::axis::Axis;
use crate::fault::{Error, Result};
use crate::length::Ratio;

/// What a seam along one cell boundary costs; weak parts count before everything else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct SeamCost {
    /// Weak parts that it touches or makes.
    pub weak: usize,
    /// Colour boundaries that it crosses.
    pub crossed: usize,
}

/// What a seam costs at each boundary: item `k` is the boundary after `k` columns or rows, and one that is
/// missing costs nothing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SeamCosts {
    /// Upright seams, by the columns to their left.
    pub columns: Vec<SeamCost>,
    /// Level seams, by the rows above them.
    pub rows: Vec<SeamCost>,
}

/// A seam moves no farther from the even share than this part of what a board then holds: boards stay of a kind,
/// and none is left with a strip (judgement).
const REACH: usize = 4;

/// One place for a seam, with the best places for those after it.
struct Stop {
    after: usize,
    /// Weak parts, crossings and distances from the even share, of this seam and those after it.
    sum: (usize, usize, usize),
    next: usize,
}

impl Axis {
    /// Tells how far a seam may move from the even share, in cells.
    fn reach(cells: usize, parts: usize) -> usize {
        (cells / (parts * REACH)).max(1)
    }

    /// Gives the best seams: each board holds one cell at the least and no more than it can, and no seam is
    /// farther from the even share than the reach.
    fn best(self, cells: usize, pitch: Ratio, parts: usize, costs: &[SeamCost]) -> Vec<usize> {
        let even = self.even(cells, pitch, parts);
        let reach = Self::reach(cells, parts);
        let holds = |board: usize, from: usize, to: usize| {
            to > from && to - from <= self.capacity(pitch, board, parts)
        };
        let mut stops = vec![vec![Stop { after: cells, sum: (0, 0, 0), next: 0 }]];
        for (board, &middle) in even.iter().enumerate().rev() {
            let later = &stops[stops.len() - 1];
            let stop = |after: usize| {
                let within = later.iter().enumerate().filter(|(_, stop)| holds(board + 1, after, stop.after));
                // Of equal sums the first is taken, which lies furthest to the left.
                let (next, ahead) = within.min_by_key(|(_, stop)| stop.sum)?;
                let SeamCost { weak, crossed } = costs.get(after).copied().unwrap_or_default();
                let (weaker, more, farther) = ahead.sum;
                let sum = (weaker + weak, more + crossed, farther + after.abs_diff(middle));
                Some(Stop { after, sum, next })
            };
            let places: RangeInclusive<usize> = middle.saturating_sub(reach)..=(middle + reach).min(cells);
            let found = places.filter_map(stop).collect();
            stops.push(found);
        }
        let first = stops.last().into_iter().flatten().filter(|stop| holds(0, 0, stop.after));
        let Some(mut at) = first.min_by_key(|stop| stop.sum) else { return even };
        let mut seams = Vec::with_capacity(even.len());
        for later in stops.iter().rev().skip(1) {
            seams.push(at.after);
            at = &later[at.next];
        }
        seams
    }
}

impl Fit {
    /// Moves the seams to where they cost least. Every board keeps one cell at the least and no more than it
    /// holds, and no seam moves farther than a quarter of an even share (one cell at the least).
    #[must_use]
    pub fn with_seams(self, costs: &SeamCosts) -> Self {
        let (x, y) = self.axes();
        let columns = x.best(self.columns, self.pitch, self.across, &costs.columns);
        let rows = y.best(self.rows, self.pitch, self.down, &costs.rows);
        self.shared(&columns, &rows)
    }

    /// Puts the seams after these counts of columns and rows.
    ///
    /// # Errors
    /// [`Error::Argument`] when there are not as many as boards meet, when they do not ascend, or when a board
    /// cannot hold what they leave it.
    pub fn with_seams_after(self, columns: &[usize], rows: &[usize]) -> Result<Self> {
        let (x, y) = self.axes();
        let sides = [(x, self.columns, self.across, columns), (y, self.rows, self.down, rows)];
        for (axis, cells, parts, seams) in sides {
            let starts = std::iter::once(0).chain(seams.iter().copied());
            let ends = seams.iter().copied().chain([cells]);
            let holds = |(board, (from, to)): (usize, (usize, usize))| {
                from <= to && to - from <= axis.capacity(self.pitch, board, parts)
            };
            if seams.len() + 1 != parts || !starts.zip(ends).enumerate().all(holds) {
                let must = format!("{} that leave each panel what it holds of {cells} cells", parts - 1);
                return Err(Error::Argument { name: "seams", must, got: format!("{seams:?}") });
            }
        }
        Ok(self.shared(columns, rows))
    }

    /// Lists the upright seams by the columns to their left.
    pub fn column_seams(&self) -> Vec<usize> {
        self.pieces.iter().take(self.across).skip(1).map(|piece| piece.columns.start).collect()
    }

    /// Lists the level seams by the rows above them.
    pub fn row_seams(&self) -> Vec<usize> {
        self.pieces.iter().step_by(self.across).skip(1).map(|piece| piece.rows.start).collect()
    }
}
