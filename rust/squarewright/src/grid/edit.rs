//! Edits: each gives a new grid.

use super::{Cell, Grid};
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::palette::{Merging, Palette, merges};

impl Grid {
    /// Merges colours that differ by at most `tolerance` (CIEDE2000); the colour with fewer cells goes, but
    /// never one of the `locked` places of the palette.
    ///
    /// # Errors
    /// [`Error::Argument`] when the tolerance is negative or not a number, or the palette has no such place.
    pub fn merged(&self, tolerance: f64, locked: &[usize]) -> Result<Self> {
        if !tolerance.is_finite() || tolerance < 0.0 {
            let must = "a difference of 0 or more".into();
            return Err(Error::Argument { name: "tolerance", must, got: tolerance.to_string() });
        }
        locked.iter().try_for_each(|&place| self.check_place("locked", place))?;
        let merging = Merging { tolerance, most: usize::MAX, locked };
        let merges = merges(self.palette().colours(), &self.counts(), &merging);
        let mut target: Vec<usize> = (0..self.palette().len()).collect();
        for merge in merges {
            target.iter_mut().filter(|place| **place == merge.from).for_each(|place| *place = merge.into);
        }
        let colours = target.iter().map(|&place| Some(self.palette().colours()[place]));
        self.recoloured(&colours.collect::<Vec<_>>())
    }

    /// Gives colour `index` another colour, or makes its cells bare with `None`.
    ///
    /// A colour that the palette already has takes the cells over: the two become one.
    ///
    /// # Errors
    /// [`Error::Argument`] when the palette has no such place, [`Error::Grid`] when nothing would be left.
    pub fn replaced(&self, index: usize, colour: Option<Rgb>) -> Result<Self> {
        self.check_place("index", index)?;
        let mut colours: Vec<Option<Rgb>> = self.palette().colours().iter().copied().map(Some).collect();
        colours[index] = colour;
        self.recoloured(&colours)
    }

    fn check_place(&self, name: &'static str, place: usize) -> Result<()> {
        let last = self.palette().len() - 1;
        if place <= last {
            return Ok(());
        }
        let must = format!("0 to {last}, a place in the palette");
        Err(Error::Argument { name, must, got: place.to_string() })
    }

    /// Paints some cells, given as (row, column), in a colour, or makes them bare with `None`.
    ///
    /// # Errors
    /// [`Error::Argument`] when a cell is outside the grid, [`Error::Colours`] when there would be more than
    /// 64 colours, [`Error::Grid`] when every cell would be bare.
    pub fn painted(&self, places: &[(usize, usize)], colour: Option<Rgb>) -> Result<Self> {
        let mut colours = self.palette().colours().to_vec();
        if let Some(colour) = colour.filter(|&colour| self.palette().position(colour).is_none()) {
            colours.push(colour);
        }
        let palette = Palette::new(colours)?;
        let cell = colour.and_then(|colour| u8::try_from(palette.position(colour)?).ok());
        let mut cells = self.cells().to_vec();
        for &(row, column) in places {
            if row >= self.rows() || column >= self.columns() {
                let must = format!("(row, column) within {} rows × {} columns", self.rows(), self.columns());
                return Err(Error::Argument { name: "cells", must, got: format!("({row}, {column})") });
            }
            cells[row * self.columns() + column] = cell;
        }
        Self::new(self.rows(), self.columns(), cells, palette)
    }

    /// Cuts away bare rows and columns at the edges.
    ///
    /// # Errors
    /// None in practice: a grid always has a cell that is not bare.
    pub fn trimmed(&self) -> Result<Self> {
        let filled = |row: usize, column: usize| self.cells()[row * self.columns() + column].is_some();
        let (rows, columns) = (0..self.rows(), 0..self.columns());
        let used_rows: Vec<usize> =
            rows.filter(|&row| columns.clone().any(|column| filled(row, column))).collect();
        let used_columns: Vec<usize> =
            columns.filter(|&column| used_rows.iter().any(|&row| filled(row, column))).collect();
        let span =
            |used: &[usize]| used.first().copied().unwrap_or(0)..used.last().map_or(0, |last| last + 1);
        let (rows, columns) = (span(&used_rows), span(&used_columns));
        let line = |row: usize| &self.cells()[row * self.columns()..][columns.clone()];
        let cells = rows.clone().flat_map(|row| line(row).iter().copied()).collect();
        Self::new(rows.len(), columns.len(), cells, self.palette().clone())
    }

    /// Gives every palette place the colour listed for it, or makes its cells bare with `None`; same colours
    /// become one, and places without cells disappear.
    ///
    /// # Errors
    /// [`Error::Grid`] when every cell would be bare.
    pub fn recoloured(&self, colours: &[Option<Rgb>]) -> Result<Self> {
        let counts = self.counts();
        let mut kept: Vec<Rgb> = Vec::new();
        let mut place_of = vec![None; colours.len()];
        for (place, colour) in colours.iter().enumerate() {
            let Some(colour) = *colour else { continue };
            let found = kept.iter().position(|&other| other == colour);
            if found.is_none() && counts[place] == 0 {
                continue;
            }
            place_of[place] = Some(found.unwrap_or(kept.len()));
            if found.is_none() {
                kept.push(colour);
            }
        }
        let moved = |cell: &Cell| -> Cell {
            let place = place_of[usize::from((*cell)?)]?;
            u8::try_from(place).ok()
        };
        let cells: Vec<Cell> = self.cells().iter().map(moved).collect();
        if cells.iter().all(Option::is_none) {
            return Err(Error::Grid { what: "every cell would be bare".into() });
        }
        Self::new(self.rows(), self.columns(), cells, Palette::new(kept)?)
    }
}
