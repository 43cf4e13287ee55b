//! What paints become when they are mixed: the theory of Kubelka and Munk (1931) in each band of the spectrum.
//!
//! Light in a layer of paint is absorbed (K) and scattered (S); a covering layer throws back what K/S says.
//! In a mixture K and S of the paints add up by their parts (Duncan 1940). For white S is 1. With one swatch
//! S is the same in all bands, the strength of the paint; with two, S follows in each band from the second.

use serde::{Deserialize, Serialize};

use super::paint::Paint;
use super::trust::{Trust, trust};
use crate::colour::{BANDS, Lab, Rgb, Spectrum};
use crate::fault::{Error, Result};

/// The least that a paint absorbs, so that a lone paint never outshines white.
const LEAST_K: f64 = 1e-4;
/// A tint may move the scattering of a band this far from the paint's strength.
const REACH: f64 = 4.0;

/// How a paint takes and throws back light: K and S in each band.
#[derive(Debug, Clone, PartialEq)]
pub struct Optics {
    /// Absorption.
    pub k: [f64; BANDS],
    /// Scattering.
    pub s: [f64; BANDS],
}

impl Optics {
    /// Makes the optics of a paint that scatters alike in all bands.
    pub(super) fn even(absorption: &[f64; BANDS], strength: f64) -> Self {
        Self { k: absorption.map(|q| q * strength), s: [strength; BANDS] }
    }

    /// Works scattering out band by band from K/S of the paint, of its tint and of the white in it.
    ///
    /// The tint is met exactly; the paint itself wherever its scattering stays within reach of `even`.
    pub(super) fn from_tint(
        (pure, mixed, white): (&[f64; BANDS], &[f64; BANDS], &[f64; BANDS]),
        share: f64,
        even: f64,
    ) -> Self {
        let rest = 1.0 - share;
        let s: [f64; BANDS] = std::array::from_fn(|band| {
            let found = rest / share * (mixed[band] - white[band]) / (pure[band] - mixed[band]);
            let found = if found.is_finite() && found > 0.0 { found } else { even };
            found.clamp(even / REACH, even * REACH)
        });
        let k = std::array::from_fn(|band| {
            let all = (share * s[band] + rest) * mixed[band];
            ((all - rest * white[band]) / share).max(LEAST_K * s[band])
        });
        Self { k, s }
    }

    /// Mixes paints by their parts; the result counts as one part.
    pub(super) fn mixed<'a>(parts: impl Iterator<Item = (&'a Self, f64)> + Clone) -> Self {
        let total: f64 = parts.clone().map(|(_, amount)| amount).sum();
        let mut all = Self { k: [0.0; BANDS], s: [0.0; BANDS] };
        for (optics, amount) in parts {
            let share = amount / total;
            for band in 0..BANDS {
                all.k[band] += share * optics.k[band];
                all.s[band] += share * optics.s[band];
            }
        }
        all
    }

    /// Gives the light that a covering layer under such a surface throws back.
    pub fn spectrum(&self, surface: Surface) -> Spectrum {
        Spectrum(std::array::from_fn(|band| surface.seen(reflected(self.k[band] / self.s[band]))))
    }
}

/// Gives K/S of a covering layer that throws back this share of light.
pub fn absorption_of(reflected: f64) -> f64 {
    let lost = 1.0 - reflected;
    lost * lost / (2.0 * reflected)
}

/// Gives the share of light that a covering layer of this K/S throws back.
pub fn reflected(q: f64) -> f64 {
    // The same as 1 + q − √(q² + 2q), without the difference of two large numbers.
    1.0 / (1.0 + q + (q * (q + 2.0)).sqrt())
}

/// What the surface of a layer does to light on its way in and out (J. L. Saunderson 1942, JOSA 32, 727).
///
/// With it tints of dark and strong paints are met better, greys and dark swatches worse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    outer: f64,
    inner: f64,
}

impl Surface {
    /// No surface: what the layer throws back is what is seen.
    pub const NONE: Self = Self { outer: 0.0, inner: 0.0 };

    /// The least that is taken to come back from under a surface, as a swatch may be darker than that alone.
    const LEAST_INSIDE: f64 = 0.002;

    /// Makes a surface from the share of light that never gets in, and the share sent back from inside.
    ///
    /// # Errors
    /// [`Error::Argument`] for what is not two shares from 0 up to 1.
    pub fn new(outer: f64, inner: f64) -> Result<Self> {
        let share = |part: f64| (0.0..1.0).contains(&part);
        if share(outer) && share(inner) {
            return Ok(Self { outer, inner });
        }
        let got = format!("{outer} and {inner}");
        Err(Error::Argument { name: "surface", must: "two shares from 0 up to 1".into(), got })
    }

    /// Gives the share of light that never gets in, and the share sent back from inside.
    pub fn shares(self) -> [f64; 2] {
        [self.outer, self.inner]
    }

    /// Gives what is seen of light that the layer throws back.
    pub fn seen(self, inside: f64) -> f64 {
        let Self { outer, inner } = self;
        outer + (1.0 - outer) * (1.0 - inner) * inside / (1.0 - inner * inside)
    }

    /// Gives what the layer throws back, from what is seen: a little at least.
    pub fn inside(self, seen: f64) -> f64 {
        let Self { outer, inner } = self;
        ((seen - outer) / (1.0 - outer - inner * (1.0 - seen))).max(Self::LEAST_INSIDE.min(seen))
    }
}

/// What a mixture looks like, and how sure that is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Blend {
    /// The nearest sRGB colour.
    pub colour: Rgb,
    /// The CIELAB colour.
    pub lab: Lab,
    /// How far the prediction can be trusted.
    pub trust: Trust,
}

/// Predicts the mixture of paints by their parts, which need not be whole.
///
/// # Errors
/// [`Error::Argument`] when there is no paint, or a part is not a number above zero.
pub fn blend(parts: &[(&Paint, f64)], surface: Surface) -> Result<Blend> {
    check(parts)?;
    let optics: Vec<Optics> = parts.iter().map(|(paint, _)| paint.optics(surface)).collect();
    let amounts = parts.iter().map(|&(_, amount)| amount);
    let spectrum = Optics::mixed(optics.iter().zip(amounts)).spectrum(surface);
    Ok(Blend::of(&spectrum, parts.iter().map(|&(paint, _)| paint)))
}

impl Blend {
    /// Tells what a layer of some paints, of this spectrum, looks like.
    pub(super) fn of<'a>(spectrum: &Spectrum, paints: impl Iterator<Item = &'a Paint>) -> Self {
        Self { colour: spectrum.rgb(), lab: spectrum.lab(), trust: trust(paints) }
    }
}

fn check(parts: &[(&Paint, f64)]) -> Result<()> {
    if parts.is_empty() {
        return Err(Error::Argument { name: "parts", must: "one paint or more".into(), got: "none".into() });
    }
    match parts.iter().find(|(_, amount)| !(amount.is_finite() && *amount > 0.0 && *amount <= 1e9)) {
        Some((paint, amount)) => {
            let got = format!("{amount} of {}", paint.name);
            Err(Error::Argument { name: "parts", must: "numbers above zero".into(), got })
        }
        None => Ok(()),
    }
}
