//! Boards that are there before anything is nested: off-cuts, boards in use, and boards on which the piece of a
//! larger figure keeps its place.
//!
//! What lies there already counts a little larger where its edges miss the lattice, and is grown by the gap, so
//! that nothing comes too near to it.

use serde::{Deserialize, Serialize};

use super::board::Board;
use super::figure::{Figure, Shape};
use super::lattice::Lattice;
use crate::length::{Length, Ratio};

/// Where a panel comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// It is a new one.
    #[default]
    New,
    /// Work on it has begun.
    InUse,
    /// It is what was left of another: its width and its height.
    OffCut(Length, Length),
}

impl Origin {
    /// Gives the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::InUse => "in use",
            Self::OffCut(..) => "off-cut",
        }
    }
}

/// What lies on a board already: which of the figures, and where its box begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Fixed {
    pub(super) figure: usize,
    pub(super) x: Ratio,
    pub(super) y: Ratio,
    pub(super) quarter_turns: u8,
}

/// A board that is there before anything is nested.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Start {
    pub(super) origin: Origin,
    pub(super) fixed: Vec<Fixed>,
}

/// Tells what of a board is taken at the start.
pub(super) fn board(start: &Start, shapes: &[Shape], lattice: &Lattice, margin: Length) -> Board {
    let mut board = Board::new(lattice);
    if let Origin::OffCut(width, height) = start.origin {
        let free = |side: Length| {
            let room = (side - lattice.origin - margin).units().max(0) / lattice.unit.units();
            usize::try_from(room).unwrap_or(0) + lattice.gap
        };
        board.block((free(width)..lattice.columns, 0..lattice.rows));
        board.block((0..lattice.columns, free(height)..lattice.rows));
    }
    for fixed in &start.fixed {
        lie(&mut board, fixed, &shapes[fixed.figure], lattice);
    }
    board
}

/// Takes the places that a figure touches, and the gap to their right and below.
fn lie(board: &mut Board, fixed: &Fixed, shape: &Shape, lattice: &Lattice) {
    let mut turned = shape.clone();
    for _ in 0..fixed.quarter_turns {
        turned = turned.turned();
    }
    let places = |start: Ratio, (from, to): (usize, usize), all: usize| {
        let start = start - lattice.origin.ratio();
        let (from, to) = (start + turned.pitch.times(from), start + turned.pitch.times(to));
        let none = Length::ZERO.ratio();
        let place = |at: i128| usize::try_from(at).unwrap_or(0).min(all);
        place(from.holds(lattice.unit.ratio()))
            ..place(-(none - to).holds(lattice.unit.ratio()) + lattice.gap as i128)
    };
    for (row, runs) in turned.rows.iter().enumerate() {
        let down = places(fixed.y, (row, row + 1), lattice.rows);
        for &run in runs {
            board.block((places(fixed.x, run, lattice.columns), down.clone()));
        }
    }
}

/// Puts new boards together whose pieces keep clear of each other where they lie.
pub(super) fn together(starts: Vec<Start>, boards: Vec<Board>) -> (Vec<Start>, Vec<Board>) {
    let mut kept: Vec<(Start, Board)> = Vec::new();
    for (start, board) in starts.into_iter().zip(boards) {
        let is_new = |start: &Start| start.origin == Origin::New;
        let host =
            kept.iter_mut().find(|(other, taken)| is_new(&start) && is_new(other) && !taken.overlaps(&board));
        match host {
            Some((other, taken)) => {
                other.fixed.extend(&start.fixed);
                taken.join(&board);
            }
            None => kept.push((start, board)),
        }
    }
    kept.into_iter().unzip()
}

/// Gives the place of a figure on a board: its box begins where its first cells do.
pub(super) fn fixed(figure: usize, grid: &Figure, (left, top): (Ratio, Ratio)) -> Fixed {
    let (rows, columns) = grid.close();
    let (x, y) = (left + grid.pitch.times(columns.start), top + grid.pitch.times(rows.start));
    Fixed { figure, x, y, quarter_turns: 0 }
}
