//! The colour of each cell of a lattice that is settled.

use super::blocks::Blocks;
use super::cells::{Matrix, Wanted, render, solve};
use super::censor::freed;
use super::field::{Field, OPACITY, Rect};
use super::kernel::{Family, Kernel, Model, Sight};
use super::storage::{Storage, to_rgb};

/// How many times cut-off pixels are freed.
const ROUNDS: usize = 10;
/// How many times cells are pulled towards what the blocks of a JPEG say, at most, and in all pixels.
const BLOCK_ROUNDS: usize = 8;
const BLOCK_WORK: usize = 1_200_000;

/// A lattice over a picture: models with the cells that are wanted.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lattice {
    pub(super) x: Model,
    pub(super) y: Model,
    /// First and one past the last cell, across and down.
    pub(super) columns: (i64, i64),
    pub(super) rows: (i64, i64),
}

impl Lattice {
    pub(super) fn count(&self) -> (usize, usize) {
        ((self.columns.1 - self.columns.0) as usize, (self.rows.1 - self.rows.0) as usize)
    }

    /// Gives the outer corner of the first cell.
    pub(super) fn offset(&self) -> (f64, f64) {
        let near = |model: &Model, first: i64| model.centred().offset + first as f64 * model.pitch;
        (near(&self.x, self.columns.0), near(&self.y, self.rows.0))
    }

    /// The pixels that the cells cover, from a multiple of `step` on.
    fn rect(&self, field: &Field, step: usize) -> Rect {
        let side = |model: &Model, (first, end): (i64, i64), length: usize| {
            let near = (model.offset + first as f64 * model.pitch).floor().max(0.0) as usize;
            let far = (model.offset + end as f64 * model.pitch).ceil().clamp(0.0, length as f64) as usize;
            (near / step * step, far.next_multiple_of(step).min(length))
        };
        let (left, right) = side(&self.x, self.columns, field.width);
        let (top, bottom) = side(&self.y, self.rows, field.height);
        Rect { left, top, right, bottom }
    }
}

/// Cells with their colours, and how far the picture is from them.
#[derive(Debug, Clone)]
pub(super) struct Painted {
    pub(super) rows: usize,
    pub(super) columns: usize,
    /// One plane a channel.
    pub(super) planes: Vec<Vec<f32>>,
    /// Root mean square residual in levels.
    pub(super) noise: f64,
}

/// Solves the colours of all cells.
pub(super) fn paint(field: &Field, lattice: &Lattice, storage: Storage<'_>) -> Painted {
    let apart = storage.is_apart() && field.planes.len() == 3;
    let storage = if apart { storage } else { Storage::default() };
    let rect = lattice.rect(field, storage.step());
    let pixels = (0..field.planes.len()).map(|plane| Matrix::of_plane(field, plane, rect)).collect();
    let planes = storage.planes(pixels, rect);
    let wanted = |paired: bool, down: bool| {
        if down {
            wanted(&lattice.y, lattice.rows, (rect.top, rect.height()), (paired, apart))
        } else {
            wanted(&lattice.x, lattice.columns, (rect.left, rect.width()), (paired, apart))
        }
    };
    let sights: Vec<(Wanted, Wanted)> = (0..planes.len())
        .map(|plane| (wanted(plane > 0 && storage.down, true), wanted(plane > 0 && storage.across, false)))
        .collect();
    let (mut cells, noise) = if apart {
        compressed(&planes, &sights, &storage.blocks(&planes), rect)
    } else {
        let frees = lattice.x.kernel.overshoots() || lattice.y.kernel.overshoots();
        plainly(&planes, &sights, frees)
    };
    if apart {
        to_rgb(&mut cells);
    }
    let (columns, rows) = lattice.count();
    let planes = cells.into_iter().map(|cells| picked(&cells, lattice)).collect();
    Painted { rows, columns, planes, noise }
}

/// Solves planes that were stored apart, pulled towards what their blocks say.
fn compressed(
    planes: &[Matrix],
    sights: &[(Wanted, Wanted)],
    blocks: &[Blocks],
    rect: Rect,
) -> (Vec<Matrix>, f64) {
    let rounds = (BLOCK_WORK / (rect.width() * rect.height()).max(1)).min(BLOCK_ROUNDS);
    let (mut squares, mut cells) = (0.0, Vec::new());
    for ((plane, (down, across)), blocks) in planes.iter().zip(sights).zip(blocks) {
        let mut found = solve(plane, down, across);
        let mut picture = render(&found, down, across);
        squares += difference(plane, &picture) / plane.values.len() as f64;
        for _ in 0..rounds {
            found = solve(&blocks.pulled(&picture, plane), down, across);
            picture = render(&found, down, across);
        }
        cells.push(found);
    }
    (cells, (squares / planes.len() as f64).sqrt())
}

