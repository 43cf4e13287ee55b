//! Spectra: how much light a surface throws back at each wavelength, from a colour and back to one.
//!
//! Paint takes light away wavelength by wavelength, so colours of paint are mixed as spectra. Many spectra
//! have the same colour; the one chosen here is the smoothest that stays between black and white: least slope
//! squared of the hyperbolic arctangent (S. A. Burns, "Numerical methods for smoothest reflectance
//! reconstruction", Color Research and Application 45(1), 2020, doi 10.1002/col.22437). Of the methods that
//! need no measured spectra it follows measured paints best.
//!
//! The observer is the fit by lobes of Wyman, Sloan and Shirley ("Simple analytic approximations to the CIE
//! XYZ color matching functions", Journal of Computer Graphics Techniques 2(2), 2013), the light is Planck's
//! radiator at 6504 K, scaled so that a perfect white is the white of sRGB. Mixes of paints differ by 0.3 on
//! average (CIEDE2000) from those with the tables of the CIE, less than any real paint.

use std::sync::LazyLock;

use super::lab::light_of;
use super::{Lab, Rgb};

/// The number of bands: 380 to 730 nm, every 10 nm.
pub const BANDS: usize = 36;
const UNKNOWNS: usize = BANDS + 3;

/// The darkest and the lightest that a dry layer of paint is taken for, as linear light.
const LEAST: f64 = 0.002;
const MOST: f64 = 0.985;

/// Each step of Newton's method is cut to this length; all of sRGB needs seven steps or fewer.
const STRIDE: f64 = 2.0;
const STEPS: usize = 30;

/// How much each band adds to X, Y and Z, as shares of the white.
static OBSERVER: LazyLock<[[f64; 3]; BANDS]> = LazyLock::new(|| {
    let mut rows: [[f64; 3]; BANDS] = std::array::from_fn(|band| {
        let nm = wavelength(band);
        response(nm).map(|part| part * daylight(nm))
    });
    for axis in 0..3 {
        let total: f64 = rows.iter().map(|row| row[axis]).sum();
        for row in &mut rows {
            row[axis] /= total;
        }
    }
    rows
});

/// How much each band adds to linear red, green and blue.
static LIGHT: LazyLock<[[f64; 3]; BANDS]> = LazyLock::new(|| OBSERVER.map(light_of));

/// The share of light that a surface throws back in each band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spectrum(pub [f64; BANDS]);

impl Spectrum {
    /// Finds a spectrum for linear sRGB light, drawn in to what dry paint can be: 0.002 to 0.985.
    pub fn from_linear(light: [f64; 3]) -> Self {
        Self::smoothest(light.map(|part| part.clamp(LEAST, MOST)))
    }

    fn smoothest(light: [f64; 3]) -> Self {
        let mean = (light[0] + light[1] + light[2]) / 3.0;
        let mut guess = [0.0; UNKNOWNS];
        guess[..BANDS].fill(libm::atanh(2.0 * mean - 1.0));
        for _ in 0..STEPS {
            let Some(step) = solve(equations(&guess, light)) else { break };
            let longest = step.iter().take(BANDS).fold(0.0f64, |most, part| most.max(part.abs()));
            let scale = if longest > STRIDE { STRIDE / longest } else { 1.0 };
            for (value, part) in guess.iter_mut().zip(step) {
                *value += scale * part;
            }
            if longest < 1e-10 {
                break;
            }
        }
        Self(std::array::from_fn(|band| f64::midpoint(libm::tanh(guess[band]), 1.0)))
    }

    /// Gives the linear sRGB light of the surface in daylight; it may lie outside 0 to 1.
    pub fn linear(&self) -> [f64; 3] {
        self.seen_by(&LIGHT)
    }

    /// Gives the CIELAB colour of the surface in daylight.
    pub fn lab(&self) -> Lab {
        Lab::from_relative(self.seen_by(&OBSERVER))
    }

