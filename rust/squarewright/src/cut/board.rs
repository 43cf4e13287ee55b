//! The figure on one panel in whole units, and what it becomes when it is grown by the clearance.

use crate::grid::Grid;
use crate::grid::patch::connected;
use crate::outline::{Corner, trace_labels};
use crate::panel::{Fit, Piece};

/// A place on the panel: units from the left and from the top edge.
pub(super) type Point = (i64, i64);

/// Cells between level and upright lines that need not be evenly spaced.
#[derive(Debug, Clone)]
pub(super) struct Mask {
    /// The upright lines, ascending.
    pub(super) xs: Vec<i64>,
    /// The level lines, ascending.
    pub(super) ys: Vec<i64>,
    /// The cells between them, row by row.
    pub(super) solid: Vec<bool>,
}

/// The figure on one panel.
#[derive(Debug, Clone)]
pub(super) struct Board {
    pub(super) width: i64,
    pub(super) height: i64,
    pub(super) figure: Mask,
}

/// The bounds of something as numbers of lines: left, top, right, bottom.
pub(super) type Bounds = [usize; 4];

impl Board {
    /// Takes the part of a grid that lies on one panel.
    pub(super) fn new(grid: &Grid, fit: &Fit, piece: &Piece) -> Self {
        let line = |start: crate::length::Ratio, count| (start + fit.pitch.times(count)).nearest().units();
        let xs = (0..=piece.columns.len()).map(|count| line(piece.left, count)).collect();
        let ys = (0..=piece.rows.len()).map(|count| line(piece.top, count)).collect();
        let rows = grid.cells().chunks(grid.columns()).skip(piece.rows.start).take(piece.rows.len());
        let solid = rows.flat_map(|row| row[piece.columns.clone()].iter().map(Option::is_some)).collect();
        let figure = Mask { xs, ys, solid };
        Self { width: fit.panel.width().units(), height: fit.panel.height().units(), figure }
    }

    /// Draws a figure in the middle of a square panel.
    #[cfg(test)]
    pub(super) fn drawn(drawing: &[&str], pitch: i64, side: i64) -> Self {
        let lines = |count: usize| -> Vec<i64> {
            let count = i64::try_from(count).expect("a small drawing");
            (0..=count).map(|line| (side - count * pitch) / 2 + line * pitch).collect()
        };
        let (xs, ys) = (lines(drawing[0].len()), lines(drawing.len()));
        let solid = drawing.concat().chars().map(|cell| cell == '#').collect();
        Self { width: side, height: side, figure: Mask { xs, ys, solid } }
    }

    /// Gives the board as seen in a mirror that stands upright beside it.
    pub(super) fn mirrored(&self) -> Self {
        let figure = &self.figure;
        let xs = figure.xs.iter().rev().map(|x| self.width - x).collect();
        let rows = figure.solid.chunks(figure.columns());
        let solid = rows.flat_map(|row| row.iter().rev().copied()).collect();
        Self { figure: Mask { xs, ys: figure.ys.clone(), solid }, ..*self }
    }

    /// Gives everything within `clearance` of the figure, level and upright, as far as the panel reaches.
    pub(super) fn grown(&self, clearance: i64) -> Mask {
        let figure = &self.figure;
        let xs = lines(&figure.xs, clearance, self.width);
        let ys = lines(&figure.ys, clearance, self.height);
        let find = |lines: &[i64], at: i64, limit: i64| lines.partition_point(|&x| x < at.clamp(0, limit));
        let column = |at| find(&xs, at, self.width);
        let row = |at| find(&ys, at, self.height);
        let wide = xs.len();
        // How many grown runs begin or end at a corner: summed up, how many cover each cell.
        let mut change = vec![0_i32; wide * ys.len()];
        for (number, cells) in figure.solid.chunks(figure.columns()).enumerate() {
            let (top, bottom) = (row(figure.ys[number] - clearance), row(figure.ys[number + 1] + clearance));
            for (from, to) in runs(cells) {
                let (left, right) = (column(figure.xs[from] - clearance), column(figure.xs[to] + clearance));
                change[top * wide + left] += 1;
                change[top * wide + right] -= 1;
                change[bottom * wide + left] -= 1;
                change[bottom * wide + right] += 1;
            }
        }
        let (rows, columns) = (ys.len() - 1, wide - 1);
        let mut solid = Vec::with_capacity(rows * columns);
        let mut above = vec![0_i32; wide];
        for row in change.chunks(wide).take(rows) {
            let mut along = 0;
            for (column, &step) in row.iter().enumerate() {
                along += step;
                above[column] += along;
            }
            solid.extend(above[..columns].iter().map(|&count| count > 0));
        }
        Mask { xs, ys, solid }
    }
}

/// Gives the lines at `clearance` to both sides of each line, within 0 and `limit`.
fn lines(lines: &[i64], clearance: i64, limit: i64) -> Vec<i64> {
    let around = lines.iter().flat_map(|&line| [line - clearance, line + clearance]);
    let mut found: Vec<i64> = around.chain([0, limit]).map(|line| line.clamp(0, limit)).collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// Gives the runs of solid cells in a row, each from its first cell to beyond its last.
fn runs(cells: &[bool]) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut at = 0;
    for run in cells.chunk_by(|a, b| a == b) {
        if run[0] {
            found.push((at, at + run.len()));
        }
        at += run.len();
    }
    found
}

impl Mask {
    pub(super) fn columns(&self) -> usize {
        self.xs.len() - 1
    }

