//! What there is to paint: cells and patches of each colour.

use serde::{Deserialize, Serialize};

use super::{Grid, patches};
use crate::colour::Rgb;

/// The count of one colour.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tally {
    /// Its place in the palette.
    pub index: usize,
    /// The short name that stands in its cells.
    pub code: String,
    /// Its name in plain words.
    pub name: String,
    /// The colour.
    pub colour: Rgb,
    /// How many cells it fills.
    pub cells: usize,
    /// How many separate areas these cells form.
    pub patches: usize,
}

/// Counts every colour that has cells, in the order of its code: ramp by ramp, light to dark.
pub fn tally(grid: &Grid) -> Vec<Tally> {
    let mut areas = vec![0; grid.palette().len()];
    for patch in patches(grid) {
        areas[usize::from(patch.cell.unwrap_or_default())] += 1;
    }
    let (codes, names, counts) = (grid.codes(), grid.names(), grid.counts());
    let mut tallies: Vec<Tally> = (0..grid.palette().len())
        .filter(|&index| counts[index] > 0)
        .map(|index| Tally {
            index,
            code: codes[index].clone(),
            name: names[index].clone(),
            colour: grid.palette().colours()[index],
            cells: counts[index],
            patches: areas[index],
        })
        .collect();
    tallies.sort_by(|a, b| a.code.cmp(&b.code));
    tallies
}
