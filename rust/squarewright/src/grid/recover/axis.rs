//! The search along one axis: many pitches and phases roughly, the promising ones finely.

use super::fit::{Left, Summed};
use super::hypothesis::{FLOOR, Hypothesis, contrast, refined};
use super::kernel::{Family, Kernel, Model};
use super::polish::dense;
use super::sketch::{NARROW, Sketch};
use crate::fault::{Result, Watch};

/// Drawn lines are looked for from this pitch on.
const LEAST_LINED: f64 = 4.0;
/// How many guesses are picked by score, by plain residual and by contrast: for a look at related kernels, for
/// a first refinement, and for the last.
const CLOSER: [usize; 3] = [14, 8, 8];
const KEPT: [usize; 3] = [9, 4, 4];
const SETTLED: [usize; 3] = [6, 2, 2];
/// Of how many guesses related kernels are tried, and how many of each are refined.
const LEADERS: usize = 3;
const RELATED: usize = 3;
/// The share of the work that one axis is told as.
pub(super) const SHARE: f32 = 0.3;

/// Lists guesses for an axis, best first.
pub(super) fn search(
    sketch: &Sketch,
    pitches: &[f64],
    done: f32,
    watch: &dyn Watch,
) -> Result<Vec<Hypothesis>> {
    let length = sketch.narrow.length() as f64;
    let rough = scanned(&sketch.narrow, pitches, (done, watch))?;
    let mut nearer = Guesses { list: Vec::new(), length };
    for guess in promising(&rough, length, KEPT) {
        watch.check(done + SHARE / 2.0)?;
        nearer.add(&sketch.narrow, refined(&sketch.narrow, guess.model, 4));
    }
    let mut found = Guesses { list: Vec::new(), length };
    let kept = promising(&nearer.list, length, SETTLED);
    for (place, guess) in kept.iter().enumerate() {
        watch.check(done + SHARE * (0.5 + 0.25 * place as f32 / kept.len() as f32))?;
        found.add(&sketch.wide, settled(sketch, guess.model, 6));
    }
    found.sort();
    let leaders: Vec<Hypothesis> = found.list.iter().take(LEADERS).copied().collect();
    for (place, leader) in leaders.iter().enumerate() {
        watch.check(done + SHARE * (0.75 + 0.25 * place as f32 / leaders.len() as f32))?;
        for model in related(&sketch.wide, &leader.model) {
            found.add(&sketch.wide, settled(sketch, model, 5));
        }
    }
    found.sort();
    Ok(found.list)
}

/// Lists the models of related kernels that fit best at the place of another one.
fn related<const L: usize>(rows: &Summed<L>, model: &Model) -> Vec<Model> {
    let others = relatives(model.kernel).iter().filter(|&&kernel| kernel != model.kernel);
    let mut found: Vec<(f64, Model)> = others
        .map(|&kernel| Model { kernel, ..*model })
        .map(|model| (libm::log(rows.left(&model).rss + FLOOR) + model.kernel.price(), model))
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().take(RELATED).map(|(_, model)| model).collect()
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
    if sketch.wide.left(&from_area).rss < sketch.wide.left(&straight).rss { from_area } else { straight }
}

/// Tries one more pitch and kernel, at all phases.
pub(super) fn tried(sketch: &Sketch, pitch: f64, kernel: Kernel) -> Hypothesis {
    let count = if kernel.family() == Family::Point { 14.0 } else { (2.0 * pitch).clamp(8.0, 48.0) };
    let models = phases(kernel, pitch, count as usize);
    let model = least(models.map(|model| (model, sketch.narrow.left(&model)))).0;
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

/// Looks at all pitches roughly, and closer where flat or straight cells fit well.
fn scanned(
    rows: &Summed<NARROW>,
    pitches: &[f64],
    (done, watch): (f32, &dyn Watch),
) -> Result<Vec<Hypothesis>> {
    let (mut flat, mut straight, mut lined) = (Vec::new(), Vec::new(), Vec::new());
    for (place, &pitch) in pitches.iter().enumerate() {
        watch.check(done + SHARE / 2.0 * place as f32 / pitches.len() as f32)?;
        let count = (2.0 * pitch).clamp(8.0, 40.0) as usize;
        flat.push(best_phase(rows, Kernel::Nearest, pitch, count));
        straight.push(best_phase(rows, Kernel::Linear, pitch, count.min(12)));
        if pitch >= LEAST_LINED {
            lined.extend([1, 2].map(|width| best_phase(rows, Kernel::Lines(width), pitch, count)));
        }
    }
    let length = rows.length() as f64;
    let mut found = lined;
    for guess in promising(&flat, length, CLOSER) {
        let model = Model { kernel: Kernel::Area, ..guess.model };
        found.push(around(rows, model, guess.pitch() / (2.0 * guess.pitch()).clamp(8.0, 40.0).floor()));
    }
    for guess in promising(&straight, length, CLOSER) {
        for kernel in [Kernel::CubicHalf, Kernel::Lanczos3] {
            let step = guess.pitch() / (2.0 * guess.pitch()).clamp(8.0, 12.0).floor();
            found.push(around(rows, Model { kernel, ..guess.model }, step));
        }
    }
    found.extend(flat);
    found.extend(straight);
    Ok(found)
}

/// Finds the best phase of a kernel and a pitch.
fn best_phase(rows: &Summed<NARROW>, kernel: Kernel, pitch: f64, count: usize) -> Hypothesis {
    let models = phases(kernel, pitch, count);
    let found: Vec<(Model, Left)> = models.map(|model| (model, rows.left(&model))).collect();
    guess(rows, &found)
}

/// Looks at a model, at its neighbours and at the opposite phase.
fn around(rows: &Summed<NARROW>, model: Model, step: f64) -> Hypothesis {
    let moves = [0.0, -step, step, model.pitch / 2.0];
    let models = moves.map(|by| Model { offset: model.offset + by, ..model });
    guess(rows, &models.map(|model| (model, rows.left(&model))))
}

fn guess(rows: &Summed<NARROW>, found: &[(Model, Left)]) -> Hypothesis {
    let (model, here) = least(found.iter().copied());
    let worst = found.iter().map(|(_, left)| left.rss).fold(here.rss, f64::max);
    let density = here.cells as f64 / rows.length() as f64;
    Hypothesis { model, rss: here.rss, density, contrast: contrast(here.rss, worst) }
}

/// Picks guesses for the fine search: by score, by plain residual and by contrast.
fn promising(rough: &[Hypothesis], length: f64, counts: [usize; 3]) -> Vec<Hypothesis> {
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
    pick(&|guess| guess.score(floor), counts[0]);
    pick(&Hypothesis::plain_score, counts[1]);
    pick(&|guess| -guess.contrast, counts[2]);
    kept
}

/// Guesses without doubles.
struct Guesses {
    list: Vec<Hypothesis>,
    length: f64,
}

impl Guesses {
    fn add<const L: usize>(&mut self, rows: &Summed<L>, model: Model) {
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