    /// Gives the nearest sRGB colour.
    pub fn rgb(&self) -> Rgb {
        Rgb::from_linear(self.linear())
    }

    fn seen_by(&self, weights: &[[f64; 3]; BANDS]) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for (reflected, weight) in self.0.iter().zip(weights) {
            for (sum, part) in sum.iter_mut().zip(weight) {
                *sum += reflected * part;
            }
        }
        sum
    }
}

impl From<Rgb> for Spectrum {
    fn from(colour: Rgb) -> Self {
        Self::from_linear(colour.linear())
    }
}

/// Gives the middle of a band in nanometres.
fn wavelength(band: usize) -> f64 {
    380.0 + 10.0 * band as f64
}

/// The colour matching functions of the CIE 1931 observer, by lobes.
fn response(nm: f64) -> [f64; 3] {
    let lobe = |height: f64, peak: f64, below: f64, above: f64| {
        let away = (nm - peak) * if nm < peak { below } else { above };
        height * libm::exp(-0.5 * away * away)
    };
    [
        lobe(0.362, 442.0, 0.0624, 0.0374) + lobe(1.056, 599.8, 0.0264, 0.0323)
            - lobe(0.065, 501.1, 0.0490, 0.0382),
        lobe(0.821, 568.8, 0.0213, 0.0247) + lobe(0.286, 530.9, 0.0613, 0.0322),
        lobe(1.217, 437.0, 0.0845, 0.0278) + lobe(0.681, 459.0, 0.0385, 0.0725),
    ]
}

/// Planck's law at 6504 K, in units of its own.
fn daylight(nm: f64) -> f64 {
    const SECOND_RADIATION_CONSTANT: f64 = 1.4388e7; // nm K
    let (squared, hundreds) = (nm * nm, nm / 100.0);
    1e6 / (hundreds * squared * squared * (libm::exp(SECOND_RADIATION_CONSTANT / (nm * 6504.0)) - 1.0))
}

/// One row for each unknown, with what it falls short of in the last column.
type System = Box<[[f64; UNKNOWNS + 1]; UNKNOWNS]>;

/// Sets up a step of Newton's method for the least slope under the wanted light, by multipliers of Lagrange.
fn equations(guess: &[f64; UNKNOWNS], light: [f64; 3]) -> System {
    let mut rows = Box::new([[0.0; UNKNOWNS + 1]; UNKNOWNS]);
    let weights = &*LIGHT;
    let (z, multipliers) = guess.split_at(BANDS);
    for band in 0..BANDS {
        let tanh = libm::tanh(z[band]);
        let slope = f64::midpoint(1.0, -tanh * tanh);
        let bend = -2.0 * tanh * slope;
        let pull: f64 = weights[band].iter().zip(multipliers).map(|(weight, by)| weight * by).sum();
        let mut short = slope * pull;
        for other in [band.checked_sub(1), (band + 1 < BANDS).then_some(band + 1)].into_iter().flatten() {
            rows[band][band] += 2.0;
            rows[band][other] = -2.0;
            short += 2.0 * (z[band] - z[other]);
        }
        rows[band][band] += bend * pull;
        rows[band][UNKNOWNS] = -short;
        for axis in 0..3 {
            rows[band][BANDS + axis] = weights[band][axis] * slope;
            rows[BANDS + axis][band] = weights[band][axis] * slope;
            rows[BANDS + axis][UNKNOWNS] -= f64::midpoint(tanh, 1.0) * weights[band][axis];
        }
    }
    for axis in 0..3 {
        rows[BANDS + axis][UNKNOWNS] += light[axis];
    }
    rows
}

