//! The colour of each cell of a lattice that is settled.

use super::cells::{Matrix, Wanted, render, solve};
use super::censor::freed;
use super::field::{Field, OPACITY, Rect};
use super::kernel::{Family, Kernel, Model};

/// How many times cut-off pixels are freed.
const ROUNDS: usize = 10;

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
        let near = |model: &Model, first: i64| model.offset + first as f64 * model.pitch;
        (near(&self.x, self.columns.0), near(&self.y, self.rows.0))
    }

    /// The pixels that the cells cover.
    fn rect(&self, field: &Field) -> Rect {
        let side = |model: &Model, (first, end): (i64, i64), length: usize| {
            let near = (model.offset + first as f64 * model.pitch).floor().max(0.0) as usize;
            let far = (model.offset + end as f64 * model.pitch).ceil().clamp(0.0, length as f64) as usize;
            (near, far)
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
pub(super) fn paint(field: &Field, lattice: &Lattice) -> Painted {
    let rect = lattice.rect(field);
    let (columns, rows) = lattice.count();
    let across = wanted(&lattice.x, lattice.columns, rect.left, rect.width());
    let down = wanted(&lattice.y, lattice.rows, rect.top, rect.height());
    let frees = lattice.x.kernel.overshoots() || lattice.y.kernel.overshoots();
    let mut squares = 0.0;
    let mut planes = Vec::new();
    for plane in 0..field.planes.len() {
        let pixels = Matrix::of_plane(field, plane, rect);
        let top = Field::top(plane);
        let mut cells = solve(&pixels, &down, &across);
        let size = (rect.height(), rect.width());
        let mut picture = render(&cells, &down, &across, size);
        if frees {
            for _ in 0..ROUNDS {
                let values = pixels.values.iter().zip(&picture.values);
                let values = values.map(|(&seen, &value)| freed(seen, value, top)).collect();
                cells = solve(&Matrix { values, ..pixels.clone() }, &down, &across);
                picture = render(&cells, &down, &across, size);
            }
        }
        squares += pixels
            .values
            .iter()
            .zip(&picture.values)
            .map(|(seen, value)| f64::from(seen - value.clamp(0.0, top)))
            .map(|error| error * error)
            .sum::<f64>();
        planes.push(cells.values);
    }
    let noise = (squares / (planes.len() * rect.width() * rect.height()) as f64).sqrt();
    Painted { rows, columns, planes, noise }
}

fn wanted(model: &Model, (first, end): (i64, i64), start: usize, length: usize) -> Wanted {
    let local = Model { offset: model.offset - start as f64, ..*model };
    let weights = (0..length).map(|x| weight(&local, x)).collect();
    Wanted { model: local, first, count: (end - first) as usize, weights }
}

/// Gives the weight of a pixel: those on drawn lines count for nothing, and where cells are interpolated
/// those near their middles, where the cell's own colour shows, count most.
fn weight(model: &Model, x: usize) -> f32 {
    let place = (x as f64 + 0.5 - model.offset) / model.pitch;
    let inside = place - place.floor();
    match model.kernel {
        Kernel::Lines(width) => {
            let edge = inside.min(1.0 - inside) * model.pitch;
            if edge > f64::from(width) / 2.0 + 0.6 { 1.0 } else { 1e-3 }
        }
        kernel if kernel.family() == Family::Point && kernel != Kernel::Linear => {
            let off = (inside - 0.5) / 0.28;
            let weight = libm::exp(-off * off) * 0.98 + 0.02;
            (weight * weight) as f32
        }
        _ => 1.0,
    }
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
