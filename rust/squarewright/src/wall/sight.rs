//! How much of a change of colour reaches an eye that looks at the wall from afar.
//!
//! The eye blurs what is small: lightness least, red against green more, blue against yellow most. S-CIELAB
//! (Zhang and Wandell, "A spatial extension of CIELAB for digital color image reproduction", SID 1996) says by
//! how much: it takes light apart into these three channels (Poirson and Wandell 1993), blurs each with a sum of
//! bell curves whose widths are angles, and compares what is left as CIELAB colours. Here the channels of a
//! colour change by the greatest share that the blur leaves anywhere in the figure, in all channels at once, and
//! the wide negative curve of lightness, which takes a little away, is left out: both overstate what shows.

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
    /// Gives 6 ft, about the middle of a small room (common practice), and a difference of 2: in pictures 2.15
    /// is just seen on the average (Stokes, Fairchild and Berns, "Precision requirements for digital color
    /// reproduction", ACM Transactions on Graphics 11(4), 1992; in CIELAB, from memory).
    fn default() -> Self {
        Self { distance: Length::inches(72, 1), difference: 2.0 }
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

/// The greatest share of a change that reaches the eye, channel by channel.
pub type Shares = [f64; 3];

/// Gives, for each place of the palette, the greatest share of a change of that colour that reaches the eye.
pub fn shares(grid: &Grid, pitch: Ratio, sight: &Sight) -> Vec<Shares> {
    let degrees = 2.0 * libm::atan(pitch.mm() / 2.0 / sight.distance.mm()).to_degrees();
    let curves = BLUR.map(|curves| curves.map(|(weight, width)| (weight, bell(width / degrees))));
    (0..grid.palette().len()).map(|place| share(grid, place, &curves)).collect()
}

fn share(grid: &Grid, place: usize, curves: &[[(f64, Vec<f64>); 2]; 3]) -> Shares {
    let columns = grid.columns();
    let cells: Vec<usize> = (0..grid.cells().len())
        .filter(|&cell| grid.cells()[cell].is_some_and(|index| usize::from(index) == place))
        .collect();
    curves.each_ref().map(|curves| {
        let mut seen = vec![0.0; cells.len()];
        for (weight, kernel) in curves {
            let rows = spread_level(&cells, grid.rows(), columns, kernel);
            for (seen, &cell) in seen.iter_mut().zip(&cells) {
                *seen += weight * gathered(&rows, cell, columns, kernel);
            }
        }
        seen.into_iter().fold(0.0, f64::max).min(1.0)
    })
}

/// Spreads marked cells along their rows.
fn spread_level(cells: &[usize], rows: usize, columns: usize, kernel: &[f64]) -> Vec<f64> {
    let mut spread = vec![0.0; rows * columns];
    for &cell in cells {
        let (start, column) = (cell / columns * columns, cell % columns);
        let from = column.saturating_sub(kernel.len() - 1);
        for other in from..(column + kernel.len()).min(columns) {
            spread[start + other] += kernel[other.abs_diff(column)];
        }
    }
    spread
}

/// Gathers what reaches a cell along its column.
fn gathered(rows: &[f64], cell: usize, columns: usize, kernel: &[f64]) -> f64 {
    let (row, column) = (cell / columns, cell % columns);
    let last = (row + kernel.len()).min(rows.len() / columns);
    let reach = row.saturating_sub(kernel.len() - 1)..last;
    reach.map(|other| kernel[other.abs_diff(row)] * rows[other * columns + column]).sum()
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

/// Gives the difference that shows, CIEDE2000, when a share of the change from one colour to another is seen.
pub fn seen(from: Rgb, to: Rgb, shares: Shares) -> f64 {
    let (one, other) = (opponent(from), opponent(to));
    let changed =
        std::array::from_fn(|channel| one[channel] + shares[channel] * (other[channel] - one[channel]));
    let [x, y, z] = times(&BACK, changed);
    ciede2000(Lab::from(from), Lab::from(Xyz { x, y, z }))
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
    fn a_change_that_is_seen_whole_is_the_plain_difference() {
        // source: the two matrices are inverse to each other
        let (one, other) = (Rgb([0x5b, 0x7a, 0x3a]), Rgb([0x6b, 0x70, 0x44]));
        let plain = ciede2000(Lab::from(one), Lab::from(other));
        assert!((seen(one, other, [1.0; 3]) - plain).abs() < 1e-9);
        assert!(seen(one, other, [0.0; 3]) < 1e-9);
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
