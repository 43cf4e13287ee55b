//! Other work for the time in which nothing is dry: card, and figures that are painted already.
//!
//! Card is cut at any time. A figure is finished in the order of its steps once it is dry: borders first; it is cut
//! out when all that lies on its board is painted and dry; then card, glue and edges, each with its drying. What
//! does not go into one gap goes on in the next.

use serde::{Deserialize, Serialize};

use super::Boards;
use super::bench::Bench;
use super::done::Todo;
use crate::plan::{Hours, Step, Timed};

/// Work on one copy of a figure while others dry.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Meanwhile {
    /// Which figure, by its place.
    pub figure: usize,
    /// Which of its copies, from 0.
    pub copy: usize,
    /// What is done.
    pub step: Step,
    /// For how many minutes.
    pub minutes: f64,
    /// Whether it is done then, or goes on later.
    pub ends: bool,
}

/// What is left to finish of one copy.
#[derive(Debug)]
struct Finish {
    figure: usize,
    copy: usize,
    /// The copies on its boards, itself among them, by their places at the bench.
    mates: Vec<usize>,
    /// Steps with the minutes of work and of drying after it.
    steps: Vec<(Step, f64, f64)>,
    /// When glue or edges are dry.
    dry: f64,
}

/// All that hands can do besides painting.
#[derive(Debug)]
pub(super) struct Hands(Vec<Finish>);

const STEPS: [Step; 8] = [
    Step::CleanUp,
    Step::Cut,
    Step::CutCard,
    Step::Glue,
    Step::GlueDry,
    Step::Trim,
    Step::PaintEdges,
    Step::EdgesDry,
];

impl Hands {
    pub(super) fn new(todo: Todo<'_>, boards: &Boards) -> Self {
        let copies = |figure: usize| (0..todo.figures[figure].copies).map(move |copy| (figure, copy));
        let all: Vec<(usize, usize)> = (0..todo.figures.len()).flat_map(copies).collect();
        let hours: Vec<Hours> = todo.figures.iter().map(|each| each.plan.hours()).collect();
        let finish = |&(figure, copy): &(usize, usize)| {
            let mates = boards.mates(figure, copy);
            let mates = (0..all.len()).filter(|&place| mates.contains(&all[place])).collect();
            let open =
                |step: &&Timed<Step>| STEPS.contains(&step.what) && todo.is_open(figure, copy, step.what);
            let middle = |low: f64, high: f64| f64::midpoint(low, high);
            let step = |step: &Timed<Step>| {
                (step.what, middle(step.work.low, step.work.high), middle(step.wait.low, step.wait.high))
            };
            let steps = hours[figure].steps.iter().filter(open).map(step).collect();
            Finish { figure, copy, mates, steps, dry: f64::NEG_INFINITY }
        };
        Self(all.iter().map(finish).collect())
    }

    /// The shortest time for which other tools are taken up, in minutes (judgement).
    const SHORTEST: f64 = 5.0;

    /// Works from now until then, as far as there is something to do.
    pub(super) fn work(&mut self, bench: &Bench, until: f64) -> Vec<Meanwhile> {
        let (mut now, mut done) = (bench.now, Vec::new());
        if until - now < Self::SHORTEST {
            return done;
        }
        while now < until {
            let Some((place, step)) = self.next(bench, now) else {
                let Some(later) = self.later(bench, now).filter(|&later| later < until) else { break };
                now = later;
                continue;
            };
            let Finish { figure, copy, steps, dry, .. } = &mut self.0[place];
            let (what, left, wait) = &mut steps[step];
            let minutes = left.min(until - now);
            (now, *left) = (now + minutes, *left - minutes);
            let ends = *left <= 0.0;
            if minutes > 0.0 {
                done.push(Meanwhile { figure: *figure, copy: *copy, step: *what, minutes, ends });
            }
            if ends {
                *dry = dry.max(now + *wait);
                steps.remove(step);
            }
        }
        done
    }

    /// Finds what can be done at a time: finishing first, then card.
    fn next(&self, bench: &Bench, now: f64) -> Option<(usize, usize)> {
        let ready = |place: usize| self.from(bench, place).is_some_and(|from| from <= now);
        let card = |place: usize| {
            let card = self.0[place].steps.iter().position(|&(step, ..)| step == Step::CutCard)?;
            Some((place, card))
        };
        let mut all = 0..self.0.len();
        all.clone().find(|&place| ready(place)).map(|place| (place, 0)).or_else(|| all.find_map(card))
    }

    /// Gives when something else can be done.
    fn later(&self, bench: &Bench, now: f64) -> Option<f64> {
        let from = (0..self.0.len()).filter_map(|place| self.from(bench, place));
        from.filter(|&from| from > now).reduce(f64::min)
    }

    /// Gives from when on the next step of a copy can be done; none while paint keeps it back.
    fn from(&self, bench: &Bench, place: usize) -> Option<f64> {
        let finish = &self.0[place];
        let &(step, ..) = finish.steps.first()?;
        let is_alone = step == Step::CleanUp;
        let mates = finish.mates.iter().copied().filter(|&mate| !is_alone || mate == place);
        mates.map(|mate| bench.finished(mate)).try_fold(finish.dry, |from, dry| Some(from.max(dry?)))
    }

    /// Lets everything dry.
    pub(super) fn over_night(&mut self) {
        for finish in &mut self.0 {
            finish.dry = f64::NEG_INFINITY;
        }
    }
}
