//! Pitch and place of the chosen guess, to a hundredth of a pixel and to plain numbers where they fit.

use super::fit::left;
use super::hypothesis::refined;
use super::kernel::{Family, Kernel, Model};
use super::sketch::{Rows, Sketch};

/// Steps of the dense search, to each side: pitches, places.
const STEPS: (i32, i32) = (12, 8);
/// How far the dense search goes, in cells over the whole length.
const WIDTH: f64 = 0.8;

/// Searches densely around a model, then moves downhill.
pub(super) fn polished(sketch: &Sketch, model: Model) -> Model {
    let dense = dense(&sketch.narrow, model);
    let fine = refined(&sketch.wide, dense, 9);
    if left(&sketch.wide, &fine).rss < left(&sketch.wide, &model).rss { fine } else { model }
}

fn dense<const L: usize>(rows: &Rows<L>, model: Model) -> Model {
    let length = rows.length() as f64;
    let middle = ((length / 2.0 - model.offset) / model.pitch).floor();
    let place = model.offset + middle * model.pitch;
    let mut best = (f64::INFINITY, model);
    for a in -STEPS.0..=STEPS.0 {
        let reach = WIDTH * model.pitch * model.pitch / length;
        let pitch = model.pitch + f64::from(a) / f64::from(STEPS.0) * reach;
        for b in -STEPS.1..=STEPS.1 {
            let place = place + f64::from(b) / f64::from(STEPS.1) * 0.5 * model.pitch.min(4.0);
            let tried = Model { pitch, offset: place - middle * pitch, ..model };
            let rss = left(rows, &tried).rss + 1e-12 * f64::from(a.abs() + b.abs());
            if rss < best.0 {
                best = (rss, tried);
            }
        }
    }
    best.1
}

/// Where an axis stands in its picture.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    /// The length of the whole picture.
    pub(super) whole: f64,
    /// Where the fitted part begins.
    pub(super) start: f64,
}

/// Gives the plainest model that fits about as well: cells that fill the picture, a pitch of whole pixels,
/// the pitch of the other axis.
pub(super) fn snapped(sketch: &Sketch, model: Model, span: Span, other: Option<f64>) -> Option<Model> {
    let rows = &sketch.wide;
    let rss = |model: &Model| left(rows, model).rss;
    let slack = if model.kernel.family() == Family::Point { 1.15 } else { 1.02 };
    let limit = rss(&model) * slack + 0.02;
    let near = |pitch: f64| (pitch - model.pitch).abs() <= 1.2 * model.pitch * model.pitch / rows.length() as f64;
    let lined = matches!(model.kernel, Kernel::Lines(_));
    let filling = span.whole / (span.whole / model.pitch).round().max(1.0);
    if near(filling) && !lined {
        for shift in [0.0, 0.03, -0.03, 0.5] {
            let tried = Model { pitch: filling, offset: shift - span.start, ..model };
            if rss(&tried) <= limit {
                return Some(tried);
            }
        }
    }
    let whole = model.pitch.round();
    let pitches = [(whole >= 2.0).then_some(whole), other];
    for pitch in pitches.into_iter().flatten().filter(|&pitch| near(pitch)) {
        let offset = model.offset.round();
        let plain = Model { pitch, offset, ..model };
        if whole.to_bits() == pitch.to_bits() && !lined && rss(&plain) <= limit {
            return Some(plain);
        }
        let found = best_place(rows, model, pitch);
        if rss(&found) <= limit {
            return Some(found);
        }
    }
    None
}

/// Finds the best place for a given pitch, near that of a model.
pub(super) fn best_place<const L: usize>(rows: &Rows<L>, model: Model, pitch: f64) -> Model {
    let middle = ((rows.length() as f64 / 2.0 - model.offset) / model.pitch).floor();
    let start = model.offset + middle * (model.pitch - pitch);
    let mut best = (f64::INFINITY, model);
    for step in -12_i32..=12 {
        let tried = Model { pitch, offset: start + 0.05 * f64::from(step), ..model };
        let rss = left(rows, &tried).rss + 1e-6 * f64::from(step.abs());
        if rss < best.0 {
            best = (rss, tried);
        }
    }
    best.1
}
