//! The colour of each cell, read at its middle, and the grid that follows.

use std::collections::BTreeMap;
use std::ops::Range;

use super::Warning;
use super::comb::Comb;
use super::ground::Ground;
use crate::colour::{Lab, Rgb};
use crate::fault::{Error, Result};
use crate::grid::{Cell, Grid};
use crate::palette::{Merging, Palette, merges};
use crate::picture::Picture;

/// More colours than this are put together on a coarse mesh before the nearest are merged.
const MANY: usize = 256;
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
        let ((columns, rows), (across, down), (left, top)) = (comb.cells(), comb.pitch(), comb.offset());
        Self::at(picture, (left, across, columns), (top, down, rows))
    }

    /// Reads cells at their middles; each axis as offset, pitch and number of cells.
    pub(super) fn at(picture: &Picture, x: (i64, i64, usize), y: (i64, i64, usize)) -> Self {
        let middles = |(offset, pitch, cells): (i64, i64, usize), length: u32| -> Vec<u32> {
            let middle =
                (0_i64..).map(|cell| (offset + pitch * cell + pitch / 2).clamp(0, i64::from(length) - 1));
            middle.take(cells).filter_map(|place| u32::try_from(place).ok()).collect()
        };
        let xs = middles(x, picture.width());
        let ys = middles(y, picture.height());
        let colours = ys.iter().flat_map(|&y| xs.iter().map(move |&x| picture.pixel(x, y))).collect();
        Self::of(y.2, x.2, colours)
    }

    /// Takes cells whose colours are known.
    pub(super) fn of(rows: usize, columns: usize, colours: Vec<[u8; 4]>) -> Self {
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
        let seen = |place: usize| self.colours[place][3] > 0 && !ground.bare[place];
        let (rows, columns) = self.extent(seen);
        let (height, width) = (rows.len(), columns.len());
        let place = (rows.start, columns.start);
        let numbered =
            rows.flat_map(|row| &numbered[row * self.columns..][columns.clone()]).copied().collect();
        Ok((Grid::new(height, width, numbered, palette)?, place, warnings))
    }

    /// Gives the rows and columns from the first to the last cell that is seen: faint cells at the border
    /// stay, bare in the grid, so that a maker can decide.
    fn extent(&self, seen: impl Fn(usize) -> bool) -> (Range<usize>, Range<usize>) {
        let places = || (0..self.colours.len()).filter(|&place| seen(place));
        let span = |line: &dyn Fn(usize) -> usize| {
            let (first, last) = (places().map(line).min(), places().map(line).max());
            first.unwrap_or(0)..last.map_or(1, |last| last + 1)
        };
        (span(&|place| place / self.columns), span(&|place| place % self.columns))
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
        if used.is_empty() {
            return Err(Error::NoGrid { why: "every cell would be background".into() });
        }
        if used.len() > Palette::LIMIT {
            warnings.push(Warning::Merged(used.len()));
            counts.retain(|&count| count > 0);
            let stands = few(&used, &counts);
            for (colour, into) in self.different.iter().zip(&mut target) {
                if let Ok(place) = used.binary_search(colour) {
                    *into = stands[place];
                }
            }
            used = stands;
            used.sort_unstable();
            used.dedup();
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

/// Gives each of many colours, ascending, the one of at most 64 that stands for it.
fn few(colours: &[Rgb], counts: &[usize]) -> Vec<Rgb> {
    let mut stands = meshed(colours, counts);
    let mut left = stands.clone();
    left.sort_unstable();
    left.dedup();
    let mut sums = vec![0; left.len()];
    for (stand, count) in stands.iter().zip(counts) {
        sums[left.binary_search(stand).unwrap_or(0)] += count;
    }
    let merging = Merging { tolerance: 0.0, most: Palette::LIMIT, locked: &[] };
    for merge in merges(&left, &sums, &merging) {
        let (from, into) = (left[merge.from], left[merge.into]);
        stands.iter_mut().filter(|stand| **stand == from).for_each(|stand| *stand = into);
    }
    stands
}

/// Puts very many colours together on the finest mesh that leaves at most 256, each as the commonest there.
fn meshed(colours: &[Rgb], counts: &[usize]) -> Vec<Rgb> {
    for shift in 0..7 {
        let mesh = |colour: &Rgb| colour.0.map(|channel| channel >> shift);
        let mut commonest = BTreeMap::new();
        for (colour, &count) in colours.iter().zip(counts) {
            let best = commonest.entry(mesh(colour)).or_insert((count, *colour));
            if count > best.0 {
                *best = (count, *colour);
            }
        }
        if commonest.len() <= MANY {
            return colours.iter().map(|colour| commonest[&mesh(colour)].1).collect();
        }
    }
    vec![colours[0]; colours.len()]
}

/// Gives the colour of a cell that is at least half solid.
pub(super) fn solid([r, g, b, alpha]: [u8; 4]) -> Option<Rgb> {
    (alpha >= SOLID).then_some(Rgb([r, g, b]))
}
