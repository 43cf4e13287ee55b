//! Which grid lines are drawn on a panel: all of them, or no more than the outline needs.
//!
//! A corner of the outline is found again where a level and an upright line cross. Each corner ends one level and
//! one upright run of the outline. So it is enough to draw every line that a run lies on, from the first end of
//! its runs to the last; every fifth line, to count by, and the first and the last of a panel go right across.

use std::ops::Range;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::{Corner, Outline};
use crate::fault::{Error, Result};
use crate::panel::Piece;

/// Lines to count by go right across.
const FIFTH: usize = 5;

/// How much of the grid is marked and drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Marking {
    /// Every line.
    #[default]
    All,
    /// What the outline needs, and every fifth line.
    Sparse,
}

impl FromStr for Marking {
    type Err = Error;

    /// Reads `all` or `sparse`.
    fn from_str(text: &str) -> Result<Self> {
        match text {
            "all" => Ok(Self::All),
            "sparse" => Ok(Self::Sparse),
            _ => {
                let must = "\"all\" or \"sparse\"".into();
                Err(Error::Argument { name: "marking", must, got: format!("{text:?}") })
            }
        }
    }
}

/// A line to draw, and how far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GridLine {
    /// The mark that it starts from, counted over the whole grid.
    pub index: usize,
    /// The line across that it begins at.
    pub from: usize,
    /// The line across that it ends at.
    pub to: usize,
}

/// The lines to draw on one panel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GridLines {
    /// The upright ones, from the left.
    pub columns: Vec<GridLine>,
    /// The level ones, from the top.
    pub rows: Vec<GridLine>,
}

impl GridLines {
    /// Finds the lines of a panel.
    pub fn of(outline: &Outline, piece: &Piece, marking: Marking) -> Self {
        let (columns, rows) = (&piece.columns, &piece.rows);
        match marking {
            Marking::All => Self { columns: all(columns, rows), rows: all(rows, columns) },
            Marking::Sparse => Self {
                columns: needed(columns, rows, outline, |at| (at.column, at.row)),
                rows: needed(rows, columns, outline, |at| (at.row, at.column)),
            },
        }
    }

    /// Counts the lines.
    pub fn count(&self) -> usize {
        self.columns.len() + self.rows.len()
    }

    /// Adds up the lengths of the lines, in cells.
    pub fn cells(&self) -> usize {
        self.columns.iter().chain(&self.rows).map(|line| line.to - line.from).sum()
    }
}

fn all(lines: &Range<usize>, across: &Range<usize>) -> Vec<GridLine> {
    let line = |index| GridLine { index, from: across.start, to: across.end };
    (lines.start..=lines.end).map(line).collect()
}

/// Finds the lines of one direction; `place` gives which of them a corner lies on, and where along it.
fn needed(
    lines: &Range<usize>,
    across: &Range<usize>,
    outline: &Outline,
    place: impl Fn(Corner) -> (usize, usize),
) -> Vec<GridLine> {
    let mut spans: Vec<Option<(usize, usize)>> = vec![None; lines.len() + 1];
    for arc in outline.silhouette() {
        let corners = arc.corners();
        for (&one, &other) in corners.iter().zip(&corners[1..]) {
            let ((line, a), (same, b)) = (place(one), place(other));
            let (from, to) = (a.min(b).max(across.start), a.max(b).min(across.end));
            if line == same && (lines.start..=lines.end).contains(&line) && from < to {
                let span = &mut spans[line - lines.start];
                *span = Some(span.map_or((from, to), |(first, last)| (first.min(from), last.max(to))));
            }
        }
    }
    let kept = all(lines, across).into_iter().zip(spans).filter_map(|(line, span)| {
        let whole = line.index.is_multiple_of(FIFTH) || line.index == lines.start || line.index == lines.end;
        if whole { Some(line) } else { span.map(|(from, to)| GridLine { from, to, ..line }) }
    });
    kept.collect()
}
