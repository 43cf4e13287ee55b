//! How much of a change of colours reaches an eye that looks at the wall from afar.
//!
//! The eye blurs what is small: lightness least, red against green more, blue against yellow most. S-CIELAB
//! (Zhang and Wandell, "A spatial extension of CIELAB for digital color image reproduction", SID 1996) says by
//! how much: it takes light apart into these three channels (Poirson and Wandell 1993), blurs each with a sum of
//! bell curves whose widths are angles, and compares what is left as CIELAB colours. Here a figure is blurred
//! within its own cells alone, as the colour of the wall is unknown, and looked at in the middle of each cell;
//! and the wide negative curve of lightness, which takes a little away from any change, is left out.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use crate::colour::{Lab, Rgb, Xyz, ciede2000};
use crate::fault::{Error, Result};
use crate::grid::Grid;
use crate::length::{Length, Ratio};

/// From how far the wall is looked at, and how much may show from there.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Sight {
    /// From the eye to the wall.
    pub distance: Length,
    /// Colours of different figures become one when the difference that shows is at most this, CIEDE2000; 0
    /// keeps all that differ.
    pub difference: f64,
}

impl Default for Sight {
    /// Gives 6 ft, about the middle of a small room, and a difference of 3, within which two colours look alike
    /// even side by side, as for mixes (both common practice). In pictures that are shown one after the other
    /// 2.15 is just seen on the average (Stokes, Fairchild and Berns, "Precision requirements for digital color
    /// reproduction", ACM Transactions on Graphics 11(4), 1992; in CIELAB, from memory).
    fn default() -> Self {
        Self { distance: Length::inches(72, 1), difference: 3.0 }
    }
}

impl Sight {
    /// The most that may be asked to be hidden: beyond it colours are plainly different.
    pub const MOST: f64 = 10.0;

    /// Passes a sight that colours can be judged by.
    ///
    /// # Errors
    /// [`Error::Length`] when the distance is not above zero, [`Error::Argument`] for a difference outside 0 to
    /// 10.
    pub fn checked(self) -> Result<Self> {
        self.distance.positive("distance")?;
        if (0.0..=Self::MOST).contains(&self.difference) {
            return Ok(self);
        }
        let must = format!("a difference from 0 to {}", Self::MOST);
        Err(Error::Argument { name: "merge", must, got: self.difference.to_string() })
    }
}

/// The bell curves of a channel: weight, and width at half height in degrees.
type Curves = [(f64, f64); 2];

/// Lightness, red against green, blue against yellow; the values of the authors' published program.
const BLUR: [Curves; 3] = [
    [(1.003_27, 0.05), (0.114_416, 0.225)],
    [(0.616_725, 0.0685), (0.383_275, 0.826)],
    [(0.567_885, 0.0920), (0.432_115, 0.6451)],
];

/// The channels out of X, Y and Z (Poirson and Wandell 1993).
const OPPONENT: [[f64; 3]; 3] = [[0.279, 0.72, -0.107], [-0.449, 0.29, -0.077], [0.086, -0.59, 0.501]];

/// The three channels of a cell.
type Channels = [f64; 3];

/// A figure as it is seen from afar, and how its painting differs from it so far.
#[derive(Debug, Clone)]
pub struct View {
    columns: usize,
    /// The palette place of each cell.
    cells: Vec<Option<u8>>,
    curves: [[Curve; 2]; 3],
    /// The figure as it is, blurred, cell by cell.
    blurred: Vec<Channels>,
    labs: Vec<Lab>,
    /// What was changed, blurred.
    change: Vec<Channels>,
}

/// One bell curve of a channel over the cells of a figure.
#[derive(Debug, Clone)]
struct Curve {
    weight: f64,
    kernel: Vec<f64>,
    /// How much of the curve falls on cells of the figure, cell by cell.
    within: Vec<f64>,
}

impl View {
    /// Looks at a figure.
    pub fn new(grid: &Grid, pitch: Ratio, sight: &Sight) -> Self {
        let degrees = 2.0 * libm::atan(pitch.mm() / 2.0 / sight.distance.mm()).to_degrees();
        let columns = grid.columns();
        let cells: Vec<Option<u8>> = grid.cells().to_vec();
        let mask: Vec<f64> = cells.iter().map(|cell| f64::from(u8::from(cell.is_some()))).collect();
        let curves = BLUR.map(|curves| {
            curves.map(|(weight, width)| {
                let kernel = bell(width / degrees);
                let within = spread(&mask, columns, &kernel);
                Curve { weight, kernel, within }
            })
        });
        let mut view = Self {
            columns,
            change: vec![[0.0; 3]; cells.len()],
            blurred: vec![[0.0; 3]; cells.len()],
            labs: Vec::new(),
            cells,
            curves,
        };
        view.blur(grid.palette().colours());
        view
    }

    fn blur(&mut self, colours: &[Rgb]) {
        let light: Vec<Channels> = colours.iter().map(|&colour| opponent(colour)).collect();
        for (channel, curves) in self.curves.iter().enumerate() {
            let whole: f64 = curves.iter().map(|curve| curve.weight).sum();
            let own = |cell: &Option<u8>| cell.map_or(0.0, |place| light[usize::from(place)][channel]);
            let plane: Vec<f64> = self.cells.iter().map(own).collect();
            for curve in curves {
                let seen = spread(&plane, self.columns, &curve.kernel);
                for (place, blurred) in self.blurred.iter_mut().enumerate() {
                    if self.cells[place].is_some() {
                        blurred[channel] += curve.weight / whole * seen[place] / curve.within[place];
                    }
                }
            }
        }
        self.labs = self.blurred.iter().map(|&channels| lab(channels)).collect();
    }

