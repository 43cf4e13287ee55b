//! A shape in one turn as rows of runs on the lattice, grown by the gap to the right and down.

use std::ops::Range;

use super::figure::{Run, Shape};
use super::lattice::Lattice;
use crate::length::Ratio;

/// What a figure takes away from a board, the gap to its right and below counted in.
#[derive(Debug, Clone)]
pub(super) struct Footprint {
    pub(super) quarter_turns: u8,
    pub(super) width: Ratio,
    pub(super) height: Ratio,
    /// Where the runs of each row stand in `runs`.
    rows: Vec<Range<usize>>,
    runs: Vec<Run>,
    /// How many places it takes.
    pub(super) area: usize,
    /// The last place at which it may start, as its column and its row.
    pub(super) last: (usize, usize),
}

impl Footprint {
    /// Lays a shape on the lattice; none when it is larger than the panel.
    pub(super) fn new(quarter_turns: u8, shape: &Shape, lattice: &Lattice) -> Option<Self> {
        let (width, height) = (shape.width(), shape.height());
        let last = lattice.last(width, height)?;
        let unit = lattice.unit.ratio();
        let grown = |from: usize, to: usize| {
            let (from, to) =
                (shape.pitch.times(from).holds(unit), -negated(shape.pitch.times(to)).holds(unit));
            let place = |at: i128| usize::try_from(at).unwrap_or(0);
            (place(from), place(to) + lattice.gap)
        };
        let spans: Vec<Run> = (0..shape.rows.len()).map(|row| grown(row, row + 1)).collect();
        let mut footprint =
            Self { quarter_turns, width, height, rows: Vec::new(), runs: Vec::new(), area: 0, last };
        let mut before = 0..0;
        for place in 0..spans.last().map_or(0, |span| span.1) {
            let first = spans.partition_point(|span| span.1 <= place);
            let end = spans.partition_point(|span| span.0 <= place);
            if before != (first..end) {
                let runs = shape.rows[first..end].iter().flatten().map(|&(from, to)| grown(from, to));
                footprint.add(merged(runs.collect()));
                before = first..end;
            } else if let Some(row) = footprint.rows.last().cloned() {
                footprint.rows.push(row);
            }
        }
        footprint.area = footprint.rows().flatten().map(|(from, to)| to - from).sum();
        Some(footprint)
    }

    /// Gives the footprint with no other row to start in than the first.
    pub(super) fn at_top(self) -> Self {
        Self { last: (self.last.0, 0), ..self }
    }

    fn add(&mut self, runs: Vec<Run>) {
        let from = self.runs.len();
        self.runs.extend(runs);
        self.rows.push(from..self.runs.len());
    }

    /// Gives the runs of each row.
    pub(super) fn rows(&self) -> impl Iterator<Item = &[Run]> {
        self.rows.iter().map(|row| &self.runs[row.clone()])
    }

    /// Gives the runs of one row.
    pub(super) fn row(&self, row: usize) -> &[Run] {
        &self.runs[self.rows[row].clone()]
    }

    /// Counts its rows.
    pub(super) fn height(&self) -> usize {
        self.rows.len()
    }

    /// Counts its columns.
    pub(super) fn width(&self) -> usize {
        self.runs.iter().map(|run| run.1).max().unwrap_or(0)
    }
}

fn negated(ratio: Ratio) -> Ratio {
    Ratio::new(-ratio.numerator(), ratio.denominator())
}

fn merged(mut runs: Vec<Run>) -> Vec<Run> {
    runs.sort_unstable();
    let mut merged: Vec<Run> = Vec::new();
    for (from, to) in runs {
        match merged.last_mut() {
            Some((_, end)) if *end >= from => *end = to.max(*end),
            _ => merged.push((from, to)),
        }
    }
    merged
}
