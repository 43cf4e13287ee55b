//! The least that colours can differ from wanted ones, looked up: by rows of lightness, and by squares of the
//! plane of a\* and b\*. What is too far by that need not be looked at.

use super::apart::{Lab32, in_lightness, in_plane};
use super::ratio::{LANES, Lanes};

/// Rows of lightness are one unit high.
const ROWS: usize = 101;
/// Squares of the plane have this side; 0 lies on an edge.
const SQUARE: f32 = 4.0;
/// Squares to a side of the plane, which reaches as far as sRGB does.
const SQUARES: usize = 64;
/// Where the plane begins.
const FIRST: f32 = -SQUARE * SQUARES as f32 / 2.0;
/// The plane is looked at in points twice as close as the squares.
const POINTS: usize = 2 * SQUARES + 1;
/// How far the difference may sag between points.
const SAG: f32 = 0.5;

/// The least squared differences from up to sixteen wanted colours.
#[derive(Debug)]
pub(super) struct Floor {
    light: Vec<Lanes>,
    plane: Vec<Lanes>,
}

impl Floor {
    /// Works it out; wanted colours are repeated to fill the lanes.
    pub(super) fn new(wanted: &[Lab32; LANES]) -> Self {
        let axis = |axis: usize| wanted.map(|lab| lab[axis]);
        Self { light: rows(&axis(0)), plane: squares(&axis(1), &axis(2)) }
    }

    /// Gives for each wanted colour the least that the nearest of some colours can differ from it, squared.
    pub(super) fn least(&self, [l, a, b]: &[Lanes; 3]) -> Lanes {
        let mut least = [f32::INFINITY; LANES];
        for lane in 0..LANES {
            let light = &self.light[place(l[lane], ROWS)];
            let [a, b] = [a[lane], b[lane]].map(|part| place((part - FIRST) / SQUARE, SQUARES));
            let plane = &self.plane[b * SQUARES + a];
            for wanted in 0..LANES {
                let bound = light[wanted] + plane[wanted];
                least[wanted] = if bound < least[wanted] { bound } else { least[wanted] };
            }
        }
        least
    }
}

/// Gives the whole number below, drawn in to the places there are.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "it is not below 0")]
fn place(number: f32, places: usize) -> usize {
    (number.max(0.0) as i32 as usize).min(places - 1)
}

fn rows(wanted: &Lanes) -> Vec<Lanes> {
    let row = |row: usize| {
        let (low, high) = (row as f32, row as f32 + 1.0);
        wanted.map(|l| in_lightness(l, l.clamp(low, high)))
    };
    (0..ROWS).map(row).collect()
}

fn squares(a: &Lanes, b: &Lanes) -> Vec<Lanes> {
    let at = |place: usize| FIRST + SQUARE / 2.0 * place as f32;
    // The formula is symmetric: a point is compared with all wanted colours at a time.
    let point = |place: usize| in_plane([at(place % POINTS), at(place / POINTS)], [a, b]);
    let points: Vec<Lanes> = (0..POINTS * POINTS).map(point).collect();
    let square = |place: usize| {
        let (column, row) = (2 * (place % SQUARES), 2 * (place / SQUARES));
        let near = (0..9).map(|each| &points[(row + each / 3) * POINTS + column + each % 3]);
        let mut least = [f32::INFINITY; LANES];
        for point in near {
            for lane in 0..LANES {
                least[lane] = if point[lane] < least[lane] { point[lane] } else { least[lane] };
            }
        }
        let beside = |part: f32, first: usize| (part - at(first + 1)).abs() <= SQUARE;
        std::array::from_fn(|lane| {
            let inside = beside(a[lane], column) && beside(b[lane], row);
            let least = least[lane].max(0.0).sqrt() - SAG;
            if inside || least < 0.0 { 0.0 } else { least * least }
        })
    };
    (0..SQUARES * SQUARES).map(square).collect()
}

#[cfg(test)]
mod tests {
    use super::super::apart;
    use super::*;
    use crate::colour::{Lab, Rgb};

    /// What is looked up never lies above the formula by more than a first look allows for.
    #[test]
    #[expect(clippy::cast_possible_truncation, reason = "single precision is what is tested")]
    fn the_floor_lies_below_the_formula() {
        let single = |colour: Rgb| {
            let lab = Lab::from(colour);
            [lab.l as f32, lab.a as f32, lab.b as f32]
        };
        let scattered = |each: u32| {
            Rgb((each.wrapping_mul(10_368_889) % 16_777_213).to_le_bytes()[..3].try_into().expect("three"))
        };
        let mut worst = 0.0f32;
        let mut left_out = 0;
        for first in (0..64).step_by(LANES) {
            let wanted: [Lab32; LANES] =
                std::array::from_fn(|lane| single(scattered(first + lane as u32 + 1)));
            let floor = Floor::new(&wanted);
            for colour in (0..3000).map(|each| single(scattered(1000 + each))) {
                let lanes = colour.map(|part| [part; LANES]);
                for (wanted, least) in wanted.iter().zip(floor.least(&lanes)) {
                    let full = apart::squares(*wanted, &lanes)[0].max(0.0).sqrt();
                    // Towards the opposite hue the formula leaps; a share of the difference is allowed for.
                    worst = worst.max(least.sqrt() - 1.02 * full);
                    left_out += u32::from(least.sqrt() > 0.8 * full);
                }
            }
        }
        assert!(worst < 0.1, "{worst}");
        assert!(left_out > 120_000, "it is near enough to be of use: {left_out} of 192,000");
    }
}