    pub(super) fn rows(&self) -> usize {
        self.ys.len() - 1
    }

    /// Tells whether a cell is solid; `column` and `row` count from 1, and what lies outside is not.
    pub(super) fn at(&self, column: usize, row: usize) -> bool {
        (1..=self.columns()).contains(&column)
            && (1..=self.rows()).contains(&row)
            && self.solid[(row - 1) * self.columns() + column - 1]
    }

    pub(super) fn point(&self, corner: Corner) -> Point {
        (self.xs[corner.column], self.ys[corner.row])
    }

    /// Labels the parts whose cells share edges; gives the label of each cell and the bounds of each part, none
    /// for the labels of what is not solid.
    pub(super) fn parts(&self) -> (Vec<usize>, Vec<Option<Bounds>>) {
        let columns = self.columns();
        let (labels, count) = connected(self.rows(), columns, |place| self.solid[place]);
        let mut bounds: Vec<Option<Bounds>> = vec![None; count];
        for (place, &label) in labels.iter().enumerate().filter(|&(place, _)| self.solid[place]) {
            let (row, column) = (place / columns, place % columns);
            let [left, top, right, bottom] =
                bounds[label].unwrap_or([usize::MAX, usize::MAX, usize::MIN, usize::MIN]);
            bounds[label] =
                Some([left.min(column), top.min(row), right.max(column + 1), bottom.max(row + 1)]);
        }
        (labels, bounds)
    }

    /// Takes some parts out as one: what lies between two of them in a row is filled, and so are holes. When
    /// no level line runs between the parts they come out in one piece, as any two neighbours in the order of
    /// their top rows then share a row.
    pub(super) fn joined(&self, labels: &[usize], members: &[usize], bounds: Bounds) -> Self {
        let [left, top, right, bottom] = bounds;
        let mut solid = Vec::with_capacity((right - left) * (bottom - top));
        for row in top..bottom {
            let cells = &labels[row * self.columns() + left..row * self.columns() + right];
            let first = solid.len();
            solid.extend(cells.iter().map(|label| members.binary_search(label).is_ok()));
            let line = &mut solid[first..];
            let mut last: Option<usize> = None;
            for column in 0..line.len() {
                if !line[column] || members.binary_search(&cells[column]).is_err() {
                    continue;
                }
                if let Some(last) = last.filter(|&last| cells[last] != cells[column]) {
                    line[last..column].fill(true);
                }
                last = Some(column);
            }
        }
        let mut part = Self { xs: self.xs[left..=right].to_vec(), ys: self.ys[top..=bottom].to_vec(), solid };
        part.fill_holes();
        part
    }

    /// Fills what cannot be reached from the rim without crossing solid cells.
    fn fill_holes(&mut self) {
        let (rows, columns) = (self.rows(), self.columns());
        let (labels, count) = connected(rows, columns, |place| self.solid[place]);
        let mut open = vec![false; count];
        for (place, &label) in labels.iter().enumerate() {
            let (row, column) = (place / columns, place % columns);
            open[label] |= row == 0 || column == 0 || row + 1 == rows || column + 1 == columns;
        }
        for (cell, label) in self.solid.iter_mut().zip(labels) {
            *cell |= !open[label];
        }
    }

    /// Gives the one ring round a mask in one piece without holes, as corners, with the mask on its left.
    pub(super) fn ring(&self) -> Vec<Corner> {
        let labels: Vec<u16> = self.solid.iter().map(|&solid| u16::from(solid)).collect();
        let outline = trace_labels(self.rows(), self.columns(), &labels);
        outline.rings.into_iter().find(|ring| !ring.hole).map_or_else(Vec::new, |ring| ring.corners)
    }

    /// Tells whether the straight line between two corners of cells meets no solid cell; touching is allowed.
    ///
    /// Exact: heights are compared after multiplication with the width of the line, in whole numbers.
    pub(super) fn is_clear(&self, a: Corner, b: Corner) -> bool {
        if a.column == b.column {
            let rows = a.row.min(b.row)..a.row.max(b.row);
            return rows
                .into_iter()
                .all(|row| !(self.at(a.column, row + 1) && self.at(a.column + 1, row + 1)));
        }
        let (a, b) = if a.column < b.column { (a, b) } else { (b, a) };
        if a.row == b.row {
            let mut columns = a.column..b.column;
            return columns.all(|column| !(self.at(column + 1, a.row) && self.at(column + 1, a.row + 1)));
        }
        let ((x, y), (far_x, far_y)) = (self.point(a), self.point(b));
        let (dx, dy) = (far_x - x, far_y - y);
        let height = |at: i64| y * dx + dy * (at - x);
        let mut row = if dy > 0 { a.row } else { a.row - 1 };
        for column in a.column..b.column {
            let (from, to) = (height(self.xs[column]), height(self.xs[column + 1]));
            loop {
                if self.at(column + 1, row + 1) {
                    return false;
                }
                // On to the next row while the line leaves this one within the column.
                if dy > 0 && self.ys[row + 1] * dx < to {
                    row += 1;
                } else if dy < 0 && self.ys[row] * dx > to {
                    row -= 1;
                } else {
                    break;
                }
            }
            debug_assert!(from != to, "a slanted line rises or falls");
            // A line through the corner of four cells goes on in the next row and the next column.
            if dy > 0 && self.ys[row + 1] * dx == to {
                row += 1;
            } else if dy < 0 && self.ys[row] * dx == to && row > 0 {
                row -= 1;
            }
        }
        true
    }
}
