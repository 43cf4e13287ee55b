//! CIEDE2000 (ISO/CIE 11664-6) of many colours side by side, in single precision and without angles.
//!
//! The difference of hues and their mean follow from products of the two colours, as G. Sharma, W. Wu and
//! E. N. Dalal note (2005, doi 10.1002/col.20070); multiples of the mean hue follow from its sine and cosine.
//! Its square is a sum of two parts: one of lightness alone, one of a\* and b\* alone.

use super::ratio::{LANES, Lanes};

/// L\*, a\* and b\* in single precision.
pub(super) type Lab32 = [f32; 3];

/// Keeps a grey from being divided by its chroma.
const NO_CHROMA: f32 = 1e-6;

/// Gives the difference of each colour from a wanted one, squared.
pub(super) fn squares(wanted: Lab32, [l, a, b]: &[Lanes; 3]) -> Lanes {
    let mut squared = in_plane([wanted[1], wanted[2]], [a, b]);
    for lane in 0..LANES {
        squared[lane] += in_lightness(wanted[0], l[lane]);
    }
    squared
}

/// Gives what a\* and b\* add to the squared difference of each colour from a wanted one.
pub(super) fn in_plane(wanted: [f32; 2], [a, b]: [&Lanes; 2]) -> Lanes {
    let mut squared = [0.0; LANES];
    for lane in 0..LANES {
        squared[lane] = plane(wanted, [a[lane], b[lane]]);
    }
    squared
}

/// Gives what lightness adds to the squared difference.
#[inline]
pub(super) fn in_lightness(one: f32, two: f32) -> f32 {
    let middle = f32::midpoint(one, two) - 50.0;
    let away = (two - one) / (1.0 + 0.015 * middle * middle / (20.0 + middle * middle).sqrt());
    away * away
}

#[inline]
fn plane(one: [f32; 2], two: [f32; 2]) -> f32 {
    const FAR: f32 = 6_103_515_600.0; // 25 to the seventh, nearly
    let chroma = |[a, b]: [f32; 2]| (a * a + b * b).sqrt();
    let seventh = |c: f32| c * c * c * (c * c * c) * c;
    let mean = seventh(f32::midpoint(chroma(one), chroma(two)));
    let stretch = 1.5 - 0.5 * (mean / (mean + FAR)).sqrt();
    let (one, two) = ([one[0] * stretch, one[1]], [two[0] * stretch, two[1]]);
    let (c1, c2) = (chroma(one) + NO_CHROMA, chroma(two) + NO_CHROMA);
    let (x, y) = (one[0] / c1 + two[0] / c2, one[1] / c1 + two[1] / c2);
    let length = (x * x + y * y).sqrt() + NO_CHROMA;
    let (cos, sin) = (x / length, y / length);
    let (cos2, sin2) = (cos * cos - sin * sin, 2.0 * sin * cos);
    let (cos3, sin3) = (cos2 * cos - sin2 * sin, sin2 * cos + cos2 * sin);
    let (cos4, sin4) = (cos2 * cos2 - sin2 * sin2, 2.0 * sin2 * cos2);
    // The constants are cosines and sines of 30, 6 and 63 degrees, times the weights of the formula.
    let t = 1.0 - (0.147_224_3 * cos + 0.085 * sin) + 0.24 * cos2 + (0.318_247 * cos3 - 0.033_449_1 * sin3)
        - (0.090_798_1 * cos4 + 0.178_201_3 * sin4);
    let c = f32::midpoint(c1, c2);
    let by_c = (c2 - c1) / (1.0 + 0.045 * c);
    let hue = 2.0 * (c1 * c2 - one[0] * two[0] - one[1] * two[1]);
    let hue = if hue > 0.0 { hue.sqrt() } else { 0.0 };
    let turn = one[0] * two[1] - two[0] * one[1];
    let by_h = (if turn < 0.0 { -hue } else { hue }) / (1.0 + 0.015 * c * t);
    let seventh = seventh(c);
    let twist = -2.0 * (seventh / (seventh + FAR)).sqrt() * blue(cos, sin);
    by_c * by_c + by_h * by_h + twist * by_c * by_h
}

/// The sine of twice the turn of the ellipses in blue: 60 degrees at a hue of 275, less to both sides.
#[inline]
fn blue(cos: f32, sin: f32) -> f32 {
    let across = 0.087_155_74 * sin + 0.996_194_7 * cos; // the sine of what is left to 275 degrees
    let along = 0.087_155_74 * cos - 0.996_194_7 * sin;
    let square = across * across;
    let angle = across * (1.0 + square * (1.0 / 6.0 + square * (0.075 + square * 0.06)));
    let steps = angle * angle * (1.0 / (0.436_332_3 * 0.436_332_3 * 64.0));
    let part = 1.0 / (1.0 + steps + steps * steps / 2.0);
    let fourth = part * part * part * part;
    let sixteenth = fourth * fourth * fourth * fourth;
    let turn = std::f32::consts::FRAC_PI_3 * (sixteenth * sixteenth * sixteenth * sixteenth);
    let square = turn * turn;
    let found = turn * (1.0 - square / 6.0 * (1.0 - square / 20.0));
    if along > 0.0 { found } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::{Lab, Rgb, ciede2000};

    #[test]
    #[expect(clippy::cast_possible_truncation, reason = "single precision is what is tested")]
    fn the_quick_formula_is_near_the_standard_one() {
        let codes = || (0..=255u8).step_by(51);
        let all =
            || codes().flat_map(move |r| codes().flat_map(move |g| codes().map(move |b| Rgb([r, g, b]))));
        let labs: Vec<Lab> = all().map(Lab::from).collect();
        let single = |lab: Lab| [lab.l as f32, lab.a as f32, lab.b as f32];
        for &one in labs.iter().step_by(3) {
            for &other in labs.iter().step_by(2) {
                // Opposite hues have two means; the formula takes either.
                if (one.a * other.a + one.b * other.b) / (one.chroma() * other.chroma() + 1e-9) < -0.98 {
                    continue;
                }
                let want = ciede2000(one, other);
                let [l, a, b] = single(other);
                let squared = squares(single(one), &[[l; LANES], [a; LANES], [b; LANES]]);
                let got = f64::from(squared[0].max(0.0).sqrt());
                assert!((got - want).abs() < 0.05 + 0.004 * want, "{one:?} {other:?}: {got} and not {want}");
            }
        }
    }
}
