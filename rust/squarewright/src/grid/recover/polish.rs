//! Pitch and place of the chosen guess, to a hundredth of a pixel and to plain numbers where they fit.

use super::fit::Summed;
use super::hypothesis::refined;
use super::kernel::{Family, Model};
use super::rungs::{Rungs, middle};
use super::sketch::{Sketch, WIDE};

/// Steps of the dense search, to each side: pitches, places.
const STEPS: (i32, i32) = (12, 8);
/// How much larger a residual may be when both axes nearly say that cells fill the picture, and when one does.
const LIKELY: (f64, f64) = (1.05, 1.35);
/// How far the dense search goes, in cells over the whole length.
const WIDTH: f64 = 0.8;

/// Searches densely around a model, then moves downhill.
pub(super) fn polished(sketch: &Sketch, model: Model) -> Model {
    let dense = dense(&sketch.narrow, model, STEPS);
    let fine = refined(&sketch.wide, dense, 9);
    if sketch.wide.left(&fine).rss < sketch.wide.left(&model).rss { fine } else { model }
}

/// Searches a dense mesh of pitches and places around a model.
pub(super) fn dense<const L: usize>(rows: &Summed<L>, model: Model, steps: (i32, i32)) -> Model {
    let length = rows.length() as f64;
    let middle = ((length / 2.0 - model.offset) / model.pitch).floor();
    let place = model.offset + middle * model.pitch;
    let mut best = (f64::INFINITY, model);
    for a in -steps.0..=steps.0 {
        // fewer than two cells leave the pitch wide open, but it stays above nothing
        let reach = (WIDTH * model.pitch * model.pitch / length).min(0.9 * model.pitch);
        let pitch = model.pitch + f64::from(a) / f64::from(steps.0) * reach;
        for b in -steps.1..=steps.1 {
            let place = place + f64::from(b) / f64::from(steps.1) * 0.5 * model.pitch.min(4.0);
            let tried = Model { pitch, offset: place - middle * pitch, ..model };
            let rss = rows.left(&tried).rss + 1e-12 * f64::from(a.abs() + b.abs());
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

/// One axis of the answer on its way to plain numbers.
#[derive(Debug, Clone)]
pub(super) struct Rough<'a> {
    pub(super) rows: &'a Summed<WIDE>,
    pub(super) model: Model,
    pub(super) span: Span,
    /// The edges of a copy without blending.
    pub(super) rungs: Option<Rungs>,
}

impl Rough<'_> {
    fn rss(&self, model: &Model) -> f64 {
        self.rows.left(model).rss
    }

    /// The residual up to which a plainer model is as good.
    fn limit(&self) -> f64 {
        let slack = if self.model.kernel.family() == Family::Point { 1.15 } else { 1.02 };
        self.rss(&self.model) * slack + 0.02
    }

    /// The residual up to which a model is as good, when nothing speaks for it.
    fn close(&self) -> f64 {
        self.rss(&self.model) * 1.007 + 0.01
    }

    fn is_near(&self, pitch: f64) -> bool {
        let pitch_here = self.model.pitch;
        (pitch - pitch_here).abs() <= 1.2 * pitch_here * pitch_here / self.rows.length() as f64
    }

    /// Tries cells that fill the whole picture.
    fn filling(&self) -> Option<Model> {
        self.filling_within(1.0)
    }

    /// Tries them with a residual that may be larger by a factor, for when there is more reason to.
    fn filling_within(&self, factor: f64) -> Option<Model> {
        let pitch = self.span.whole / (self.span.whole / self.model.pitch).round().max(1.0);
        if !self.is_near(pitch) || self.model.kernel.family() == Family::Lined {
            return None;
        }
        let limit = self.limit() * factor;
        [0.0, 0.03, -0.03, 0.5]
            .map(|shift| Model { pitch, offset: shift - self.span.start, ..self.model })
            .into_iter()
            .find(|tried| self.rss(tried) <= limit)
    }

    /// Says whether nothing was peeled off this axis.
    fn is_whole(&self) -> bool {
        self.rows.length() as f64 >= self.span.whole
    }

    /// Gives the cells that fill the whole picture, when every edge is a boundary of them.
    fn exactly_filling(&self, rungs: &Rungs) -> Option<Model> {
        let pitch = self.span.whole / (self.span.whole / self.model.pitch).round().max(1.0);
        // Where a boundary falls on the middle of a pixel, scalers round either way.
        [0.0, 0.03, -0.03, 0.5, 0.53, 0.47]
            .map(|shift| Model { pitch, offset: shift - self.span.start, ..self.model })
            .into_iter()
            .find(|tried| rungs.holds(&Model { offset: near_offset(tried, &self.model), ..*tried }))
    }

    /// Tries a pitch, at a whole pixel first where the pitch is whole.
    fn at(&self, pitch: f64) -> Option<Model> {
        if !self.is_near(pitch) {
            return None;
        }
        let (limit, close) = (self.limit(), self.close());
        let plain = Model { pitch, offset: self.model.offset.round(), ..self.model };
        let is_whole = (pitch - pitch.round()).abs() < 1e-9 && self.model.kernel.family() != Family::Lined;
        if is_whole && self.rss(&plain) <= limit {
            return Some(plain);
        }
        let found = best_place(self.rows, self.model, pitch);
        (self.rss(&found) <= if is_whole { limit } else { close }).then_some(found)
    }
}

/// Brings both axes to plain numbers where these fit about as well: cells that fill the picture, a pitch of
/// whole pixels, one pitch for both, the middle of all pitches that fit alike.
pub(super) fn plain(x: Rough<'_>, y: Rough<'_>) -> (Model, Model) {
    let square = x.is_near(y.model.pitch) || y.is_near(x.model.pitch);
    if let (Some(across), Some(down)) = (&x.rungs, &y.rungs)
        && let Some(found) = exact((&x, across), (&y, down), square)
    {
        return found;
    }
    if let Some(found) = both_filling(&x, &y, square) {
        return found;
    }
    if square {
        let whole = x.model.pitch.round();
        let fills = [x.filling(), y.filling()].into_iter().flatten().map(|model| model.pitch);
        let pitches: Vec<f64> =
            fills.chain((whole >= 2.0).then_some(whole)).chain([x.model.pitch, y.model.pitch]).collect();
        for pitch in pitches {
            let kept = |rough: &Rough<'_>| {
                let filling = rough.filling().filter(|model| model.pitch.total_cmp(&pitch).is_eq());
                filling.or_else(|| rough.at(pitch))
            };
            if let (Some(x), Some(y)) = (kept(&x), kept(&y)) {
                return (x, y);
            }
        }
    }
    let whole = |rough: &Rough<'_>| {
        let found = rough.at(rough.model.pitch.round());
        found.filter(|found| rough.rss(found) <= rough.close())
    };
    let alone = |rough: &Rough<'_>| rough.filling().or_else(|| whole(rough)).unwrap_or(rough.model);
    (alone(&x), alone(&y))
}

