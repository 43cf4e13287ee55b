//! CIEDE2000 for millions of pairs: the squared difference from tables instead of angles.
//!
//! The formula is that of [`ciede2000`](super::ciede2000). What depends on the mean hue or the mean chroma
//! alone is looked up, and the difference in hue is found from the chord, so that no angle is computed. The
//! answer is symmetric and within 1 % of the exact one (a test says so).

use std::sync::LazyLock;

use super::Lab;

/// Steps of the hue table to one quarter turn.
const QUARTER: f32 = 256.0;
/// Steps of the tables by chroma and by lightness to one unit.
const FINE: f32 = 4.0;

/// A colour prepared for [`Tone::squared`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tone {
    l: f32,
    a: f32,
    b: f32,
    c: f32,
}

impl From<Lab> for Tone {
    #[expect(clippy::cast_possible_truncation, reason = "seven digits are plenty for a difference")]
    fn from(colour: Lab) -> Self {
        let (a, b) = (colour.a as f32, colour.b as f32);
        Self { l: colour.l as f32, a, b, c: (a * a + b * b).sqrt() }
    }
}

impl From<Tone> for Lab {
    fn from(tone: Tone) -> Self {
        Self { l: f64::from(tone.l), a: f64::from(tone.a), b: f64::from(tone.b) }
    }
}

impl Tone {
    /// Gives the square of the CIEDE2000 difference, with lightness counted `light` times.
    ///
    /// `light` is `1 / kL²`: 1 for the standard difference, more to keep edges of lightness apart.
    pub fn squared(self, other: Self, light: f32) -> f32 {
        self.lanes(&TABLES, &[other], light)[0]
    }

    /// Gives the [squared](Tone::squared) difference to each of many colours.
    pub fn squares(self, others: &[Self], light: f32, mut take: impl FnMut(f32)) {
        let tables = &*TABLES;
        let (eights, rest) = others.as_chunks::<8>();
        for eight in eights {
            self.lanes(tables, eight, light).into_iter().for_each(&mut take);
        }
        for &other in rest {
            take(self.lanes(tables, &[other], light)[0]);
        }
    }

    /// Compares with several colours at a time: step by step for all of them, as the processor likes it.
    #[inline]
    fn lanes<const N: usize>(self, tables: &Tables, others: &[Self; N], light: f32) -> [f32; N] {
        let half: [f32; N] = each(|i| 0.5 * (self.c + others[i].c));
        let rotation = tables.rotation(&half);
        let stretch: [f32; N] = each(|i| 1.5 - 0.25 * rotation[i]);
        let (a, its_a): ([f32; N], [f32; N]) =
            (each(|i| self.a * stretch[i]), each(|i| others[i].a * stretch[i]));
        let own: [f32; N] = each(|i| (a[i] * a[i] + self.b * self.b).sqrt());
        let its: [f32; N] = each(|i| (its_a[i] * its_a[i] + others[i].b * others[i].b).sqrt());
        let mean: [f32; N] = each(|i| 0.5 * (own[i] + its[i]));
        let hue: [f32; N] = each(|i| {
            let (across, up, chroma) = (its_a[i] - a[i], others[i].b - self.b, its[i] - own[i]);
            (across * across + up * up - chroma * chroma).max(0.0)
        });
        let x: [f32; N] = each(|i| a[i] * its[i] + its_a[i] * own[i]);
        let y: [f32; N] = each(|i| self.b * its[i] + others[i].b * own[i]);
        let turns = tables.hue(&x, &y);
        let between: [f32; N] = each(|i| 0.5 * (self.l + others[i].l));
        let (by_chroma, by_lightness) = (tables.chroma(&mean), tables.lightness(&between));
        let chroma: [f32; N] = each(|i| (its[i] - own[i]) * by_chroma[i]);
        let lightness: [f32; N] = each(|i| (others[i].l - self.l) * by_lightness[i]);
        let root: [f32; N] = each(|i| hue[i].sqrt() * (1.0 / (1.0 + 0.015 * mean[i] * turns[i].0)));
        let plain: [f32; N] =
            each(|i| light * lightness[i] * lightness[i] + chroma[i] * chroma[i] + root[i] * root[i]);
        if turns.iter().all(|turn| turn.1 <= 0.0) {
            return plain;
        }
        let rotation = tables.rotation(&mean);
        each(|i| {
            if turns[i].1 <= 0.0 {
                return plain[i];
            }
            let turned = if a[i] * others[i].b > self.b * its_a[i] { root[i] } else { -root[i] };
            plain[i] - turns[i].1 * rotation[i] * chroma[i] * turned
        })
    }
}

fn each<T, const N: usize>(of: impl FnMut(usize) -> T) -> [T; N] {
    std::array::from_fn(of)
}

/// Steps of the tables by chroma, and of that by lightness.
const STEPS: usize = 1024;
const LIGHT_STEPS: usize = 512;

