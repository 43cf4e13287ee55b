//! Least squares along one axis: which cell values explain the lines best, and what is left over.
//!
//! A pixel shows few neighbouring cells, so that the normal equations are banded: they are factored as
//! L Lᵀ, and the sum of squares that is left is that of the lines less that of L⁻¹ Aᵀ I.

use super::kernel::{Family, Kernel, Model, TAPS, Taps, floor};
use super::sketch::Rows;

/// A little weight on zero, so that cells without pixels do no harm.
const RIDGE: f64 = 1e-4;
/// Cells count from this weight on.
const SEEN: f64 = 0.02;

/// What a fit leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Left {
    /// The mean squared residual.
    pub(super) rss: f64,
    /// The number of cells that were fitted.
    pub(super) cells: usize,
}

/// Rows with their running sums, so that flat stretches are fitted in a time that depends on the cells alone.
#[derive(Debug, Clone)]
pub(super) struct Summed<const L: usize> {
    rows: Rows<L>,
    /// At each place the sums over all places before it.
    sums: Vec<[f32; L]>,
    spread: Vec<f64>,
    squares: Vec<f64>,
    /// At least so many pixels of a cell are looked at.
    samples: f64,
}

impl<const L: usize> Summed<L> {
    pub(super) fn new(rows: Rows<L>, samples: f64) -> Self {
        let (mut sum, mut spread, mut square) = ([0_f32; L], 0.0, 0.0);
        let (mut sums, mut spreads, mut squares) = (vec![sum], vec![spread], vec![square]);
        for (values, &own) in rows.lanes.iter().zip(&rows.spread) {
            for (sum, value) in sum.iter_mut().zip(values) {
                *sum += value;
            }
            spread += f64::from(own);
            square += f64::from(values.iter().map(|value| value * value).sum::<f32>());
            sums.push(sum);
            spreads.push(spread);
            squares.push(square);
        }
        Self { rows, sums, spread: spreads, squares, samples }
    }

    pub(super) fn length(&self) -> usize {
        self.rows.length()
    }

    /// Gives the share of all variance that a mean squared residual is.
    pub(super) fn share(&self, rss: f64) -> f64 {
        rss * self.rows.samples / self.rows.power.max(1e-9)
    }

    /// Fits a model and tells what it leaves.
    pub(super) fn left(&self, model: &Model) -> Left {
        let (rss, cells) = match model.kernel {
            Kernel::Nearest => self.flat(model, 0.0),
            Kernel::Lines(width) => self.flat(model, f64::from(width)),
            kernel => {
                let (mut equations, power) = match (kernel.family(), kernel.reach()) {
                    (Family::Edge, _) => (Equations::edged(self, model), self.rows.power),
                    (_, 1) => self.interpolated::<2>(model),
                    (_, 2) => self.interpolated::<4>(model),
                    (_, 3) => self.interpolated::<6>(model),
                    _ => self.interpolated::<8>(model),
                };
                equations.factor();
                (power - equations.explained(), equations.seen)
            }
        };
        Left { rss: rss.max(0.0) / self.rows.samples, cells }
    }

    /// Sets up the equations of a model that interpolates between the middles of `N` cells, with the power that
    /// they are to explain. Where cells are large, evenly spread pixels stand for all.
    fn interpolated<const N: usize>(&self, model: &Model) -> (Equations<L>, f64) {
        let length = self.length();
        let mut equations = Equations::empty(&model.taps(0), &model.taps(length - 1));
        equations.width = N;
        let phases = model.kernel.phases();
        let (start, each) = ((0.5 - model.offset) / model.pitch - 0.5, 1.0 / model.pitch);
        let (back, last) = (equations.first + N as i64 / 2 - 1, equations.band.len() - N);
        let step = ((model.pitch / self.samples) as usize).max(1);
        let (mut power, mut count) = (0.0, 0);
        for (x, values) in self.rows.lanes.iter().enumerate().skip(step / 2).step_by(step) {
            let place = start + x as f64 * each;
            let below = floor(place);
            let weights: [f64; N] = phases.at(place - below as f64);
            let at = ((below - back).max(0) as usize).min(last);
            power += self.squares[x + 1] - self.squares[x];
            count += 1;
            for (tap, &weight) in weights.iter().enumerate() {
                let small = weight as f32;
                for (into, value) in equations.right[at + tap].iter_mut().zip(values) {
                    *into += small * value;
                }
                let band = &mut equations.band[at + tap];
                for (entry, other) in band[..N - tap].iter_mut().zip(&weights[tap..]) {
                    *entry += weight * other;
                }
            }
        }
        equations.scale(length as f64 / f64::from(count));
        (equations.finished(), power * length as f64 / f64::from(count))
    }

