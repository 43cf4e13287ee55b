//! From a field to a lattice: search, joint choice, polish.

use super::axis::{self, tried};
use super::censor;
use super::field::{Field, Rect};
use super::harmonic;
use super::hint::Range;
use super::hypothesis::Hypothesis;
use super::joint::pairs;
use super::kernel::{Kernel, Model, floor};
use super::polish::{Rough, Span, plain, polished};
use super::profile::pitches;
use super::rivals::rivals;
use super::rungs::Rungs;
use super::sketch::Sketch;
use crate::fault::{Result, Watch};

/// What one axis is searched with: the content with this axis across, and its sketch.
#[derive(Debug)]
pub(super) struct Axis {
    pub(super) field: Field,
    pub(super) sketch: Sketch,
    pub(super) span: Span,
}

impl Axis {
    fn new(field: Field, span: Span) -> Self {
        let sketch = Sketch::new(&field);
        Self { field, sketch, span }
    }

    pub(super) fn length(&self) -> f64 {
        self.field.width as f64
    }

    /// Gives the edges of a copy without blending.
    pub(super) fn rungs(&self, model: Model) -> Option<Rungs> {
        Rungs::new(&self.field, &model)
    }

    fn rough(&self, model: Model) -> Rough<'_> {
        Rough { rows: &self.sketch.wide, model, span: self.span, rungs: Rungs::new(&self.field, &model) }
    }

    /// The share of all variance that a guess leaves.
    fn unexplained(&self, guess: &Hypothesis) -> f64 {
        self.sketch.wide.share(guess.rss)
    }
}

/// Both axes of the content of a picture.
#[derive(Debug)]
pub(super) struct Axes {
    pub(super) x: Axis,
    pub(super) y: Axis,
    pub(super) content: Rect,
}

/// What the search has found.
#[derive(Debug, Clone)]
pub(super) struct Solved {
    /// Models over the whole picture.
    pub(super) x: Model,
    pub(super) y: Model,
    pub(super) contrast: f64,
    /// How much better the choice is than the best of another size.
    pub(super) margin: f64,
    /// The share of variance left unexplained.
    pub(super) unexplained: f64,
    pub(super) rss: f64,
    /// Whether every change of colour lies on a boundary, without blending.
    pub(super) is_exact: bool,
    /// Other lattices over the whole picture, best first.
    pub(super) others: Vec<(Model, Model)>,
    /// The number of places where colours change on the axis that has fewer, for a copy without blending.
    pub(super) edges: Option<usize>,
    /// Whether long cells were taken apart into squares.
    pub(super) is_split: bool,
}

impl Axes {
    pub(super) fn new(field: &Field, content: Rect) -> Self {
        let inner = field.crop(content);
        let span = |whole: usize, start: usize| Span { whole: whole as f64, start: start as f64 };
        let y = Axis::new(inner.transposed(), span(field.height, content.top));
        let x = Axis::new(inner, span(field.width, content.left));
        Self { x, y, content }
    }
}

/// Searches both axes and chooses.
pub(super) fn solve(
    axes: &Axes,
    wanted: Option<(Range, Range)>,
    watch: &dyn Watch,
) -> Result<Option<Solved>> {
    let (across, down) = (wanted.map(|wanted| wanted.0), wanted.map(|wanted| wanted.1));
    let mut xs = axis::search(&axes.x.sketch, &within(pitches(&axes.x.field), across), 0.0, watch)?;
    let mut ys = axis::search(&axes.y.sketch, &within(pitches(&axes.y.field), down), axis::SHARE, watch)?;
    carry(axes, &mut xs, &mut ys);
    xs.retain(|guess| across.is_none_or(|(least, most)| (least..=most).contains(&guess.pitch())));
    ys.retain(|guess| down.is_none_or(|(least, most)| (least..=most).contains(&guess.pitch())));
    censor::relieve(&axes.x.field, &mut xs, watch)?;
    censor::relieve(&axes.y.field, &mut ys, watch)?;
    let pairs = pairs(&xs, &ys, (axes.x.length(), axes.y.length()));
    let Some(&best) = pairs.first() else { return Ok(None) };
    let other = pairs.iter().find(|pair| pair.differs(&best));
    let margin = other.map_or(3.0, |other| other.score - best.score);
    watch.check(0.7)?;
    let x = settled(&axes.x, best.x.model, across, best.y.pitch());
    let y = settled(&axes.y, best.y.model, down, x.pitch);
    watch.check(0.75)?;
    let raw = (x, y);
    let (x, y) = plain(axes.x.rough(x), axes.y.rough(y));
    let edges = axes.x.rungs(x).zip(axes.y.rungs(y)).map(|(x, y)| x.count().min(y.count()));
    let moved = |model: Model, start: usize| Model { offset: model.offset + start as f64, ..model };
    let whole = |(x, y): (Model, Model)| (moved(x, axes.content.left), moved(y, axes.content.top));
    let (raw, (x, y)) = match split((x, y)).filter(|_| wanted.is_none()) {
        Some(both) => ((x, y), both),
        None => (raw, (x, y)),
    };
    let is_split = raw.0.pitch > 1.5 * x.pitch || raw.1.pitch > 1.5 * y.pitch;
    let others = rivals(axes, (x, y), raw, &pairs).into_iter().map(whole).collect();
    let (x, y) = whole((x, y));
    Ok(Some(Solved {
        x,
        y,
        contrast: best.contrast(),
        margin,
        unexplained: axes.x.unexplained(&best.x).max(axes.y.unexplained(&best.y)),
        rss: best.x.rss.max(best.y.rss),
        is_exact: edges.is_some(),
        others,
        edges,
        is_split,
    }))
}