struct Tables {
    /// `RC = 2 √(C⁷ / (C⁷ + 25⁷))` by chroma, and how much more it is a step further.
    rotation: [(f32, f32); STEPS],
    /// `1 / SC` by chroma.
    chroma: [f32; STEPS],
    /// `1 / SL` by lightness.
    lightness: [f32; LIGHT_STEPS],
    /// `T` and `sin 2Δθ` by hue.
    hue: [(f32, f32); STEPS],
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| Tables {
    rotation: each(|step| {
        let at = |step: usize| rotation(step as f64 / f64::from(FINE));
        (at(step), at(step + 1) - at(step))
    }),
    chroma: each(|step| 1.0 / (1.0 + 0.045 * (step as f32 + 0.5) / FINE)),
    lightness: each(|step| by_lightness((step as f32 + 0.5) / FINE)),
    hue: each(|step| by_hue((step as f64 + 0.5) / f64::from(QUARTER))),
});

impl Tables {
    #[inline]
    fn rotation<const N: usize>(&self, chroma: &[f32; N]) -> [f32; N] {
        let places: [f32; N] = each(|i| chroma[i] * FINE);
        let steps = steps::<N, STEPS>(&places, LAST_SLOPE);
        each(|i| {
            let (start, slope) = self.rotation[steps[i]];
            start + slope * (places[i] - steps[i] as f32).min(1.0)
        })
    }

    #[inline]
    fn chroma<const N: usize>(&self, chroma: &[f32; N]) -> [f32; N] {
        let steps = steps::<N, STEPS>(&each(|i| chroma[i] * FINE), LAST);
        each(|i| self.chroma[steps[i]])
    }

    #[inline]
    fn lightness<const N: usize>(&self, lightness: &[f32; N]) -> [f32; N] {
        let steps = steps::<N, LIGHT_STEPS>(&each(|i| lightness[i] * FINE), LAST_LIGHT);
        each(|i| self.lightness[steps[i]])
    }

    /// Looks the direction up by how far it goes round a diamond instead of a circle.
    #[inline]
    fn hue<const N: usize>(&self, x: &[f32; N], y: &[f32; N]) -> [(f32, f32); N] {
        let size: [f32; N] = each(|i| x[i].abs() + y[i].abs());
        let places: [f32; N] = each(|i| {
            let part = y[i] / size[i].max(f32::MIN_POSITIVE);
            (if x[i] >= 0.0 { 1.0 + part } else { 3.0 - part }) * QUARTER
        });
        let steps = steps::<N, STEPS>(&places, LAST);
        each(|i| if size[i] < f32::MIN_POSITIVE { (1.0, 0.0) } else { self.hue[steps[i]] })
    }
}

/// The last step of each table; the slope of the rotation ends one earlier.
const LAST: f32 = 1023.0;
const LAST_SLOPE: f32 = 1022.0;
const LAST_LIGHT: f32 = 511.0;

/// Gives the steps of a table of `SIZE`, a power of two, that places of 0 or more lie in, at most the last.
#[inline]
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "places are 0 or more")]
fn steps<const N: usize, const SIZE: usize>(places: &[f32; N], last: f32) -> [usize; N] {
    // 32 bits go four at a time; the mask changes nothing but tells that the step is within the table
    let steps: [i32; N] = each(|i| places[i].min(last) as i32);
    each(|i| steps[i] as usize & (SIZE - 1))
}

#[expect(clippy::cast_possible_truncation, reason = "seven digits are plenty for a difference")]
fn rotation(chroma: f64) -> f32 {
    let power = libm::pow(chroma, 7.0);
    (2.0 * (power / (power + 6_103_515_625.0)).sqrt()) as f32
}

fn by_lightness(lightness: f32) -> f32 {
    let square = (lightness - 50.0) * (lightness - 50.0);
    1.0 / (1.0 + 0.015 * square / (20.0 + square).sqrt())
}

/// Gives `T` and `sin 2Δθ` for a place on the diamond, counted in quarters from straight down.
#[expect(clippy::cast_possible_truncation, reason = "seven digits are plenty for a difference")]
fn by_hue(around: f64) -> (f32, f32) {
    let (x, y) = if around < 2.0 {
        (1.0 - (around - 1.0).abs(), around - 1.0)
    } else {
        ((3.0 - around).abs() - 1.0, 3.0 - around)
    };
    let hue = libm::atan2(y, x).to_degrees();
    let hue = if hue < 0.0 { hue + 360.0 } else { hue };
    let wave = |times: f64, shift: f64| libm::cos((times * hue + shift).to_radians());
    let weight = 1.0 - 0.17 * wave(1.0, -30.0) + 0.24 * wave(2.0, 0.0) + 0.32 * wave(3.0, 6.0)
        - 0.20 * wave(4.0, -63.0);
    let off = (hue - 275.0) / 25.0;
    let twist = libm::sin((60.0 * libm::exp(-off * off)).to_radians());
    (weight as f32, if twist > 1e-3 { twist as f32 } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::{Rgb, ciede2000};

    #[test]
    fn the_quick_difference_is_that_of_the_standard_within_one_per_cent() {
        let steps = [0_u8, 60, 130, 190, 255];
        let all = steps.iter().flat_map(|&r| steps.iter().flat_map(move |&g| steps.map(|b| Rgb([r, g, b]))));
        let colours: Vec<Lab> = all.map(Lab::from).collect();
        for &one in &colours {
            for &other in &colours {
                let exact = ciede2000(one, other);
                let quick = f64::from(Tone::from(one).squared(Tone::from(other), 1.0)).sqrt();
                assert!((quick - exact).abs() <= 0.01 * exact + 0.02, "{one:?} {other:?}: {quick} {exact}");
            }
        }
    }
}
