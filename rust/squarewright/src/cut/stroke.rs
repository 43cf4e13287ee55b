//! Strokes along the outline: every straight run, classed by its corners, with the end where the tip goes in.
//!
//! A run between two corners that stand out is one stroke that may run on into the waste. One with an inside
//! corner begins there, for the tip can be set into a corner but not stopped in one. One between two inside
//! corners takes two strokes, from each corner to the middle (common practice).

use super::board::{Board, Point};
use super::cut::{Edge, Ends};
use crate::outline::{Corner, Ring, trace_labels};

/// A stroke before it has its place in the order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stroke {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) edge: Edge,
    /// Whether the tip is stabbed in where no cut leads to.
    pub(super) stab: bool,
    /// Whether a corner of the outline is turned after it.
    pub(super) turn: bool,
    /// Whether it runs along waste that is one cell wide.
    pub(super) slot: bool,
    /// The weakest part that it runs along, as its place in the list.
    pub(super) weak: Option<usize>,
}

/// The strokes round one ring, in the order of a walk.
#[derive(Debug)]
pub(super) struct Round {
    pub(super) hole: bool,
    /// Cells inside.
    pub(super) cells: u64,
    pub(super) strokes: Vec<Stroke>,
}

/// Finds the strokes of a figure, ring by ring, and the length of outline on the edges of the panel; `weak` gives
/// the weakest part that a cell belongs to.
pub(super) fn strokes(board: &Board, weak: &dyn Fn(usize, usize) -> Option<usize>) -> (Vec<Round>, i64) {
    let figure = &board.figure;
    let labels: Vec<u16> = figure.solid.iter().map(|&solid| u16::from(solid)).collect();
    let rings = trace_labels(figure.rows(), figure.columns(), &labels).rings;
    let mut on_edge = 0;
    let rounds = rings.iter().map(|ring| {
        let mut strokes = Vec::new();
        let count = ring.corners.len();
        for place in 0..count {
            let run = Run::of(ring, place);
            if run.is_edge(board) {
                on_edge += run.length(board);
            } else {
                strokes.extend(run.strokes(board, weak));
            }
        }
        Round { hole: ring.hole, cells: ring.area().unsigned_abs(), strokes }
    });
    let rounds = rounds.collect();
    (rounds, on_edge)
}

/// A straight run of a ring with the figure on its left.
#[derive(Debug, Clone, Copy)]
struct Run {
    from: Corner,
    to: Corner,
    /// Whether the corner at its start, and at its end, is an inside one.
    inside: (bool, bool),
}

impl Run {
    fn of(ring: &Ring, place: usize) -> Self {
        let count = ring.corners.len();
        let at = |offset: usize| ring.corners[(place + offset) % count];
        let (before, from, to, after) = (at(count - 1), at(0), at(1), at(2));
        Self { from, to, inside: (turns_right(before, from, to), turns_right(from, to, after)) }
    }

    /// Tells whether the run lies on the edge of the panel, where nothing is to be cut.
    fn is_edge(self, board: &Board) -> bool {
        let ((x, y), (far_x, far_y)) = (board.figure.point(self.from), board.figure.point(self.to));
        (x == far_x && (x == 0 || x == board.width)) || (y == far_y && (y == 0 || y == board.height))
    }

    fn length(self, board: &Board) -> i64 {
        let ((x, y), (far_x, far_y)) = (board.figure.point(self.from), board.figure.point(self.to));
        (far_x - x).abs() + (far_y - y).abs()
    }

    fn strokes(self, board: &Board, weak: &dyn Fn(usize, usize) -> Option<usize>) -> Vec<Stroke> {
        let (from, to) = (board.figure.point(self.from), board.figure.point(self.to));
        let cells = self.cells();
        let weak = cells.iter().filter_map(|&(row, column)| weak(row - 1, column - 1)).min();
        let slot = self.is_slot(board, &cells);
        let ends = match self.inside {
            (true, true) => Ends::BothInside,
            (false, false) => Ends::Open,
            _ => Ends::OneInside,
        };
        let stroke = |(from, corner): (Point, Corner), (to, other): (Point, Corner), turn| Stroke {
            from,
            to,
            edge: Edge { from: corner, to: other, ends },
            stab: turn && ends == Ends::BothInside,
            turn,
            slot,
            weak,
        };
        match self.inside {
            (true, true) => {
                let middle = (i64::midpoint(from.0, to.0), i64::midpoint(from.1, to.1));
                let half = |start, corner, other, turn| stroke((start, corner), (middle, other), turn);
                vec![half(from, self.from, self.to, true), half(to, self.to, self.from, false)]
            }
            (false, true) => vec![stroke((to, self.to), (from, self.from), true)],
            (false, false) if is_pulled_back(from, to) => {
                vec![stroke((to, self.to), (from, self.from), true)]
            }
            _ => vec![stroke((from, self.from), (to, self.to), true)],
        }
    }

    /// Lists the figure cells along the run, row and column counted from 1.
    fn cells(self) -> Vec<(usize, usize)> {
        let (from, to) = (self.from, self.to);
        let rows = from.row.min(to.row)..from.row.max(to.row);
        let columns = from.column.min(to.column)..from.column.max(to.column);
        if from.row == to.row {
            // Eastward the figure lies above, westward below.
            let row = if to.column > from.column { from.row } else { from.row + 1 };
            columns.map(|column| (row, column + 1)).collect()
        } else {
            // Southward the figure lies to the east, northward to the west.
            let column = if to.row > from.row { from.column + 1 } else { from.column };
            rows.map(|row| (row + 1, column)).collect()
        }
    }

    /// Tells whether the waste along the run is one cell wide somewhere.
    fn is_slot(self, board: &Board, cells: &[(usize, usize)]) -> bool {
        let (from, to) = (self.from, self.to);
        if self.inside == (true, true) && cells.len() == 1 {
            return true;
        }
        let beyond = |&(row, column): &(usize, usize)| match (from.row == to.row, from < to) {
            (true, true) => board.figure.at(column, row + 2),
            (true, false) => row > 2 && board.figure.at(column, row - 2),
            (false, true) => column > 2 && board.figure.at(column - 2, row),
            (false, false) => board.figure.at(column + 2, row),
        };
        cells.iter().any(beyond)
    }
}

/// Tells whether a pull goes away from the maker, or leftwards: it is made the other way round.
pub(super) fn is_pulled_back(from: Point, to: Point) -> bool {
    to.1 < from.1 || (to.1 == from.1 && to.0 < from.0)
}

fn turns_right(a: Corner, b: Corner, c: Corner) -> bool {
    let wide = |value: usize| i64::try_from(value).unwrap_or(0);
    let (ax, ay, bx, by) = (wide(a.column), wide(a.row), wide(b.column), wide(b.row));
    (by - ay) * (wide(c.column) - bx) - (bx - ax) * (wide(c.row) - by) < 0
}
