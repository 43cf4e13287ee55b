//! The search along one axis: many pitches and phases roughly, the promising ones finely.

use super::fit::{Left, Running, left};
use super::hypothesis::{FLOOR, Hypothesis, contrast, refined};
use super::kernel::{Family, Kernel, Model};
use super::polish::dense;
use super::sketch::{NARROW, Rows, Sketch};
use crate::fault::{Result, Watch};

/// Drawn lines are looked for from this pitch on.
const LEAST_LINED: f64 = 4.0;
/// The share of the work that one axis is told as.
pub(super) const SHARE: f32 = 0.3;

/// Lists guesses for an axis, best first.
pub(super) fn search(
    sketch: &Sketch,
    pitches: &[f64],
    done: f32,
    watch: &dyn Watch,
) -> Result<Vec<Hypothesis>> {
    let running = Running::new(&sketch.narrow);
    let mut rough = Vec::new();
    for (place, &pitch) in pitches.iter().enumerate() {
        watch.check(done + SHARE / 2.0 * place as f32 / pitches.len() as f32)?;
        rough.extend(scanned(&sketch.narrow, &running, pitch));
    }
    let kept = promising(&rough, sketch.narrow.length() as f64);
    let mut found = Guesses { list: Vec::new(), length: sketch.wide.length() as f64 };
    for (place, guess) in kept.iter().enumerate() {
        watch.check(done + SHARE * (0.5 + 0.25 * place as f32 / kept.len() as f32))?;
        found.add(&sketch.wide, settled(sketch, guess.model, 8));
    }
    found.sort();
    let leaders: Vec<Hypothesis> = found.list.iter().take(4).copied().collect();
    for (place, leader) in leaders.iter().enumerate() {
        watch.check(done + SHARE * (0.75 + 0.25 * place as f32 / leaders.len() as f32))?;
        for &kernel in relatives(leader.kernel()) {
            if kernel != leader.kernel() {
                let model = Model { kernel, ..leader.model };
                found.add(&sketch.wide, settled(sketch, model, 5));
            }
        }
    }
    found.sort();
    Ok(found.list)
}

/// Moves a model downhill; what flat cells leave changes in steps, so that area shows the way to them.
fn settled(sketch: &Sketch, model: Model, rounds: usize) -> Model {
    if model.kernel != Kernel::Nearest {
        return refined(&sketch.wide, model, rounds);
    }
    let area = refined(&sketch.wide, Model { kernel: Kernel::Area, ..model }, rounds);
    let near = dense(&sketch.narrow, Model { kernel: Kernel::Nearest, ..area }, (4, 6));
    let from_area = refined(&sketch.wide, near, rounds);
    let straight = refined(&sketch.wide, model, rounds);
    if left(&sketch.wide, &from_area).rss < left(&sketch.wide, &straight).rss { from_area } else { straight }
}

/// Tries one more pitch and kernel, at all phases.
pub(super) fn tried(sketch: &Sketch, pitch: f64, kernel: Kernel) -> Hypothesis {
    let count = if kernel.family() == Family::Point { 14.0 } else { (2.0 * pitch).clamp(8.0, 48.0) };
    let models = phases(kernel, pitch, count as usize);
    let model = least(models.map(|model| (model, left(&sketch.narrow, &model)))).0;
    Hypothesis::measured(&sketch.wide, settled(sketch, model, 7))
}

/// Kernels worth a try where one of them fits.
fn relatives(kernel: Kernel) -> &'static [Kernel] {
    const LINED: [Kernel; 3] = [Kernel::Lines(1), Kernel::Lines(2), Kernel::Lines(3)];
    const POINT: [Kernel; 6] = [
        Kernel::Linear,
        Kernel::CubicHalf,
        Kernel::CubicThree,
        Kernel::Lanczos3,
        Kernel::Lanczos4,
        Kernel::Soft,
    ];
    match kernel.family() {
        Family::Lined => &LINED,
        Family::Edge => &Kernel::EDGED,
        Family::Point => &POINT,
    }
}

fn phases(kernel: Kernel, pitch: f64, count: usize) -> impl Iterator<Item = Model> {
    (0..count).map(move |phase| Model { kernel, pitch, offset: phase as f64 * pitch / count as f64 })
}