/// Cells that are twice or thrice as long as they are wide are most likely as many squares of one colour each,
/// for art is drawn in squares: gives the lattice with these apart.
fn split((x, y): (Model, Model)) -> Option<(Model, Model)> {
    /// How far from a whole number of squares the longer side may be: copies are squeezed by as much.
    const SQUEEZED: f64 = 0.2;
    let parts = |long: f64, short: f64| {
        let count = (long / short).round();
        (count >= 2.0 && (long / short / count - 1.0).abs() <= SQUEEZED).then_some(count)
    };
    let cut = |model: Model, count: f64| Model { pitch: model.pitch / count, ..model };
    let across = parts(x.pitch, y.pitch).map(|count| (cut(x, count), y));
    across.or_else(|| parts(y.pitch, x.pitch).map(|count| (x, cut(y, count))))
}

/// Keeps pitches within a range that is known, and fills it evenly.
fn within(mut pitches: Vec<f64>, range: Option<Range>) -> Vec<f64> {
    const STEPS: i32 = 24;
    if let Some((least, most)) = range {
        pitches.retain(|pitch| (least..=most).contains(pitch));
        let step = |step: i32| least * libm::pow(most / least, f64::from(step) / f64::from(STEPS));
        pitches.extend((0..=STEPS).map(step));
        pitches.sort_by(f64::total_cmp);
    }
    pitches
}

/// Tries the best pitches of each axis on the other one.
fn carry(axes: &Axes, xs: &mut Vec<Hypothesis>, ys: &mut Vec<Hypothesis>) {
    let take = |guesses: &[Hypothesis]| -> Vec<(f64, Kernel)> {
        guesses.iter().take(4).map(|guess| (guess.pitch(), guess.kernel())).collect()
    };
    let (from_x, from_y) = (take(xs), take(ys));
    for (axis, guesses, wanted) in [(&axes.x, xs, from_y), (&axes.y, ys, from_x)] {
        let length = axis.length();
        for (pitch, kernel) in wanted {
            let near = |guess: &Hypothesis| {
                (guess.pitch() - pitch).abs() / pitch < 0.3 * pitch / length && guess.kernel() == kernel
            };
            if pitch <= length / 3.0 && !guesses.iter().any(near) {
                guesses.push(tried(&axis.sketch, pitch, kernel));
            }
        }
    }
}

/// Polishes a model, and again where only every so many boundaries carry edges.
fn settled(axis: &Axis, model: Model, wanted: Option<Range>, other: f64) -> Model {
    let ratio = other / model.pitch;
    let told = ((ratio - ratio.round()).abs() < 0.03 * ratio).then(|| floor(ratio.round()));
    let model = polished(&axis.sketch, model);
    let suits = |model: &Model| wanted.is_none_or(|(least, most)| (least..=most).contains(&model.pitch));
    match harmonic::coarser(&axis.field, &model, told).filter(suits) {
        Some(coarser) => polished(&axis.sketch, coarser),
        None => model,
    }
}