/// Tries cells that fill the picture across and down; when one axis or both nearly say so, and cells are
/// square then, that is no accident.
fn both_filling(x: &Rough<'_>, y: &Rough<'_>, square: bool) -> Option<(Model, Model)> {
    let plain = x.filling().zip(y.filling());
    let likely = || {
        let one = x.filling().zip(y.filling_within(LIKELY.1));
        let other = || x.filling_within(LIKELY.1).zip(y.filling());
        let neither = || x.filling_within(LIKELY.0).zip(y.filling_within(LIKELY.0));
        let is_square = |pair: &(Model, Model)| (pair.0.pitch - pair.1.pitch).abs() < 0.01 * pair.0.pitch;
        one.or_else(other).or_else(neither).filter(is_square)
    };
    plain.or_else(|| if square { likely() } else { None })
}

/// Settles two axes whose every edge is a rounded boundary.
fn exact(x: (&Rough<'_>, &Rungs), y: (&Rough<'_>, &Rungs), square: bool) -> Option<(Model, Model)> {
    if let (Some(x), Some(y)) = (x.0.exactly_filling(x.1), y.0.exactly_filling(y.1)) {
        return Some((x, y));
    }
    let whole = x.0.model.pitch.round();
    if square {
        if let Some(found) = x.1.exactly(whole).zip(y.1.exactly(whole)) {
            return Some(found);
        }
        let pitch = middle(&[x.1, y.1]);
        if let Some(found) = pitch.and_then(|pitch| x.1.at(pitch).zip(y.1.at(pitch))) {
            return Some(found);
        }
    }
    let alone = |(rough, rungs): (&Rough<'_>, &Rungs)| {
        let filling = if rough.is_whole() { rough.exactly_filling(rungs) } else { None };
        let whole = rough.model.pitch.round();
        filling.or_else(|| rungs.exactly(whole)).or_else(|| rungs.at(middle(&[rungs])?))
    };
    alone(x).zip(alone(y))
}

/// Shifts a model by whole cells so that its boundaries carry the numbers of another one near the middle.
fn near_offset(model: &Model, other: &Model) -> f64 {
    model.offset + ((other.offset - model.offset) / model.pitch).round() * model.pitch
}

/// Finds the best place for a given pitch, near that of a model: the middle of all that are alike.
pub(super) fn best_place<const L: usize>(rows: &Summed<L>, model: Model, pitch: f64) -> Model {
    let middle = ((rows.length() as f64 / 2.0 - model.offset) / model.pitch).floor();
    let start = model.offset + middle * (model.pitch - pitch);
    let tried = (-20..=20).map(|step| {
        let tried = Model { pitch, offset: start + 0.05 * f64::from(step), ..model };
        (rows.left(&tried).rss, tried.offset)
    });
    let tried: Vec<(f64, f64)> = tried.collect();
    let least = tried.iter().map(|(rss, _)| *rss).fold(f64::INFINITY, f64::min);
    let alike: Vec<f64> =
        tried.iter().filter(|(rss, _)| *rss <= least + 1e-3).map(|(_, offset)| *offset).collect();
    Model { pitch, offset: f64::midpoint(alike[0], alike[alike.len() - 1]), ..model }
}