    /// Fits flat cells; the first `line` pixels of each cell belong to a drawn line, which has one colour along
    /// its length.
    fn flat(&self, model: &Model, line: f64) -> (f64, usize) {
        let length = self.length();
        let (mut left, mut cells, mut drawn) = (0.0, 0, 0);
        let mut cell = model.cell_at(0.5);
        loop {
            let near = model.offset + cell as f64 * model.pitch;
            let (from, to) = (pixel(near, length), pixel(near + model.pitch, length));
            if from >= length {
                break;
            }
            let start = pixel(near + line, length).min(to);
            left += self.spread[start] - self.spread[from];
            drawn += start - from;
            if to > start {
                let square: f32 = self.sums[to]
                    .iter()
                    .zip(&self.sums[start])
                    .map(|(end, begin)| (end - begin) * (end - begin))
                    .sum();
                left += self.squares[to] - self.squares[start] - f64::from(square) / (to - start) as f64;
                cells += 1;
            }
            cell += 1;
        }
        (left, if drawn > 0 { cells + 1 + drawn / 8 } else { cells })
    }
}

/// Gives the first pixel whose middle is at or past a place.
fn pixel(place: f64, length: usize) -> usize {
    let place = place - 0.5;
    let cut = floor(place);
    ((cut + i64::from(place > cut as f64)).max(0) as usize).min(length)
}

/// The normal equations of a model.
#[derive(Debug)]
pub(super) struct Equations<const L: usize> {
    /// The number of the first cell.
    pub(super) first: i64,
    /// Row j holds the entries (j, j), (j, j + 1) … of the matrix, later of its factor.
    band: Vec<[f64; TAPS]>,
    right: Vec<[f32; L]>,
    seen: usize,
    width: usize,
}

impl<const L: usize> Equations<L> {
    /// Sets up the equations; every pixel counts the same.
    pub(super) fn new(rows: &Rows<L>, model: &Model) -> Self {
        Self::weighted(rows, |x| model.taps(x), &[])
    }

    /// Sets up the equations with a weight for each pixel.
    pub(super) fn weighted(rows: &Rows<L>, taps: impl Fn(usize) -> Taps, weights: &[f32]) -> Self {
        let length = rows.length();
        let mut equations = Self::empty(&taps(0), &taps(length - 1));
        for (x, values) in rows.lanes.iter().enumerate() {
            let trust = weights.get(x).map_or(1.0, |&weight| f64::from(weight));
            equations.add(&taps(x), values, trust);
        }
        equations.finished()
    }

    /// Sets up the equations of a model with edges: pixels that show one cell alone are added all at once.
    fn edged(rows: &Summed<L>, model: &Model) -> Self {
        let length = rows.length();
        let soft = model.kernel.softness();
        let mut equations = Self::empty(&model.taps(0), &model.taps(length - 1));
        let (mut x, mut cell) = (0, equations.first);
        while x < length {
            let near = model.offset + cell as f64 * model.pitch;
            let from = pixel(near + soft, length).max(x);
            let to = pixel(near + model.pitch - soft, length).max(from);
            for (x, values) in (x..from).zip(&rows.rows.lanes[x..from]) {
                equations.add(&model.taps(x), values, 1.0);
            }
            if to > from {
                let place = (cell - equations.first) as usize;
                equations.band[place][0] += (to - from) as f64;
                let sums = rows.sums[to].iter().zip(&rows.sums[from]);
                for (into, (end, begin)) in equations.right[place].iter_mut().zip(sums) {
                    *into += end - begin;
                }
            }
            (x, cell) = (to, cell + 1);
        }
        equations.finished()
    }

    /// Makes every pixel count so many times.
    fn scale(&mut self, times: f64) {
        let small = times as f32;
        self.band.iter_mut().flatten().for_each(|entry| *entry *= times);
        self.right.iter_mut().flatten().for_each(|value| *value *= small);
    }

    /// Makes room for the cells from the first to the last.
    fn empty(first: &Taps, last: &Taps) -> Self {
        let cells = (last.first + last.count as i64 - first.first).max(1) as usize;
        let (band, right) = (vec![[0.0; TAPS]; cells], vec![[0.0; L]; cells]);
        Self { first: first.first, band, right, seen: 0, width: 1 }
    }

    /// Adds what one pixel shows.
    #[inline]
    fn add(&mut self, taps: &Taps, values: &[f32; L], trust: f64) {
        let at = (taps.first - self.first) as usize;
        self.width = self.width.max(taps.count);
        let shown = &taps.weights[..taps.count];
        let cells = self.right[at..].iter_mut().zip(&mut self.band[at..]);
        for (tap, (&weight, (right, band))) in shown.iter().zip(cells).enumerate() {
            let weight = weight * trust;
            let small = weight as f32;
            for (into, value) in right.iter_mut().zip(values) {
                *into += small * value;
            }
            for (entry, other) in band.iter_mut().zip(&shown[tap..]) {
                *entry += weight * other;
            }
        }
    }

    /// Counts the cells that are seen and adds the ridge.
    fn finished(mut self) -> Self {
        self.seen = self.band.iter().filter(|row| row[0] > SEEN).count();
        for row in &mut self.band {
            row[0] += RIDGE;
        }
        self
    }

