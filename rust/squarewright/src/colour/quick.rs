//! CIEDE2000 for millions of pairs: the squared difference without angles.
//!
//! The formula is that of [`ciede2000`](super::ciede2000). The difference in hue is found from the chord, and
//! what depends on the mean hue from its sine and cosine, so that every step is plain arithmetic on several
//! colours at a time; only the turn of blues is looked up. The answer is symmetric and within 0.1 % of the
//! exact one (a test says so).

use std::sync::LazyLock;

use super::Lab;

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
        self.lanes(&[other], light)[0]
    }

    /// Gives the [squared](Tone::squared) difference to each of many colours.
    pub fn squares(self, others: &[Self], light: f32, mut take: impl FnMut(f32)) {
        let (eights, rest) = others.as_chunks::<8>();
        for eight in eights {
            self.lanes(eight, light).into_iter().for_each(&mut take);
        }
        for &other in rest {
            take(self.lanes(&[other], light)[0]);
        }
    }

    /// Compares with several colours at a time: step by step for all of them, as the processor likes it.
    #[inline]
    fn lanes<const N: usize>(self, others: &[Self; N], light: f32) -> [f32; N] {
        let half: [f32; N] = each(|i| 0.5 * (self.c + others[i].c));
        let stretch: [f32; N] = each(|i| 1.5 - 0.25 * rotation(half[i]));
        let (a, its_a): ([f32; N], [f32; N]) =
            (each(|i| self.a * stretch[i]), each(|i| others[i].a * stretch[i]));
        let own: [f32; N] = each(|i| (a[i] * a[i] + self.b * self.b).sqrt());
        let its: [f32; N] = each(|i| (its_a[i] * its_a[i] + others[i].b * others[i].b).sqrt());
        let mean: [f32; N] = each(|i| 0.5 * (own[i] + its[i]));
        let hue: [f32; N] = each(|i| {
            let (across, up, chroma) = (its_a[i] - a[i], others[i].b - self.b, its[i] - own[i]);
            largest(across * across + up * up - chroma * chroma, 0.0)
        });
        let middle: [Direction; N] = each(|i| {
            Direction::new(a[i] * its[i] + its_a[i] * own[i], self.b * its[i] + others[i].b * own[i])
        });
        let chroma: [f32; N] = each(|i| (its[i] - own[i]) / (1.0 + 0.045 * mean[i]));
        let lightness: [f32; N] = each(|i| (others[i].l - self.l) / at_lightness(self.l + others[i].l));
        let at_hue: [f32; N] = each(|i| 1.0 + 0.015 * mean[i] * middle[i].weight());
        let plain: [f32; N] = each(|i| {
            light * lightness[i] * lightness[i] + chroma[i] * chroma[i] + hue[i] / (at_hue[i] * at_hue[i])
        });
        let blue: [f32; N] = each(|i| middle[i].blue());
        if blue.iter().fold(0.0, |most, &blue| largest(most, blue)) <= 0.0 {
            return plain;
        }
        each(|i| {
            if blue[i] <= 0.0 {
                return plain[i];
            }
            let root = hue[i].sqrt() / at_hue[i];
            let turned = if a[i] * others[i].b > self.b * its_a[i] { root } else { -root };
            plain[i] - twist(blue[i]) * rotation(mean[i]) * chroma[i] * turned
        })
    }
}

fn each<T, const N: usize>(of: impl FnMut(usize) -> T) -> [T; N] {
    std::array::from_fn(of)
}

/// The larger of two numbers: one instruction, as neither is NaN.
#[inline]
fn largest(one: f32, other: f32) -> f32 {
    if one > other { one } else { other }
}

/// `RC = 2 √(C⁷ / (C⁷ + 25⁷))` by chroma.
#[inline]
fn rotation(chroma: f32) -> f32 {
    let part = chroma * 0.04;
    let cube = part * part * part;
    let power = cube * cube * part;
    2.0 * (power / (power + 1.0)).sqrt()
}

