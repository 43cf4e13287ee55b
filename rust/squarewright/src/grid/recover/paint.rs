//! The colour of each cell of a lattice that is settled.

use super::blocks::Blocks;
use super::cells::{Matrix, Wanted, render, render_stages, solve};
use super::field::{Field, OPACITY, Rect};
use super::kernel::{Family, Kernel, Model, Sight};
use super::storage::{Storage, to_rgb, to_ycc};

/// How many times cut-off overshoot is added back, at most, and in all pixels.
const CUT_ROUNDS: usize = 12;
const CUT_WORK: usize = 1_500_000;
/// Cut-off overshoot is settled when a round leaves more than this share, or no more than rounding does.
const SETTLED: f64 = 0.995;
const ROUNDED: f64 = 0.1;
/// How far beyond its range a value may be predicted.
const BEYOND: f32 = 80.0;
/// How many times cells are pulled towards what the blocks of a JPEG say, at most, and in all pixels.
const BLOCK_ROUNDS: usize = 16;
const BLOCK_WORK: usize = 2_000_000;

/// Cells with less opacity than two levels of 255 are see-through.
const FAINT: f32 = 0.009;

/// Cells that move by less than so many levels have settled.
const STILL: f32 = 0.1;

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

/// How much work goes into colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// One fit: for readings that are only offered.
    Quick,
    /// All that is known about how the picture was stored.
    Full,
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
pub(super) fn paint(field: &Field, lattice: &Lattice, storage: &Storage<'_>, care: Care) -> Painted {
    let apart = storage.is_apart();
    let rect = lattice.rect(field, storage.step());
    let planes = storage.planes(field, rect);
    let sights: Vec<Sights> =
        (0..planes.len()).map(|plane| Sights::new(lattice, rect, storage, plane > 0)).collect();
    let frees = care == Care::Full && (lattice.x.kernel.overshoots() || lattice.y.kernel.overshoots());
    let (mut cells, noise) = if apart {
        let blocks = if care == Care::Full { storage.blocks(&planes) } else { Vec::new() };
        compressed(&planes, &sights, &blocks, frees)
    } else {
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
fn compressed(planes: &[Matrix], sights: &[Sights], blocks: &[Blocks], frees: bool) -> (Vec<Matrix>, f64) {
    let area = planes[0].values.len().max(1);
    let rounds = if blocks.is_empty() { 0 } else { (BLOCK_WORK / area).min(BLOCK_ROUNDS) };
    let mut cells: Vec<Matrix> =
        planes.iter().zip(sights).map(|(plane, sight)| solve(plane, &sight.down, &sight.across)).collect();
    let mut squares = 0.0;
    for round in 0..=rounds {
        let mut moved = 0.0_f32;
        let excess = frees.then(|| excess(&cells, sights));
        for (number, sight) in sights.iter().enumerate() {
            let mut picture = render(&cells[number], &sight.down, &sight.across);
            let beyond = excess.as_ref().map(|excess| &excess[number]);
            if let Some(beyond) = beyond {
                picture.values.iter_mut().zip(&beyond.values).for_each(|(value, beyond)| *value -= beyond);
            }
            if round == 0 {
                squares += difference(&planes[number], &picture) / planes[number].values.len() as f64;
            }
            if round == rounds {
                continue;
            }
            let mut target = blocks[number].pulled(&picture, &planes[number]);
            if let Some(beyond) = beyond {
                target.values.iter_mut().zip(&beyond.values).for_each(|(value, beyond)| *value += beyond);
            }
            let found = solve(&target, &sight.down, &sight.across);
            moved = found
                .values
                .iter()
                .zip(&cells[number].values)
                .fold(moved, |moved, (a, b)| moved.max((a - b).abs()));
            cells[number] = found;
        }
        if moved < STILL {
            break;
        }
    }
    (cells, (squares / planes.len() as f64).sqrt())
}

/// Gives what the cells would show beyond black and full, in the planes that were stored.
fn excess(cells: &[Matrix], sights: &[Sights]) -> Vec<Matrix> {
    let full = &sights[0];
    let mut beyond: Vec<Matrix> = cells.iter().map(|cells| render(cells, &full.down, &full.across)).collect();
    to_rgb(&mut beyond);
    for plane in &mut beyond {
        plane.values.iter_mut().for_each(|value| *value -= value.clamp(0.0, 255.0));
    }
    to_ycc(&mut beyond);
    let stored = beyond.into_iter().zip(sights);
    stored.map(|(plane, sight)| sight.paired.iter().fold(plane, |plane, &down| plane.halved(down))).collect()
}

/// Solves planes on their own; where overshoot was cut off, the cut is undone.
fn plainly(planes: &[Matrix], sights: &[Sights], frees: bool) -> (Vec<Matrix>, f64) {
    let (mut squares, mut cells) = (0.0, Vec::new());
    for (number, (plane, sight)) in planes.iter().zip(sights).enumerate() {
        let first = solve(plane, &sight.down, &sight.across);
        let top = Field::top(number);
        let (found, square) = if frees {
            // Some scalers cut off after each of the two directions, some at the end alone.
            let once = uncut(plane, sight, first.clone(), (top, false));
            let is_clear = once.1 < ROUNDED * plane.values.len() as f64;
            let twice = if is_clear { None } else { Some(uncut(plane, sight, first, (top, true))) };
            twice.filter(|twice| twice.1 < once.1).unwrap_or(once)
        } else {
            let picture = render(&first, &sight.down, &sight.across);
            let square = difference(plane, &picture);
            (first, square)
        };
        squares += square / plane.values.len() as f64;
        cells.push(found);
    }
    (cells, (squares / planes.len() as f64).sqrt())
}

/// Adds what was cut off to what is seen, as the cells predict it, and solves again.
fn uncut(plane: &Matrix, sight: &Sights, mut cells: Matrix, (top, staged): (f32, bool)) -> (Matrix, f64) {
    let rounds = (CUT_WORK / plane.values.len().max(1)).clamp(2, CUT_ROUNDS);
    let mut best = (cells.clone(), f64::INFINITY);
    for _ in 0..rounds {
        let mut target = render(&cells, &sight.down, &sight.across);
        let shown = if staged {
            clamped(render_stages(&cells, &sight.down, &sight.across, |half| clamped(half, top)), top)
        } else {
            clamped(target.clone(), top)
        };
        let square = difference(plane, &shown);
        let is_settled = square > SETTLED * best.1;
        if square < best.1 {
            best = (cells, square);
        }
        if is_settled {
            break;
        }
        for ((value, shown), seen) in target.values.iter_mut().zip(&shown.values).zip(&plane.values) {
            *value = seen + (*value - shown).clamp(-BEYOND, BEYOND);
        }
        cells = solve(&target, &sight.down, &sight.across);
    }
    best
}

fn clamped(mut plane: Matrix, top: f32) -> Matrix {
    plane.values.iter_mut().for_each(|value| *value = value.clamp(0.0, top));
    plane
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

/// How a plane shows the cells.
#[derive(Debug, Clone)]
struct Sights {
    down: Wanted,
    across: Wanted,
    /// The directions in which two pixels share a sample: down, then across.
    paired: Vec<bool>,
}

impl Sights {
    fn new(lattice: &Lattice, rect: Rect, storage: &Storage<'_>, is_colour: bool) -> Self {
        let apart = storage.is_apart();
        let (down, across) = (is_colour && storage.down, is_colour && storage.across);
        Self {
            down: wanted(&lattice.y, lattice.rows, (rect.top, rect.height()), (down, apart)),
            across: wanted(&lattice.x, lattice.columns, (rect.left, rect.width()), (across, apart)),
            paired: [down.then_some(true), across.then_some(false)].into_iter().flatten().collect(),
        }
    }
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
                    alpha if alpha < FAINT => [0; 4],
                    alpha if alpha > 0.98 => [level(r), level(g), level(b), 255],
                    alpha => [level(r / alpha), level(g / alpha), level(b / alpha), level(alpha * 255.0)],
                }
            })
            .collect()
    }
}