/// Solves linear equations by elimination with the largest pivot; `None` when they have no one answer.
fn solve(mut rows: System) -> Option<[f64; UNKNOWNS]> {
    for column in 0..UNKNOWNS {
        let pivot =
            (column..UNKNOWNS).max_by(|&a, &b| rows[a][column].abs().total_cmp(&rows[b][column].abs()))?;
        if rows[pivot][column].abs() < f64::MIN_POSITIVE {
            return None;
        }
        rows.swap(column, pivot);
        let (done, below) = rows.split_at_mut(column + 1);
        let top = &done[column];
        for row in below.iter_mut().filter(|row| row[column] != 0.0) {
            let share = row[column] / top[column];
            for (value, above) in row[column..].iter_mut().zip(&top[column..]) {
                *value -= share * above;
            }
        }
    }
    let mut found = [0.0; UNKNOWNS];
    for row in (0..UNKNOWNS).rev() {
        let known: f64 = (row + 1..UNKNOWNS).map(|column| rows[row][column] * found[column]).sum();
        found[row] = (rows[row][UNKNOWNS] - known) / rows[row][row];
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: ISO/CIE 11664-1, the 1931 observer at 450, 550 and 600 nm; the fit is stated to within 0.014.
    #[test]
    fn the_observer_is_near_the_standard_one() {
        let standard = [
            (450.0, [0.3362, 0.0380, 1.7721]),
            (550.0, [0.4334, 0.9950, 0.0087]),
            (600.0, [1.0622, 0.6310, 0.0008]),
        ];
        for (nm, want) in standard {
            for (got, want) in response(nm).into_iter().zip(want) {
                assert!((got - want).abs() <= 0.0141, "{nm} nm: {got} instead of {want}");
            }
        }
    }

    /// Source: S. A. Burns 2020: the method meets its colour exactly and stays between 0 and 1.
    #[test]
    fn the_smoothest_spectrum_has_its_colour_exactly() {
        for code in ["#cc7722", "#f6c915", "#16406f", "#b3202b", "#808080", "#00ff00", "#0000ff", "#ff00ff"] {
            let colour: Rgb = code.parse().expect("a colour");
            let light = colour.linear().map(|part| part.clamp(LEAST, MOST));
            let spectrum = Spectrum::smoothest(light);
            assert!(spectrum.0.iter().all(|&share| 0.0 < share && share < 1.0), "{code}");
            for (got, want) in spectrum.linear().into_iter().zip(light) {
                assert!((got - want).abs() < 1e-9, "{code}: {got} instead of {want}");
            }
        }
    }

    /// Source: Burns's method worked out with the tables of the CIE at 450, 550, 600 and 650 nm; the observer
    /// by lobes moves a share by 0.03 at most.
    #[test]
    fn spectra_are_near_those_with_the_tables_of_the_standard() {
        let known = [
            ("#cc7722", [0.03836, 0.20603, 0.45723, 0.55572]),
            ("#f6c915", [0.05827, 0.66930, 0.78083, 0.79150]),
        ];
        for (code, want) in known {
            let colour: Rgb = code.parse().expect("a colour");
            let Spectrum(shares) = Spectrum::from(colour);
            for (band, want) in [7, 17, 22, 27].into_iter().zip(want) {
                assert!(
                    (shares[band] - want).abs() < 0.03,
                    "{code} at {}: {}",
                    wavelength(band),
                    shares[band]
                );
            }
        }
    }

    #[test]
    fn a_grey_throws_back_the_same_share_everywhere() {
        let Spectrum(shares) = Spectrum::from(Rgb([128; 3]));
        assert!(shares.iter().all(|share| (share - 0.215_860_500_114).abs() < 1e-9));
    }

    /// All corners and faces of sRGB: black and pure lights are drawn in, none is lost.
    #[test]
    fn every_colour_has_a_spectrum() {
        let codes = || (0..=255u8).step_by(51);
        for r in codes() {
            for g in codes() {
                for b in codes() {
                    let colour = Rgb([r, g, b]);
                    let spectrum = Spectrum::from(colour);
                    for (got, want) in spectrum.linear().into_iter().zip(colour.linear()) {
                        assert!((got - want.clamp(LEAST, MOST)).abs() < 1e-9, "{colour}: {got}");
                    }
                }
            }
        }
    }
}