/// `SL` by twice the mean lightness.
#[inline]
fn at_lightness(twice: f32) -> f32 {
    let off = 0.5 * twice - 50.0;
    1.0 + 0.015 * off * off / (20.0 + off * off).sqrt()
}

/// The cosine and the sine of a hue; both 0 for a grey.
#[derive(Debug, Clone, Copy)]
struct Direction {
    x: f32,
    y: f32,
}

impl Direction {
    #[inline]
    fn new(x: f32, y: f32) -> Self {
        let part = 1.0 / largest(x * x + y * y, f32::MIN_POSITIVE).sqrt();
        Self { x: x * part, y: y * part }
    }

    /// `T`, with the cosines of multiples of the hue as powers of that of the hue.
    #[inline]
    fn weight(self) -> f32 {
        let Self { x, y } = self;
        let (x2, y2) = (x * x - y * y, 2.0 * x * y);
        let (x3, y3) = (x2 * x - y2 * y, x2 * y + y2 * x);
        let (x4, y4) = (x2 * x2 - y2 * y2, 2.0 * x2 * y2);
        1.0 - (ONE.0 * x + ONE.1 * y) + TWO * x2 + (THREE.0 * x3 + THREE.1 * y3) - (FOUR.0 * x4 + FOUR.1 * y4)
    }

    /// How far it is on the side of blue, at 275°, where hue and chroma turn each other: 1 at most, and 0 where
    /// they no longer do.
    #[inline]
    fn blue(self) -> f32 {
        (BLUE.0 * self.x + BLUE.1 * self.y - EDGE) / (1.0 - EDGE)
    }
}

/// The four waves of `T`: their size times the cosine and the sine of where they peak.
const ONE: (f32, f32) = (0.147_224_32, 0.085);
const TWO: f32 = 0.24;
const THREE: (f32, f32) = (0.318_247, -0.033_449_11);
const FOUR: (f32, f32) = (0.090_798_1, 0.178_201_3);
/// The cosine and sine of 275°, and the cosine of how far from it `sin 2Δθ` is lost in the last digits.
const BLUE: (f32, f32) = (0.087_155_74, -0.996_194_7);
const EDGE: f32 = 0.4;

/// Gives `sin 2Δθ` by how far a hue is on the side of blue.
#[inline]
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 1")]
fn twist(blue: f32) -> f32 {
    let place = blue * STEPS as f32;
    let step = (place as usize).min(STEPS - 1);
    let (start, more) = TWISTS[step];
    start + more * (place - step as f32)
}

const STEPS: usize = 256;

/// `sin 2Δθ` at even steps, and how much more it is a step further.
static TWISTS: LazyLock<[(f32, f32); STEPS]> = LazyLock::new(|| {
    #[expect(clippy::cast_possible_truncation, reason = "seven digits are plenty for a difference")]
    let at = |step: usize| {
        let edge = f64::from(EDGE);
        let cosine = edge + (1.0 - edge) * step as f64 / STEPS as f64;
        let off = libm::acos(cosine).to_degrees() / 25.0;
        libm::sin((60.0 * libm::exp(-off * off)).to_radians()) as f32
    };
    each(|step| (at(step), at(step + 1) - at(step)))
});

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::{Rgb, ciede2000};

    #[test]
    fn the_quick_difference_is_that_of_the_standard_within_a_thousandth() {
        let steps = [0_u8, 60, 130, 190, 255];
        let all = steps.iter().flat_map(|&r| steps.iter().flat_map(move |&g| steps.map(|b| Rgb([r, g, b]))));
        let colours: Vec<Lab> = all.map(Lab::from).collect();
        for &one in &colours {
            for &other in &colours {
                let exact = ciede2000(one, other);
                let quick = f64::from(Tone::from(one).squared(Tone::from(other), 1.0)).sqrt();
                assert!(
                    (quick - exact).abs() <= 0.001 * exact + 0.0005,
                    "{one:?} {other:?}: {quick} {exact}"
                );
            }
        }
    }
}
