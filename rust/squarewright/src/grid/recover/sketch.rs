//! Few signed sums of lines that stand for all of them.
//!
//! Each line of each channel is added to one of [`WIDE`] sums with a random sign: squared residuals of the
//! sums are, on average, those of the lines (M. Charikar, K. Chen, M. Farach-Colton, "Finding frequent items
//! in data streams", 2002).

use super::field::Field;
use super::fit::Summed;

/// Sums kept for the fine search.
pub(super) const WIDE: usize = 32;
/// Sums kept for the coarse search.
pub(super) const NARROW: usize = 16;

/// At least so many pixels of a cell are looked at in the coarse search and in the fine one.
const SAMPLES: (f64, f64) = (4.0, 8.0);

/// Signed sums along one axis: at each place one value a sum.
#[derive(Debug)]
pub(super) struct Sketch {
    pub(super) wide: Summed<WIDE>,
    pub(super) narrow: Summed<NARROW>,
}

/// Some lines side by side, place by place.
#[derive(Debug, Clone)]
pub(super) struct Rows<const L: usize> {
    pub(super) lanes: Vec<[f32; L]>,
    /// The variance across the lines themselves at each place, times their number.
    pub(super) spread: Vec<f32>,
    /// The sum of squares of all values.
    pub(super) power: f64,
    /// How many values of the picture these rows stand for.
    pub(super) samples: f64,
}

impl<const L: usize> Rows<L> {
    pub(super) fn new(lanes: Vec<[f32; L]>, spread: Vec<f32>, lines: usize) -> Self {
        let power = lanes.iter().flatten().map(|&value| f64::from(value) * f64::from(value)).sum();
        let samples = (lines * lanes.len()) as f64;
        Self { lanes, spread, power, samples }
    }

    pub(super) fn length(&self) -> usize {
        self.lanes.len()
    }
}

impl Sketch {
    /// Sums the lines of a field.
    pub(super) fn new(field: &Field) -> Self {
        let (width, lines) = (field.width, field.lines());
        let lively = lively(field, &lines);
        let mut sums = vec![0_f32; width * WIDE];
        let mut squares = vec![0_u32; width];
        let mut spread = vec![0_f32; width];
        for plane in 0..field.planes.len() {
            let mut totals = vec![0_u32; width];
            squares.fill(0);
            for &y in &lively {
                let row = field.row(plane, y);
                for ((total, square), &value) in totals.iter_mut().zip(&mut squares).zip(row) {
                    *total += u32::from(value);
                    *square += u32::from(value) * u32::from(value);
                }
            }
            let count = lively.len() as f64;
            let all: f64 = totals.iter().map(|&total| f64::from(total)).sum();
            let mean = (all / (count * width as f64)) as f32;
            let share = lines.len() as f64 / count;
            for &y in &lines {
                let (sum, sign) = place(plane, y);
                let into = &mut sums[sum * width..][..width];
                for (into, &value) in into.iter_mut().zip(field.row(plane, y)) {
                    *into += sign * (f32::from(value) - mean);
                }
            }
            for ((spread, &total), &square) in spread.iter_mut().zip(&totals).zip(&squares) {
                let total = f64::from(total);
                *spread += (share * (f64::from(square) - total * total / count)) as f32;
            }
        }
        let wide: Vec<[f32; WIDE]> =
            (0..width).map(|x| std::array::from_fn(|sum| sums[sum * width + x])).collect();
        let narrow =
            wide.iter().map(|sums| std::array::from_fn(|sum| sums[sum] + sums[sum + NARROW])).collect();
        let count = lines.len() * field.planes.len();
        let narrow = Summed::new(Rows::new(narrow, spread.clone(), count), SAMPLES.0);
        Self { narrow, wide: Summed::new(Rows::new(wide, spread, count), SAMPLES.1) }
    }
}

/// Takes the lines with changes along them: drawn lines have none, and must not count against the drawn lines
/// that they cross.
fn lively(field: &Field, lines: &[usize]) -> Vec<usize> {
    let change = |&y: &usize| -> u64 {
        let step = |pair: &[u8]| u64::from(pair[0].abs_diff(pair[1]));
        (0..field.planes.len()).map(|plane| field.row(plane, y).windows(2).map(step).sum::<u64>()).sum()
    };
    let changes: Vec<u64> = lines.iter().map(change).collect();
    let mut sorted = changes.clone();
    sorted.sort_unstable();
    let middle = sorted[sorted.len() / 2];
    lines.iter().zip(&changes).filter(|&(_, &change)| change * 5 >= middle).map(|(&y, _)| y).collect()
}

/// Gives the sum that a line goes to, and its sign.
fn place(plane: usize, y: usize) -> (usize, f32) {
    let mixed = mix((y * 4 + plane) as u64);
    ((mixed >> 32) as usize % WIDE, if mixed & 1 == 0 { 1.0 } else { -1.0 })
}

/// Mixes a number so that near numbers give unrelated ones (G. Steele, D. Lea, C. Flood, "Fast splittable
/// pseudorandom number generators", 2014).
fn mix(number: u64) -> u64 {
    let mut mixed = number.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    mixed ^ (mixed >> 31)
}
