//! Least squares along one axis: which cell values explain the lines best, and what is left over.
//!
//! A pixel shows few neighbouring cells, so that the normal equations are banded: they are factored as
//! L Lᵀ, and the sum of squares that is left is that of the lines less that of L⁻¹ Aᵀ I.

use super::kernel::{Kernel, Model, TAPS, Taps};
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

/// Fits a model and tells what it leaves.
pub(super) fn left<const L: usize>(rows: &Rows<L>, model: &Model) -> Left {
    let (rss, cells) = match model.kernel {
        Kernel::Nearest => blocks(rows, model, 0.0),
        Kernel::Lines(width) => blocks(rows, model, f64::from(width)),
        _ => {
            let mut equations = Equations::new(rows, model);
            equations.factor();
            (rows.power - equations.explained(), equations.seen)
        }
    };
    Left { rss: rss.max(0.0) / rows.samples, cells }
}

/// Fits flat cells; the first `line` pixels of each cell belong to a drawn line, which has one colour along
/// its length.
fn blocks<const L: usize>(rows: &Rows<L>, model: &Model, line: f64) -> (f64, usize) {
    let (mut left, mut cells, mut drawn) = (0.0, 0, 0);
    let mut sums = [0_f32; L];
    let (mut squares, mut count, mut current) = (0_f64, 0_usize, i64::MIN);
    let close = |sums: &[f32; L], squares: f64, count: usize| {
        let square: f32 = sums.iter().map(|sum| sum * sum).sum();
        (squares - f64::from(square) / count as f64).max(0.0)
    };
    for (x, values) in rows.lanes.iter().enumerate() {
        let cell = model.cell_at(x as f64 + 0.5);
        if line > 0.0 && x as f64 + 0.5 - model.offset - cell as f64 * model.pitch < line {
            left += f64::from(rows.spread[x]);
            drawn += 1;
            continue;
        }
        if cell != current {
            if count > 0 {
                left += close(&sums, squares, count);
                cells += 1;
            }
            (current, count, squares) = (cell, 0, 0.0);
            sums = [0.0; L];
        }
        let mut square = 0_f32;
        for (sum, value) in sums.iter_mut().zip(values) {
            *sum += value;
            square += value * value;
        }
        squares += f64::from(square);
        count += 1;
    }
    if count > 0 {
        left += close(&sums, squares, count);
        cells += 1;
    }
    (left, if drawn > 0 { cells + 1 + drawn / 8 } else { cells })
}

/// Running sums of rows, for fits of flat cells in a time that depends on the cells alone.
#[derive(Debug)]
pub(super) struct Running<'a, const L: usize> {
    rows: &'a Rows<L>,
    sums: Vec<[f32; L]>,
    spread: Vec<f64>,
    squares: Vec<f64>,
}

impl<'a, const L: usize> Running<'a, L> {
    pub(super) fn new(rows: &'a Rows<L>) -> Self {
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
        Self { rows, sums, spread: spreads, squares }
    }

    /// Fits flat cells, with drawn lines or without.
    pub(super) fn left(&self, model: &Model) -> Left {
        let length = self.rows.length();
        let line = if let Kernel::Lines(width) = model.kernel { f64::from(width) } else { 0.0 };
        // The first pixel whose middle is at or past a place.
        let pixel = |place: f64| ((place - 0.5).ceil().max(0.0) as usize).min(length);
        let (mut left, mut cells, mut drawn) = (0.0, 0, 0);
        let mut cell = model.cell_at(0.5);
        loop {
            let near = model.offset + cell as f64 * model.pitch;
            let (from, to) = (pixel(near), pixel(near + model.pitch));
            if from >= length {
                break;
            }
            let start = pixel(near + line).min(to);
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
        let cells = if drawn > 0 { cells + 1 + drawn / 8 } else { cells };
        Left { rss: left.max(0.0) / self.rows.samples, cells }
    }
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
        let first = taps(0).first;
        let last = taps(length - 1);
        let cells = (last.first + last.count as i64 - first).max(1) as usize;
        let (mut band, mut right) = (vec![[0.0; TAPS]; cells], vec![[0.0; L]; cells]);
        let mut width = 1;
        for (x, values) in rows.lanes.iter().enumerate() {
            let taps = taps(x);
            let at = (taps.first - first) as usize;
            width = width.max(taps.count);
            let trust = weights.get(x).map_or(1.0, |&weight| f64::from(weight));
            let shown = &taps.weights[..taps.count];
            let cells = right[at..].iter_mut().zip(&mut band[at..]);
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
        let seen = band.iter().filter(|row| row[0] > SEEN).count();
        for row in &mut band {
            row[0] += RIDGE;
        }
        Self { first, band, right, seen, width }
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
            assert!(left(&rows, &model).rss < 1.0 / 12.0, "{kernel:?}");
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
    fn running_sums_leave_what_a_direct_fit_leaves() {
        let cells: Vec<[f32; 4]> =
            (0..9).map(|cell| std::array::from_fn(|lane| ((cell * 71 + lane * 29) % 150) as f32)).collect();
        let rows = rendered(&cells, &Model { kernel: Kernel::Nearest, pitch: 6.4, offset: 1.7 }, 57);
        for (kernel, offset) in [(Kernel::Nearest, 1.7), (Kernel::Nearest, 4.0), (Kernel::Lines(2), 0.3)] {
            let model = Model { kernel, pitch: 6.4, offset };
            let (fast, slow) = (Running::new(&rows).left(&model), left(&rows, &model));
            assert!((fast.rss - slow.rss).abs() < 0.5 && fast.cells == slow.cells, "{kernel:?} {offset}");
        }
        assert!(left(&rows, &Model { kernel: Kernel::Nearest, pitch: 6.4, offset: 1.7 }).rss < 1e-3);
    }
}