/// Solves planes on their own; where overshoot was cut off, pixels are freed.
fn plainly(planes: &[Matrix], sights: &[(Wanted, Wanted)], frees: bool) -> (Vec<Matrix>, f64) {
    let (mut squares, mut cells) = (0.0, Vec::new());
    for (number, (plane, (down, across))) in planes.iter().zip(sights).enumerate() {
        let top = Field::top(number);
        let mut found = solve(plane, down, across);
        let mut picture = render(&found, down, across);
        for _ in 0..if frees { ROUNDS } else { 0 } {
            let values = plane.values.iter().zip(&picture.values);
            let values = values.map(|(&seen, &value)| freed(seen, value, top)).collect();
            found = solve(&Matrix { values, ..*plane }, down, across);
            picture = render(&found, down, across);
        }
        if frees {
            picture.values.iter_mut().for_each(|value| *value = value.clamp(0.0, top));
        }
        squares += difference(plane, &picture) / plane.values.len() as f64;
        cells.push(found);
    }
    (cells, (squares / planes.len() as f64).sqrt())
}

fn difference(seen: &Matrix, shown: &Matrix) -> f64 {
    seen.values.iter().zip(&shown.values).map(|(a, b)| f64::from(a - b) * f64::from(a - b)).sum()
}

/// Leaves out the drawn lines between the cells.
fn picked(unknowns: &Matrix, lattice: &Lattice) -> Vec<f32> {
    let step = |model: &Model| if model.kernel.family() == Family::Lined { 2 } else { 1 };
    let (across, down) = (step(&lattice.x), step(&lattice.y));
    let rows = unknowns.values.chunks_exact(unknowns.columns).skip(down - 1).step_by(down);
    rows.flat_map(|row| row.iter().skip(across - 1).step_by(across)).copied().collect()
}

fn wanted(
    model: &Model,
    (first, end): (i64, i64),
    (start, length): (usize, usize),
    (paired, compressed): (bool, bool),
) -> Wanted {
    let local = Model { offset: model.offset - start as f64, ..*model };
    let centred = !compressed && model.kernel.family() == Family::Point && model.kernel != Kernel::Linear;
    let weights = if centred { (0..length).map(|x| weight(&local, x)).collect() } else { Vec::new() };
    let step = if model.kernel.family() == Family::Lined { 2 } else { 1 };
    let sight = if paired { Sight::Pairs(local, length) } else { Sight::Pixels(local) };
    let length = if paired { length.div_ceil(2) } else { length };
    Wanted { sight, length, first: first * step as i64, count: (end - first) as usize * step, weights }
}

/// Gives the weight of a pixel: where cells are interpolated, those near their middles, where the cell's own
/// colour shows, count most.
fn weight(model: &Model, x: usize) -> f32 {
    let place = (x as f64 + 0.5 - model.offset) / model.pitch;
    let off = (place - place.floor() - 0.5) / 0.28;
    let weight = libm::exp(-off * off) * 0.98 + 0.02;
    (weight * weight) as f32
}

impl Painted {
    /// Gives red, green, blue and opacity of each cell.
    pub(super) fn colours(&self) -> Vec<[u8; 4]> {
        let level = |value: f32| value.round().clamp(0.0, 255.0) as u8;
        (0..self.rows * self.columns)
            .map(|cell| {
                let [r, g, b] = [0, 1, 2].map(|plane| self.planes[plane][cell]);
                let Some(opacity) = self.planes.get(3) else { return [level(r), level(g), level(b), 255] };
                let alpha = (opacity[cell] / OPACITY as f32).clamp(0.0, 1.0);
                match alpha {
                    alpha if alpha < 0.02 => [0; 4],
                    alpha if alpha > 0.98 => [level(r), level(g), level(b), 255],
                    alpha => [level(r / alpha), level(g / alpha), level(b / alpha), level(alpha * 255.0)],
                }
            })
            .collect()
    }
}
