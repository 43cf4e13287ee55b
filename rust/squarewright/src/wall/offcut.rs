//! What is left of a panel: its largest free rectangles.

use std::cmp::Reverse;

use serde::{Deserialize, Serialize};

use super::board::Board;
use super::figure::{Figure, Shape};
use super::lattice::Lattice;
use super::rectangles::largest;
use crate::length::{Area, Length, Place, Ratio};

/// A free rectangle of a panel that is worth keeping; it stays clear of all figures by the whole gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct OffCut {
    /// From the left edge of the panel to its left side.
    pub x: Length,
    /// From the top edge of the panel to its top side.
    pub y: Length,
    /// Its width.
    pub width: Length,
    /// Its height.
    pub height: Length,
}

impl OffCut {
    /// Gives the rectangle on its panel.
    pub fn area(&self) -> Area {
        Area::new(Place::new(self.x, self.y), self.width, self.height)
    }

    /// Tells which figures it could hold, one at a time, with `margin` free along its edges.
    pub fn fits(&self, figures: &[Figure], margin: Length, turning: bool) -> Vec<usize> {
        let (width, height) = ((self.width - margin * 2).ratio(), (self.height - margin * 2).ratio());
        let holds = |wide: Ratio, high: Ratio| wide <= width && high <= height;
        let held = |&figure: &usize| {
            let shape = Shape::new(&figures[figure]);
            let (wide, high) = (shape.width(), shape.height());
            holds(wide, high) || turning && holds(high, wide)
        };
        (0..figures.len()).filter(held).collect()
    }

    pub(super) fn units(&self) -> i64 {
        self.width.units() * self.height.units()
    }
}

/// The places of a panel that are farther than the gap from every figure.
#[derive(Debug)]
pub(super) struct Free<'a> {
    lattice: &'a Lattice,
    smallest: Length,
    every: usize,
    columns: usize,
    taken: Vec<bool>,
}

impl<'a> Free<'a> {
    /// Looks at every place, or with `every` above 1 at squares of as many places a side.
    pub(super) fn new(board: &Board, lattice: &'a Lattice, smallest: Length, every: usize) -> Self {
        let count = |places: usize| (places - lattice.gap).div_ceil(every);
        let (columns, rows) = (count(lattice.columns), count(lattice.rows));
        // Figures are grown to the right and down already: what is taken grows to the left and up.
        let grown = board.grown(lattice.gap + every - 1);
        let row = |row: usize| (0..columns).map(move |column| (column * every, row * every));
        let taken = (0..rows).flat_map(row).map(|(column, row)| grown.is_taken(column, row)).collect();
        Self { lattice, smallest, every, columns, taken }
    }

    /// Finds the largest free rectangle whose sides are long enough; of equals the topmost.
    pub(super) fn largest(&self) -> Option<OffCut> {
        let worth = |across, down| {
            let offcut = self.rectangle(across, down);
            if offcut.width.min(offcut.height) >= self.smallest { offcut.units() } else { 0 }
        };
        largest(&self.taken, self.columns, worth).map(|(across, down)| self.rectangle(across, down))
    }

    /// Takes the largest rectangle again and again until none is worth keeping.
    pub(super) fn all(mut self) -> Vec<OffCut> {
        let mut found = Vec::new();
        while let Some(offcut) = self.largest() {
            self.take(&offcut);
            found.push(offcut);
        }
        found.sort_by_key(|offcut| Reverse(offcut.units()));
        found
    }

    fn take(&mut self, offcut: &OffCut) {
        let area = offcut.area();
        let rows = self.taken.len() / self.columns;
        for row in 0..rows {
            for column in 0..self.columns {
                let place = self.rectangle((column, column + 1), (row, row + 1)).area();
                self.taken[row * self.columns + column] |= area.contains(place);
            }
        }
    }

    /// Gives the rectangle between places; at the outermost ones it goes to the edges of the panel.
    fn rectangle(&self, across: (usize, usize), down: (usize, usize)) -> OffCut {
        let (panel, rows) = (self.lattice.panel, self.taken.len() / self.columns);
        let edge = |place: usize, count: usize, side: Length| match place {
            0 => Length::ZERO,
            _ if place == count => side,
            _ => self.lattice.at(place * self.every),
        };
        let x = edge(across.0, self.columns, panel.width());
        let y = edge(down.0, rows, panel.height());
        let right = edge(across.1, self.columns, panel.width());
        let bottom = edge(down.1, rows, panel.height());
        OffCut { x, y, width: right - x, height: bottom - y }
    }
}