fn least(found: impl Iterator<Item = (Model, Left)>) -> (Model, Left) {
    found.reduce(|best, other| if other.1.rss < best.1.rss { other } else { best }).expect("there is a phase")
}

/// Looks at one pitch roughly: one guess a kernel.
fn scanned(rows: &Rows<NARROW>, running: &Running<'_, NARROW>, pitch: f64) -> Vec<Hypothesis> {
    let mut guesses = Vec::new();
    let count = (2.0 * pitch).clamp(8.0, 40.0) as usize;
    let mut flat = vec![Kernel::Nearest];
    if pitch >= LEAST_LINED {
        flat.extend([Kernel::Lines(1), Kernel::Lines(2)]);
    }
    for kernel in flat {
        let found: Vec<(Model, Left)> =
            phases(kernel, pitch, count).map(|model| (model, running.left(&model))).collect();
        guesses.push(guess(rows, &found));
    }
    let (nearest, step) = (guesses[0].model, pitch / count as f64);
    guesses.push(around(rows, Model { kernel: Kernel::Area, ..nearest }, step));
    let count = (2.0 * pitch).clamp(8.0, 12.0) as usize;
    let found: Vec<(Model, Left)> =
        phases(Kernel::Linear, pitch, count).map(|model| (model, left(rows, &model))).collect();
    let linear = guess(rows, &found);
    guesses.push(linear);
    for kernel in [Kernel::CubicHalf, Kernel::Lanczos3] {
        guesses.push(around(rows, Model { kernel, ..linear.model }, pitch / count as f64));
    }
    guesses
}

/// Looks at a model, at its neighbours and at the opposite phase.
fn around(rows: &Rows<NARROW>, model: Model, step: f64) -> Hypothesis {
    let moves = [0.0, -step, step, model.pitch / 2.0];
    let models = moves.map(|by| Model { offset: model.offset + by, ..model });
    guess(rows, &models.map(|model| (model, left(rows, &model))))
}

fn guess(rows: &Rows<NARROW>, found: &[(Model, Left)]) -> Hypothesis {
    let (model, here) = least(found.iter().copied());
    let worst = found.iter().map(|(_, left)| left.rss).fold(here.rss, f64::max);
    let density = here.cells as f64 / rows.length() as f64;
    Hypothesis { model, rss: here.rss, density, contrast: contrast(here.rss, worst) }
}

/// Picks guesses for the fine search: by score, by plain residual and by contrast.
fn promising(rough: &[Hypothesis], length: f64) -> Vec<Hypothesis> {
    let floor = rough.iter().map(|guess| guess.rss).fold(f64::INFINITY, f64::min).max(FLOOR);
    let mut kept: Vec<Hypothesis> = Vec::new();
    let mut pick = |key: &dyn Fn(&Hypothesis) -> f64, count: usize| {
        let mut order: Vec<&Hypothesis> = rough.iter().collect();
        order.sort_by(|a, b| key(a).total_cmp(&key(b)));
        let mut picked = 0;
        for guess in order {
            let pitch = guess.pitch();
            let near = |other: &&Hypothesis| (pitch - other.pitch()).abs() / pitch < 0.3 * pitch / length;
            if picked < count && !kept.contains(guess) && kept.iter().filter(near).count() < 2 {
                kept.push(*guess);
                picked += 1;
            }
        }
    };
    pick(&|guess| guess.score(floor), 9);
    pick(&Hypothesis::plain_score, 4);
    pick(&|guess| -guess.contrast, 4);
    kept
}

/// Guesses without doubles.
struct Guesses {
    list: Vec<Hypothesis>,
    length: f64,
}

impl Guesses {
    fn add<const L: usize>(&mut self, rows: &Rows<L>, model: Model) {
        let probe = Hypothesis { model, rss: 0.0, density: 0.0, contrast: 0.0 };
        let is_double =
            |other: &Hypothesis| other.kernel() == model.kernel && probe.is_near(other, self.length);
        if !self.list.iter().any(is_double) {
            self.list.push(Hypothesis::measured(rows, model));
        }
    }

    fn sort(&mut self) {
        let floor = self.list.iter().map(|guess| guess.rss).fold(f64::INFINITY, f64::min);
        self.list.sort_by(|a, b| a.score(floor).total_cmp(&b.score(floor)));
    }
}
