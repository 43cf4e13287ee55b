//! One guess about an axis, and how good it is.

use super::fit::{Left, Summed};
use super::kernel::{Kernel, Model};
use super::profile::LEAST_PITCH;

/// The variance of rounding to whole values, and a little more: what even a perfect fit leaves.
pub(super) const FLOOR: f64 = 0.12;
/// What one cell a pixel costs in the search for a place.
const SEARCH_PRICE: f64 = 5.0;
/// What one cell a pixel costs when guesses are compared.
const CELL_PRICE: f64 = 6.5;
/// What phase contrast is worth, and how much of it counts.
const CONTRAST: (f64, f64) = (0.8, 3.0);

/// A lattice and kernel for one axis with what they leave unexplained.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hypothesis {
    pub(super) model: Model,
    /// The mean squared residual.
    pub(super) rss: f64,
    /// Cells a pixel.
    pub(super) density: f64,
    /// How much worse the same lattice fits when it is shifted, as the log of a ratio: a smooth picture fits
    /// any phase, true cells fit one.
    pub(super) contrast: f64,
}

impl Hypothesis {
    /// Measures a model on rows.
    pub(super) fn measured<const L: usize>(rows: &Summed<L>, model: Model) -> Self {
        let here = rows.left(&model);
        let worst = [0.25, 0.5, 0.75]
            .map(|phase| rows.left(&Model { offset: model.offset + phase * model.pitch, ..model }).rss)
            .into_iter()
            .fold(here.rss, f64::max);
        Self {
            model,
            rss: here.rss,
            density: here.cells as f64 / rows.length() as f64,
            contrast: contrast(here.rss, worst),
        }
    }

    /// Scores it; lower is better. `floor` is the least residual of all guesses.
    pub(super) fn score(&self, floor: f64) -> f64 {
        libm::log(self.rss + 3.0 * floor.max(FLOOR)) + CELL_PRICE * self.density
            - CONTRAST.0 * self.contrast.min(CONTRAST.1)
    }

    /// Scores it by its residual and cells alone.
    pub(super) fn plain_score(&self) -> f64 {
        libm::log(self.rss + FLOOR) + SEARCH_PRICE * self.density
    }

    pub(super) fn kernel(&self) -> Kernel {
        self.model.kernel
    }

    pub(super) fn pitch(&self) -> f64 {
        self.model.pitch
    }

    /// Says whether both guesses mean the same cells over the whole length.
    pub(super) fn is_near(&self, other: &Self, length: f64) -> bool {
        let pitch = self.pitch();
        let turns = (self.model.offset - other.model.offset) / pitch;
        (pitch - other.pitch()).abs() / pitch < 0.3 * pitch / length && (turns - turns.round()).abs() < 0.12
    }
}

/// Gives the log of how much worse another phase fits.
pub(super) fn contrast(here: f64, worst: f64) -> f64 {
    libm::log((worst + FLOOR) / (here + FLOOR))
}

/// Rates what a search step leaves.
pub(super) fn cost(left: Left, length: usize) -> f64 {
    libm::log(left.rss + FLOOR) + SEARCH_PRICE * left.cells as f64 / length as f64
}

/// Moves pitch and place downhill in ever smaller steps.
///
/// The place is that of the boundary nearest the middle, so that a change of pitch does not move it.
pub(super) fn refined<const L: usize>(rows: &Summed<L>, model: Model, rounds: usize) -> Model {
    let length = rows.length();
    let middle = ((length as f64 / 2.0 - model.offset) / model.pitch).floor();
    let at = |pitch: f64, place: f64| Model { pitch, offset: place - middle * pitch, ..model };
    let (mut pitch, mut place) = (model.pitch, model.offset + middle * model.pitch);
    let (mut pitch_step, mut place_step) = (0.35 * pitch * pitch / length as f64, (pitch / 12.0).min(1.0));
    let mut best = cost(rows.left(&model), length);
    for _ in 0..rounds {
        let mut moved = false;
        for (a, b) in [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1)] {
            let (to, there) = (pitch + f64::from(a) * pitch_step, place + f64::from(b) * place_step);
            if to < LEAST_PITCH {
                continue;
            }
            let found = cost(rows.left(&at(to, there)), length);
            if found < best - 1e-9 {
                (best, pitch, place, moved) = (found, to, there, true);
            }
        }
        if !moved {
            pitch_step *= 0.5;
            place_step *= 0.5;
        }
    }
    at(pitch, place)
}
