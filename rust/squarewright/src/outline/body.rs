//! Squares of filled cells, and the bodies that they make up by sliding.
//!
//! A body of side k is what a square of k × k cells sweeps when it slides by one cell at a time and never
//! leaves the figure. Two bodies of side k that are one of side k − 1 hang together by k − 1 cells.

use crate::grid::Grid;
use crate::grid::patch::neighbours;

/// No label.
pub(super) const NONE: u32 = u32::MAX;

/// Cells that are filled or not, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mask {
    pub(super) rows: usize,
    pub(super) columns: usize,
    pub(super) filled: Vec<bool>,
}

/// Areas of places that share edges, numbered by their first place in row-major order.
#[derive(Debug, Clone)]
pub(super) struct Labels {
    pub(super) of: Vec<u32>,
    pub(super) count: usize,
}

impl Mask {
    /// Takes the figure of a grid.
    pub(super) fn figure(grid: &Grid) -> Self {
        let filled = grid.cells().iter().map(Option::is_some).collect();
        Self { rows: grid.rows(), columns: grid.columns(), filled }
    }

    /// Takes the bare cells, with `pad` more rows and columns of them all round.
    pub(super) fn bare(&self, pad: usize) -> Self {
        let (rows, columns) = (self.rows + 2 * pad, self.columns + 2 * pad);
        let mut filled = vec![true; rows * columns];
        for (row, line) in self.filled.chunks(self.columns).enumerate() {
            let from = (row + pad) * columns + pad;
            let inside = filled[from..from + self.columns].iter_mut();
            inside.zip(line).for_each(|(bare, filled)| *bare = !filled);
        }
        Self { rows, columns, filled }
    }

    pub(super) fn at(&self, place: usize) -> (usize, usize) {
        (place / self.columns, place % self.columns)
    }

    /// Gives, for each place, the side of the largest filled square that has it as its top-left cell.
    pub(super) fn squares(&self) -> Vec<u16> {
        let (rows, columns) = (self.rows, self.columns);
        let mut sides = vec![0_u16; rows * columns];
        for place in (0..rows * columns).rev().filter(|&place| self.filled[place]) {
            let (row, column) = self.at(place);
            let least = if row + 1 < rows && column + 1 < columns {
                sides[place + 1].min(sides[place + columns]).min(sides[place + columns + 1])
            } else {
                0
            };
            sides[place] = least + 1;
        }
        sides
    }

    /// Marks the places that lie in a filled square of this side; `sides` are those of [`Mask::squares`] (an
    /// opening; Serra, 1982, from memory).
    pub(super) fn opened(&self, sides: &[u16], side: usize) -> Vec<bool> {
        let fits = |&at: &u16| if usize::from(at) >= side { 0 } else { NONE };
        let squares: Vec<u32> = sides.iter().map(fits).collect();
        self.cover(&squares, side).into_iter().map(|cover| cover.0 != NONE).collect()
    }

    /// Lists the areas of filled places, joined over corners too, each ascending, by their first place.
    pub(super) fn joined(&self) -> Vec<Vec<usize>> {
        let (rows, columns) = (self.rows, self.columns);
        let mut seen = vec![false; self.filled.len()];
        let mut areas = Vec::new();
        for start in 0..seen.len() {
            if seen[start] || !self.filled[start] {
                continue;
            }
            seen[start] = true;
            let mut area = vec![start];
            let mut done = 0;
            while let Some(&place) = area.get(done) {
                done += 1;
                let (row, column) = self.at(place);
                for row in row.saturating_sub(1)..=(row + 1).min(rows - 1) {
                    for next in column.saturating_sub(1)..=(column + 1).min(columns - 1) {
                        let next = row * columns + next;
                        if self.filled[next] && !std::mem::replace(&mut seen[next], true) {
                            area.push(next);
                        }
                    }
                }
            }
            area.sort_unstable();
            areas.push(area);
        }
        areas
    }

    /// Labels the areas of places that are `wanted`.
    pub(super) fn label(&self, wanted: impl Fn(usize) -> bool) -> Labels {
        let mut labels = Labels { of: vec![NONE; self.filled.len()], count: 0 };
        let mut open = Vec::new();
        for start in 0..self.filled.len() {
            if labels.of[start] != NONE || !wanted(start) {
                continue;
            }
            let label = u32::try_from(labels.count).unwrap_or(NONE);
            labels.count += 1;
            labels.of[start] = label;
            open.push(start);
            while let Some(place) = open.pop() {
                for next in neighbours(self.rows, self.columns, place) {
                    if labels.of[next] == NONE && wanted(next) {
                        labels.of[next] = label;
                        open.push(next);
                    }
                }
            }
        }
        labels
    }

    /// Gives, for each cell, the lowest and the highest label of the squares of `side` that cover it; both
    /// are [`NONE`] where none does.
    pub(super) fn cover(&self, labels: &[u32], side: usize) -> Vec<(u32, u32)> {
        let join = |a: (u32, u32), b: (u32, u32)| match (a.0, b.0) {
            (NONE, _) => b,
            (_, NONE) => a,
            _ => (a.0.min(b.0), a.1.max(b.1)),
        };
        let columns = self.columns;
        let level: Vec<(u32, u32)> = (0..labels.len())
            .map(|place| {
                let from = place - (place % columns).min(side - 1);
                labels[from..=place].iter().fold((NONE, NONE), |found, &label| join(found, (label, label)))
            })
            .collect();
        (0..labels.len())
            .map(|place| {
                let up = (place / columns).min(side - 1);
                (0..=up).fold((NONE, NONE), |found, rows| join(found, level[place - rows * columns]))
            })
            .collect()
    }
}

impl Labels {
    /// Lists the places of each area, ascending.
    pub(super) fn places(&self) -> Vec<Vec<usize>> {
        let mut places = vec![Vec::new(); self.count];
        for (place, &label) in self.of.iter().enumerate().filter(|(_, label)| **label != NONE) {
            places[label as usize].push(place);
        }
        places
    }
}

/// Lists the bodies of `side` of a figure, each as its cells (row, column) in row-major order, by their first
/// squares. A cell may belong to two of them.
pub fn bodies(grid: &Grid, side: usize) -> Vec<Vec<(usize, usize)>> {
    let mask = Mask::figure(grid);
    let squares = mask.squares();
    let labels = mask.label(|place| side > 0 && usize::from(squares[place]) >= side);
    let swept = |squares: Vec<usize>| {
        let corner = |place| mask.at(place);
        let cells = squares.into_iter().map(corner).flat_map(|(row, column)| {
            (row..row + side).flat_map(move |row| (column..column + side).map(move |column| (row, column)))
        });
        let mut cells: Vec<(usize, usize)> = cells.collect();
        cells.sort_unstable();
        cells.dedup();
        cells
    };
    labels.places().into_iter().map(swept).collect()
}
