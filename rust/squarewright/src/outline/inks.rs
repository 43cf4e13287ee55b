//! The colours of cells that a remedy adds, and the figure as it changes.

use super::body::Mask;
use super::remedy::{Cure, Remedy};
use super::weak::WeakSpot;
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::grid::patch::neighbours;
use crate::grid::{Cell, Grid};
use crate::palette::Palette;

/// The colours that remedies paint with, where the maker chooses them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Inks {
    /// Of new cells; else the colour of the outline where the figure has one, and what lies around where it
    /// has none.
    pub outline: Option<Rgb>,
    /// Of narrow waste that is left uncut; else as for new cells.
    pub ground: Option<Rgb>,
}

/// What a changed cell becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ink {
    Outline,
    Ground,
    Bare,
}

/// A figure that is being changed.
#[derive(Debug, Clone)]
pub(super) struct Work {
    pub(super) mask: Mask,
    cells: Vec<Cell>,
    palette: Palette,
    outline: Option<u8>,
    ground: Option<u8>,
}

impl Work {
    pub(super) fn new(grid: &Grid, inks: Inks) -> Result<Self> {
        let mut colours = grid.palette().colours().to_vec();
        for colour in [inks.outline, inks.ground].into_iter().flatten() {
            if !colours.contains(&colour) {
                colours.push(colour);
            }
        }
        let palette = Palette::new(colours)?;
        let place = |colour: Option<Rgb>| u8::try_from(palette.position(colour?)?).ok();
        let mask = Mask::figure(grid);
        let outline = place(inks.outline).or_else(|| drawn(grid, &mask));
        let ground = place(inks.ground);
        Ok(Self { mask, cells: grid.cells().to_vec(), palette, outline, ground })
    }

    pub(super) fn places(&self, cells: &[(usize, usize)]) -> Vec<usize> {
        cells.iter().map(|&(row, column)| row * self.mask.columns + column).collect()
    }

    /// Makes a recommended remedy.
    pub(super) fn remedy(&self, cure: Cure, places: &[usize], ink: Ink, spot: Option<WeakSpot>) -> Remedy {
        let colour = match ink {
            Ink::Bare => None,
            Ink::Ground => Some(self.ground.unwrap_or_else(|| self.shade(places))),
            Ink::Outline => Some(self.shade(places)),
        };
        let colour = colour.map(|place| self.palette.colours()[usize::from(place)]);
        let mut cells: Vec<(usize, usize)> = places.iter().map(|&place| self.mask.at(place)).collect();
        cells.sort_unstable();
        Remedy { cure, cells, colour, recommended: true, spot }
    }

    /// Chooses a colour for new cells: that of the outline, or the commonest around them.
    fn shade(&self, places: &[usize]) -> u8 {
        let commonest = || {
            let mut counts = vec![0_usize; self.palette.len()];
            let beside =
                places.iter().flat_map(|&place| neighbours(self.mask.rows, self.mask.columns, place));
            for index in beside.filter_map(|place| self.cells[place]) {
                counts[usize::from(index)] += 1;
            }
            first_largest(&counts)
        };
        self.outline.unwrap_or_else(commonest)
    }

    /// Carries a remedy out.
    ///
    /// # Errors
    /// [`Error::Argument`] when a cell is outside the grid, [`Error::Colours`] for a colour too many.
    pub(super) fn apply(&mut self, remedy: &Remedy) -> Result<()> {
        let colour = remedy.colour.filter(|&colour| self.palette.position(colour).is_none());
        if let Some(colour) = colour {
            let colours = self.palette.colours().iter().copied().chain([colour]);
            self.palette = Palette::new(colours.collect())?;
        }
        let cell = remedy.colour.and_then(|colour| u8::try_from(self.palette.position(colour)?).ok());
        for &(row, column) in &remedy.cells {
            if row >= self.mask.rows || column >= self.mask.columns {
                let must = format!("for a grid of {} rows × {} columns", self.mask.rows, self.mask.columns);
                let got = format!("one with cell ({row}, {column})");
                return Err(Error::Argument { name: "remedies", must, got });
            }
            let place = row * self.mask.columns + column;
            self.cells[place] = cell;
            self.mask.filled[place] = cell.is_some();
        }
        Ok(())
    }

    pub(super) fn grid(self) -> Result<Grid> {
        Grid::new(self.mask.rows, self.mask.columns, self.cells, self.palette)
    }
}

/// Finds the colour of a drawn outline: one that makes up more than half of the silhouette.
fn drawn(grid: &Grid, mask: &Mask) -> Option<u8> {
    let mut counts = vec![0; grid.palette().len()];
    for (place, index) in grid.cells().iter().enumerate().filter_map(|(at, cell)| Some((at, (*cell)?))) {
        let inner = neighbours(mask.rows, mask.columns, place).filter(|&next| mask.filled[next]).count();
        counts[usize::from(index)] += 4 - inner;
    }
    let best = first_largest(&counts);
    (2 * counts[usize::from(best)] > counts.iter().sum()).then_some(best)
}

/// Gives the first place of the largest count.
fn first_largest(counts: &[usize]) -> u8 {
    let best = (0_u8..).zip(counts).max_by_key(|&(place, count)| (count, std::cmp::Reverse(place)));
    best.map_or(0, |(place, _)| place)
}