    /// Gives how much of a change in one place of the palette reaches the eye, cell by cell.
    fn shares(&self, place: u8) -> Vec<Channels> {
        let marked = |cell: &Option<u8>| f64::from(u8::from(*cell == Some(place)));
        let plane: Vec<f64> = self.cells.iter().map(marked).collect();
        let mut shares = vec![[0.0; 3]; self.cells.len()];
        for (channel, curves) in self.curves.iter().enumerate() {
            for curve in curves {
                let seen = spread(&plane, self.columns, &curve.kernel);
                for (cell, share) in
                    shares.iter_mut().enumerate().filter(|(cell, _)| self.cells[*cell].is_some())
                {
                    share[channel] += curve.weight * seen[cell] / curve.within[cell];
                }
            }
        }
        // Lightness without its wide negative curve comes to more than all.
        shares.iter_mut().flatten().for_each(|share| *share = share.min(1.0));
        shares
    }

    /// Changes the colours of places of the palette, each from what it is painted in so far.
    #[must_use]
    pub fn changed(&self, places: &[u8], (from, to): (Rgb, Rgb)) -> Self {
        let (one, other) = (opponent(from), opponent(to));
        let mut view = self.clone();
        for &place in places {
            for (change, share) in view.change.iter_mut().zip(self.shares(place)) {
                for channel in 0..3 {
                    change[channel] += share[channel] * (other[channel] - one[channel]);
                }
            }
        }
        view
    }

    /// Gives the difference that shows, CIEDE2000, in the cell where it is greatest.
    pub fn shows(&self) -> f64 {
        let cells =
            (0..self.cells.len()).filter(|&cell| self.change[cell].iter().any(|change| change.abs() > 0.0));
        let shows = cells.map(|cell| {
            let after =
                std::array::from_fn(|channel| self.blurred[cell][channel] + self.change[cell][channel]);
            ciede2000(self.labs[cell], lab(after))
        });
        shows.fold(0.0, f64::max)
    }
}

/// Blurs a plane along its rows, then along its columns.
fn spread(plane: &[f64], columns: usize, kernel: &[f64]) -> Vec<f64> {
    let rows = plane.len() / columns;
    let mut level = vec![0.0; plane.len()];
    for (cell, &value) in plane.iter().enumerate().filter(|(_, value)| **value != 0.0) {
        let (start, column) = (cell / columns * columns, cell % columns);
        let from = column.saturating_sub(kernel.len() - 1);
        for other in from..(column + kernel.len()).min(columns) {
            level[start + other] += value * kernel[other.abs_diff(column)];
        }
    }
    let mut spread = vec![0.0; plane.len()];
    for row in 0..rows {
        let from = row.saturating_sub(kernel.len() - 1);
        for other in from..(row + kernel.len()).min(rows) {
            let weight = kernel[other.abs_diff(row)];
            let own = &level[other * columns..][..columns];
            for (sum, value) in spread[row * columns..][..columns].iter_mut().zip(own) {
                *sum += weight * value;
            }
        }
    }
    spread
}

/// Gives the share of a bell curve that falls on a cell and on those beside it; its width at half height is in
/// cells.
fn bell(width: f64) -> Vec<f64> {
    // The half height of exp(-x²/s²) is at x = s √(ln 2).
    let spread = width / 2.0 / libm::sqrt(std::f64::consts::LN_2);
    let under = |at: f64| libm::erf(at / spread);
    let mut shares = vec![under(0.5)];
    // Beyond three spreads there is less than a 40,000th, and no grid is longer than 512 cells.
    while shares.len() < 512 && shares.len() as f64 - 0.5 < 3.0 * spread {
        let at = shares.len() as f64;
        shares.push((under(at + 0.5) - under(at - 0.5)) / 2.0);
    }
    shares
}

fn lab(channels: Channels) -> Lab {
    let [x, y, z] = times(&BACK, channels);
    Lab::from(Xyz { x, y, z })
}

fn opponent(colour: Rgb) -> [f64; 3] {
    let Xyz { x, y, z } = Xyz::from(colour);
    times(&OPPONENT, [x, y, z])
}

fn times(matrix: &[[f64; 3]; 3], vector: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|row| (0..3).map(|column| matrix[row][column] * vector[column]).sum())
}

/// The way back from the channels.
static BACK: LazyLock<[[f64; 3]; 3]> = LazyLock::new(|| {
    let minor = |row: usize, column: usize| {
        let at = |down: usize, across: usize| OPPONENT[(row + down) % 3][(column + across) % 3];
        at(1, 1) * at(2, 2) - at(1, 2) * at(2, 1)
    };
    let whole: f64 = (0..3).map(|column| OPPONENT[0][column] * minor(0, column)).sum();
    std::array::from_fn(|row| std::array::from_fn(|column| minor(column, row) / whole))
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_channels_lead_back_to_the_colour() {
        // source: the two matrices are inverse to each other
        for colour in [Rgb([0x5b, 0x7a, 0x3a]), Rgb::WHITE, Rgb([255, 0, 0])] {
            assert!(ciede2000(Lab::from(colour), lab(opponent(colour))) < 1e-9);
        }
    }

    #[test]
    fn a_bell_is_whole() {
        // source: the integral of a normed bell curve is 1
        for width in [0.01, 0.3, 2.0, 40.0] {
            let bell = bell(width);
            let sum = bell[0] + 2.0 * bell[1..].iter().sum::<f64>();
            assert!((sum - 1.0).abs() < 5e-5, "{width}: {sum}");
        }
    }
}
