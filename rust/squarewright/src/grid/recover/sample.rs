//! The colour of each cell, read at its middle, and the grid that follows.

use super::Warning;
use super::comb::Comb;
use super::ground::Ground;
use crate::colour::{Lab, Rgb};
use crate::fault::{Error, Result};
use crate::grid::{Cell, Grid};
use crate::palette::{Merging, Palette, merges};
use crate::picture::Picture;

/// More colours than this are never cells: merging them would only blur a photo.
const MOST_COLOURS: usize = 1024;
/// Alpha from which a cell counts as painted.
const SOLID: u8 = 128;

/// The cells of a comb with the colour of each.
#[derive(Debug)]
pub(super) struct Sampled {
    pub(super) rows: usize,
    pub(super) columns: usize,
    pub(super) colours: Vec<[u8; 4]>,
    /// Different colours among the solid cells, ascending.
    pub(super) different: Vec<Rgb>,
}

impl Sampled {
    pub(super) fn new(picture: &Picture, comb: &Comb) -> Self {
        let (columns, rows) = comb.cells();
        let middles = |offset: i64, pitch: i64, cells: usize, length: u32| -> Vec<u32> {
            let middle =
                (0_i64..).map(|cell| (offset + pitch * cell + pitch / 2).clamp(0, i64::from(length) - 1));
            middle.take(cells).filter_map(|place| u32::try_from(place).ok()).collect()
        };
        let xs = middles(comb.offset().0, comb.pitch().0, columns, picture.width());
        let ys = middles(comb.offset().1, comb.pitch().1, rows, picture.height());
        let colours: Vec<[u8; 4]> =
            ys.iter().flat_map(|&y| xs.iter().map(move |&x| picture.pixel(x, y))).collect();
        let mut different: Vec<Rgb> = colours.iter().filter_map(|&colour| solid(colour)).collect();
        different.sort_unstable();
        different.dedup();
        Self { rows, columns, colours, different }
    }

    /// Makes the grid without its background, trimmed, with the place (row, column) of its first cell.
    pub(super) fn grid(&self, ground: &Ground) -> Result<(Grid, (usize, usize), Vec<Warning>)> {
        let mut warnings = Vec::new();
        let painted = |place: usize| solid(self.colours[place]).filter(|_| !ground.bare[place]);
        let cells: Vec<Option<Rgb>> = (0..self.colours.len()).map(painted).collect();
        let (palette, target) = self.palette(&cells, &mut warnings)?;
        let soft = self.colours.iter().filter(|colour| !matches!(colour[3], 0 | 255)).count();
        warnings.extend((soft > 0).then_some(Warning::Soft(soft)));
        warnings.extend((self.different.len() == 1 && palette.len() == 1).then_some(Warning::OneColour));
        let index = |colour: Rgb| {
            let place = self.different.binary_search(&colour).ok()?;
            u8::try_from(palette.position(target[place])?).ok()
        };
        let numbered: Vec<Cell> = cells.into_iter().map(|cell| cell.and_then(index)).collect();
        let first_row = numbered.iter().position(Option::is_some).unwrap_or(0) / self.columns;
        let column_of = |place: usize| place % self.columns;
        let used = numbered.iter().enumerate().filter(|(_, cell)| cell.is_some());
        let first_column = used.map(|(place, _)| column_of(place)).min().unwrap_or(0);
        let grid = Grid::new(self.rows, self.columns, numbered, palette)?.trimmed()?;
        Ok((grid, (first_row, first_column), warnings))
    }

    /// Gives the palette of the painted cells, light to dark, and for each different colour the one that
    /// stands for it.
    fn palette(&self, cells: &[Option<Rgb>], warnings: &mut Vec<Warning>) -> Result<(Palette, Vec<Rgb>)> {
        let mut counts = vec![0; self.different.len()];
        for colour in cells.iter().flatten() {
            counts[self.different.binary_search(colour).unwrap_or(0)] += 1;
        }
        let mut target = self.different.clone();
        let mut used: Vec<Rgb> =
            target.iter().zip(&counts).filter(|(_, count)| **count > 0).map(|(&colour, _)| colour).collect();
        if used.len() > MOST_COLOURS {
            return Err(Error::NoGrid { why: format!("{} different colours, as in a photo", used.len()) });
        }
        if used.is_empty() {
            return Err(Error::NoGrid { why: "every cell would be background".into() });
        }
        if used.len() > Palette::LIMIT {
            warnings.push(Warning::Merged(used.len()));
            counts.retain(|&count| count > 0);
            let merging = Merging { tolerance: 0.0, most: Palette::LIMIT, locked: &[] };
            for merge in merges(&used, &counts, &merging) {
                let (from, into) = (used[merge.from], used[merge.into]);
                target.iter_mut().filter(|colour| **colour == from).for_each(|colour| *colour = into);
            }
            used.retain(|&colour| {
                self.different.binary_search(&colour).is_ok_and(|place| target[place] == colour)
            });
        }
        used.sort_by(|&a, &b| Lab::from(b).l.total_cmp(&Lab::from(a).l).then(a.cmp(&b)));
        Ok((Palette::new(used)?, target))
    }

    /// Gives the sampled colours of the cells of a trimmed grid that starts at `place`.
    pub(super) fn colours_of(&self, place: (usize, usize), grid: &Grid) -> Vec<[u8; 4]> {
        let line = |row: usize| &self.colours[(place.0 + row) * self.columns + place.1..][..grid.columns()];
        (0..grid.rows()).flat_map(|row| line(row).iter().copied()).collect()
    }
}

/// Gives the colour of a cell that is at least half solid.
pub(super) fn solid([r, g, b, alpha]: [u8; 4]) -> Option<Rgb> {
    (alpha >= SOLID).then_some(Rgb([r, g, b]))
}
