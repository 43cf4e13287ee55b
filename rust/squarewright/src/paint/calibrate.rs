//! What one painted test mix tells of a paint.

use super::mixture::{Optics, Surface, absorption_of, reflected};
use super::paint::{Paint, Tint, absorption};
use crate::colour::{BANDS, Lab, Rgb, Spectrum, ciede2000};
use crate::fault::{Error, Result};

/// Strengths are looked for between these.
const WEAKEST: f64 = 0.02;
const STRONGEST: f64 = 50.0;
/// How many times the interval is cut; each cut leaves 0.618 of it.
const CUTS: usize = 40;

/// Learns from a painted tint: `share` of the paint in `white`, dried, of colour `tint`.
///
/// The paint given back keeps the tint as its second swatch, and the one strength that comes nearest to it
/// under such a surface.
///
/// # Errors
/// [`Error::Argument`] when the share is not between 0 and 1, or the tint shows nothing of the paint.
pub fn calibrate(paint: &Paint, tint: Rgb, share: f64, white: Rgb, surface: Surface) -> Result<Paint> {
    if !(share > 0.0 && share < 1.0) {
        let must = "above 0 and below 1: one part in nine of white is 0.1".into();
        return Err(Error::Argument { name: "share", must, got: share.to_string() });
    }
    let (pure, plain) = (Lab::from(paint.colour), Lab::from(white));
    if ciede2000(pure, plain) < 1.0 {
        let must = "another colour than the white it is mixed into".into();
        return Err(Error::Argument { name: "paint", must, got: paint.colour.to_string() });
    }
    if ciede2000(Lab::from(tint), plain) < 0.5 || tint == paint.colour {
        let must = "between the white and the paint".into();
        return Err(Error::Argument { name: "tint", must, got: tint.to_string() });
    }
    let swatches = [paint.colour, white].map(|colour| absorption(colour, surface));
    let strength = strength_from((&swatches[0], &swatches[1]), share, tint, surface);
    let tint = Some(Tint { colour: tint, share, white });
    Ok(Paint { strength: Some(strength), tint, ..paint.clone() })
}

/// Finds the one strength whose mixture with white comes nearest to a tint: by golden sections of its
/// logarithm (J. Kiefer 1953), begun around the value that luminance alone gives.
pub(super) fn strength_from(
    (pure, white): (&[f64; BANDS], &[f64; BANDS]),
    share: f64,
    tint: Rgb,
    surface: Surface,
) -> f64 {
    let wanted = Lab::from(tint);
    let guess = libm::log(from_luminance((pure, white), share, tint, surface));
    let white = Optics::even(white, 1.0);
    let away = |log: f64| {
        let paint = Optics::even(pure, libm::exp(log));
        let parts = [(&paint, share), (&white, 1.0 - share)];
        ciede2000(Optics::mixed(parts.into_iter()).spectrum(surface).lab(), wanted)
    };
    let (lowest, highest) = (libm::log(WEAKEST), libm::log(STRONGEST));
    // Of the few dips that there can be, the deepest of a coarse look is taken.
    let looks = (0..=16).map(|step| lowest + (highest - lowest) * f64::from(step) / 16.0);
    let begin = looks.chain([guess]).min_by(|&a, &b| away(a).total_cmp(&away(b))).unwrap_or(guess);
    let width = (highest - lowest) / 16.0;
    let (mut low, mut high) = ((begin - width).max(lowest), (begin + width).min(highest));
    let golden = (5.0f64.sqrt() - 1.0) / 2.0;
    for _ in 0..CUTS {
        let (left, right) = (high - golden * (high - low), low + golden * (high - low));
        if away(left) <= away(right) { high = right } else { low = left }
    }
    libm::exp(f64::midpoint(low, high))
}

/// The strength that the luminance of a tint gives in closed form.
fn from_luminance(
    (pure, white): (&[f64; BANDS], &[f64; BANDS]),
    share: f64,
    tint: Rgb,
    surface: Surface,
) -> f64 {
    let within = |luminance: f64| absorption_of(surface.inside(luminance.clamp(0.002, 0.985)));
    let of = |q: &[f64; BANDS]| {
        let [r, g, b] = Spectrum(q.map(|q| surface.seen(reflected(q)))).linear();
        within(0.2126 * r + 0.7152 * g + 0.0722 * b)
    };
    let mixed = within(tint.luminance());
    let found = (1.0 - share) / share * (mixed - of(white)) / (of(pure) - mixed);
    if found.is_finite() && found > 0.0 { found.clamp(WEAKEST, STRONGEST) } else { 1.0 }
}