    /// Factors the matrix and solves the first half: the right side becomes L⁻¹ Aᵀ I.
    pub(super) fn factor(&mut self) {
        let width = self.width;
        for j in 0..self.band.len() {
            for back in 1..width.min(j + 1) {
                let (before, here) = self.band.split_at_mut(j);
                let above = &before[j - back];
                let factor = above[back];
                if factor != 0.0 {
                    for (entry, other) in here[0].iter_mut().zip(&above[back..width]) {
                        *entry -= factor * other;
                    }
                    let (before, here) = self.right.split_at_mut(j);
                    let factor = factor as f32;
                    for (value, other) in here[0].iter_mut().zip(&before[j - back]) {
                        *value -= factor * other;
                    }
                }
            }
            let root = self.band[j][0].max(1e-9).sqrt();
            self.band[j][0] = root;
            for entry in &mut self.band[j][1..width] {
                *entry /= root;
            }
            let root = (1.0 / root) as f32;
            for value in &mut self.right[j] {
                *value *= root;
            }
        }
    }

    /// Gives the sum of squares that the cells explain, once factored.
    fn explained(&self) -> f64 {
        let row = |values: &[f32; L]| f64::from(values.iter().map(|value| value * value).sum::<f32>());
        self.right.iter().map(row).sum()
    }

    /// Gives the cells' values, once factored.
    pub(super) fn solve(mut self) -> Vec<[f32; L]> {
        for j in (0..self.band.len()).rev() {
            let (here, after) = self.right.split_at_mut(j + 1);
            let values = &mut here[j];
            for ahead in 1..self.width.min(self.band.len() - j) {
                let factor = self.band[j][ahead] as f32;
                for (value, other) in values.iter_mut().zip(&after[ahead - 1]) {
                    *value -= factor * other;
                }
            }
            let root = (1.0 / self.band[j][0]) as f32;
            for value in values {
                *value *= root;
            }
        }
        self.right
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Renders cells of four lines through a model.
    fn rendered(cells: &[[f32; 4]], model: &Model, length: usize) -> Rows<4> {
        let lanes = (0..length)
            .map(|x| {
                let taps = model.taps(x);
                std::array::from_fn(|lane| {
                    let shown = taps.weights[..taps.count].iter().zip(taps.first..);
                    let value = |cell: i64| cells[cell.clamp(0, cells.len() as i64 - 1) as usize][lane];
                    shown.map(|(&weight, cell)| weight as f32 * value(cell)).sum()
                })
            })
            .collect();
        Rows::new(lanes, vec![0.0; length], 4)
    }

    #[test]
    fn what_was_rendered_is_solved_again_and_leaves_nothing() {
        let cells: Vec<[f32; 4]> = (0..12)
            .map(|cell| {
                std::array::from_fn(|lane| ((cell * 37 + lane * 53 + cell * cell * 11) % 200) as f32 - 100.0)
            })
            .collect();
        for kernel in [Kernel::Area, Kernel::Soft, Kernel::Linear, Kernel::CubicHalf, Kernel::Lanczos3] {
            let model = Model { kernel, pitch: 5.3, offset: 0.0 };
            let rows = rendered(&cells, &model, 63);
            // Less than rounding to whole levels leaves, 1/12.
            assert!(Summed::new(rows.clone(), 8.0).left(&model).rss < 1.0 / 12.0, "{kernel:?}");
            let mut equations = Equations::new(&rows, &model);
            let first = equations.first;
            equations.factor();
            let solved = equations.solve();
            for cell in 1..11 {
                for lane in 0..4 {
                    let found = solved[(cell - first) as usize][lane];
                    assert!((found - cells[cell as usize][lane]).abs() < 0.1, "{kernel:?} {cell} {lane}");
                }
            }
        }
    }

    #[test]
    fn running_sums_leave_what_a_fit_pixel_by_pixel_leaves() {
        let cells: Vec<[f32; 4]> =
            (0..9).map(|cell| std::array::from_fn(|lane| ((cell * 71 + lane * 29) % 150) as f32)).collect();
        let rows = rendered(&cells, &Model { kernel: Kernel::Area, pitch: 6.4, offset: 1.7 }, 57);
        let summed = Summed::new(rows.clone(), 8.0);
        for kernel in Kernel::EDGED.into_iter().filter(|kernel| kernel.family() == Family::Edge) {
            for (pitch, offset) in [(6.4, 1.7), (6.4, 4.0), (2.3, 0.3)] {
                let model = Model { kernel, pitch, offset };
                let mut equations = Equations::new(&rows, &model);
                equations.factor();
                let slow = (rows.power - equations.explained()) / rows.samples;
                let fast = summed.left(&model);
                assert!((fast.rss - slow).abs() < 0.01 * slow + 0.5, "{kernel:?} {pitch} {offset}");
                assert_eq!(fast.cells, equations.seen, "{kernel:?} {pitch} {offset}");
            }
        }
        // The ridge alone keeps the true model from leaving nothing: its weight times the power of the cells.
        let power: f32 = cells.iter().flatten().map(|value| value * value).sum();
        let ridge = RIDGE * f64::from(power) * 11.0 / 9.0 / rows.samples;
        assert!(summed.left(&Model { kernel: Kernel::Area, pitch: 6.4, offset: 1.7 }).rss < ridge + 0.01);
    }
}
