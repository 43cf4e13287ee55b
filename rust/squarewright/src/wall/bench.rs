//! The bench: which coats are on, what is dry, and which jar is worth opening next.
//!
//! The rules are those of a single figure (`paint::order`): white below first and dry; the outline before the inside
//! or after it; a coat only over a dry one; colours of different families never side by side while one is wet.

use super::days::Work;
use super::done::{Coat, Todo};
use crate::colour::{Family, Rgb, family};
use crate::paint::Set;
use crate::plan::{Plan, Rate};

/// One coat of one colour that a figure gets.
#[derive(Debug)]
pub(super) struct Task {
    pub(super) coat: Coat,
    pub(super) cells: usize,
    pub(super) minutes: f64,
    /// Which of the sets of its figure it belongs to, in order.
    stage: usize,
    /// The colours that white goes under.
    under: Vec<Rgb>,
    done: bool,
}

impl Task {
    fn colour(&self) -> Option<Rgb> {
        self.coat.2
    }

    fn family(&self) -> Option<(Set, u32, Family)> {
        let (set, coat, colour) = self.coat;
        colour.map(|colour| (set, coat, family(colour)))
    }
}

/// Lists the coats of a figure in the order of its passes.
pub(super) fn tasks(plan: &Plan) -> Vec<Task> {
    let (mut tasks, mut stages) = (Vec::new(), Vec::new());
    for pass in plan.passes() {
        if !stages.contains(&pass.set) {
            stages.push(pass.set);
        }
        let stage = stages.len() - 1;
        if pass.set == Set::Undercoat {
            let minutes = pass.colours.iter().map(|&(colour, cells)| minutes(plan, colour, cells)).sum();
            let under = pass.colours.iter().map(|&(colour, _)| colour).collect();
            let (coat, cells) = ((pass.set, pass.coat, None), pass.cells());
            tasks.push(Task { coat, cells, minutes, stage, under, done: false });
        } else {
            tasks.extend(pass.colours.iter().map(|&(colour, cells)| {
                let (coat, minutes) = ((pass.set, pass.coat, Some(colour)), minutes(plan, colour, cells));
                Task { coat, cells, minutes, stage, under: Vec::new(), done: false }
            }));
        }
    }
    tasks
}

/// A figure, what it gets, and what it waits for.
#[derive(Debug)]
pub(super) struct Figure {
    /// Which figure and which of its copies it is.
    which: (usize, usize),
    /// When it is dry again.
    dry: f64,
    /// What was painted last: of colours that are mixed from each other, one follows the other.
    last: Option<(Set, u32, Family)>,
    wait: f64,
    tasks: Vec<Task>,
}

impl Figure {
    fn new(todo: Todo<'_>, figure: usize, copy: usize) -> Self {
        let (plan, own) = (&todo.figures[figure].plan, todo.of(figure, copy));
        let mut tasks = tasks(plan);
        for task in &mut tasks {
            task.done = own.painted(task.coat);
        }
        let wait = f64::from(plan.painting().ordering.wait.1);
        Self { which: (figure, copy), dry: f64::NEG_INFINITY, last: None, wait, tasks }
    }

    /// Tells whether nothing but drying keeps a task back.
    fn is_due(&self, task: &Task) -> bool {
        let waits_for = |other: &Task| match (task.colour(), other.colour()) {
            _ if other.done => false,
            (None, _) => false,
            (Some(colour), None) => other.under.contains(&colour),
            (own, its) if other.stage == task.stage => own == its && other.coat.1 < task.coat.1,
            _ => other.stage < task.stage,
        };
        !task.done && !self.tasks.iter().any(waits_for)
    }

    /// Gives the time from which on a task that is due can be painted.
    fn from(&self, task: &Task) -> f64 {
        let alike = task.family();
        // Shades of one family are open together and run into each other as they please.
        if alike.is_some() && alike == self.last { f64::NEG_INFINITY } else { self.dry }
    }

    fn paint(&mut self, place: usize, end: f64) {
        let task = &mut self.tasks[place];
        task.done = true;
        self.dry = end + self.wait;
        self.last = task.family();
    }
}

/// Gives the minutes of one coat over so many cells of a colour.
fn minutes(plan: &Plan, colour: Rgb, cells: usize) -> f64 {
    let middle = |rate: Rate| {
        let (low, high) = plan.timing().rates.minutes(rate);
        f64::midpoint(low, high)
    };
    let hundreds = plan.cell_cm2() * cells as f64 / 100.0;
    let patches = plan
        .tally()
        .iter()
        .find(|tally| tally.colour == colour)
        .map_or(0.0, |tally| (tally.patches * cells) as f64 / tally.cells as f64);
    middle(Rate::Coat) * hundreds + middle(Rate::Patch) * patches
}

/// A task, by its figure and its place there.
pub(super) type At = (usize, usize);

pub(super) struct Bench {
    figures: Vec<Figure>,
    /// The colours in the order of preference, and for each its tasks.
    jars: Vec<(Option<Rgb>, Vec<At>)>,
    pub(super) now: f64,
}

impl Bench {
    pub(super) fn new(todo: Todo<'_>, colours: &[Rgb]) -> Self {
        let copies = |figure: usize| (0..todo.figures[figure].copies).map(move |copy| (figure, copy));
        let all = (0..todo.figures.len()).flat_map(copies);
        let figures: Vec<Figure> = all.map(|(figure, copy)| Figure::new(todo, figure, copy)).collect();
        let order = std::iter::once(None).chain(colours.iter().copied().map(Some));
        let mut jars: Vec<(Option<Rgb>, Vec<At>)> = order.map(|colour| (colour, Vec::new())).collect();
        for (figure, each) in figures.iter().enumerate() {
            for (place, task) in each.tasks.iter().enumerate() {
                let jar = jars.iter_mut().find(|(colour, _)| *colour == task.colour());
                if let Some((_, tasks)) = jar {
                    tasks.push((figure, place));
                }
            }
        }
        Self { figures, jars, now: 0.0 }
    }

    /// Gives what a jar holds.
    pub(super) fn colour(&self, jar: usize) -> Option<Rgb> {
        self.jars[jar].0
    }

    /// Gives a task as the days list it.
    pub(super) fn work(&self, at: At) -> Work {
        let (figure, task) = (&self.figures[at.0], self.task(at));
        let (set, coat, _) = task.coat;
        let Task { cells, minutes, .. } = *task;
        Work { figure: figure.which.0, copy: figure.which.1, set, coat, cells, minutes }
    }

    /// Puts a coat on, now.
    pub(super) fn paint(&mut self, (figure, place): At) {
        self.now += self.figures[figure].tasks[place].minutes;
        self.figures[figure].paint(place, self.now);
    }

    /// Counts how often the brush changes when each figure is painted by itself.
    pub(super) fn changes(&self) -> usize {
        self.figures.iter().flat_map(|each| &each.tasks).filter(|task| !task.done).count()
    }

    /// Gives when all that is painted of a figure is dry; none when it has a coat to get.
    pub(super) fn finished(&self, place: usize) -> Option<f64> {
        let figure = &self.figures[place];
        figure.tasks.iter().all(|task| task.done).then_some(figure.dry)
    }

    fn task(&self, (figure, place): At) -> &Task {
        &self.figures[figure].tasks[place]
    }

    /// Gives when a task can be painted; none while it waits for others.
    fn from(&self, at: At) -> Option<f64> {
        let (figure, task) = (&self.figures[at.0], self.task(at));
        figure.is_due(task).then(|| figure.from(task))
    }

    /// Finds the first task of a jar that can be painted now.
    pub(super) fn ready(&self, jar: usize) -> Option<At> {
        self.jars[jar].1.iter().copied().find(|&at| self.from(at).is_some_and(|from| from <= self.now))
    }

    /// Chooses the jar to open next; none when nothing can be painted now.
    pub(super) fn next(&self) -> Option<usize> {
        let share = |jar: usize| {
            let open = self.jars[jar].1.iter().copied().filter(|&at| !self.task(at).done);
            let (mut all, mut ready) = (0_usize, 0_usize);
            for at in open {
                // Only the next coat of each set counts: those above it can never be ready.
                let task = self.task(at);
                let next = self.figures[at.0].tasks.iter().all(|other| {
                    other.done
                        || (other.colour(), other.stage) != (task.colour(), task.stage)
                        || other.coat.1 >= task.coat.1
                });
                all += usize::from(next);
                ready += usize::from(self.from(at).is_some_and(|from| from <= self.now));
            }
            (ready > 0).then(|| ready as f64 / all as f64)
        };
        let shares = (0..self.jars.len()).filter_map(|jar| Some((share(jar)?, jar)));
        shares.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1))).map(|(_, jar)| jar)
    }

    /// Gives when something will be dry enough to go on; none when all is done.
    pub(super) fn dry(&self) -> Option<f64> {
        let open = self.jars.iter().flat_map(|(_, tasks)| tasks).filter_map(|&at| self.from(at));
        open.reduce(f64::min)
    }

    pub(super) fn over_night(&mut self) {
        self.now = 0.0;
        for figure in &mut self.figures {
            (figure.dry, figure.last) = (f64::NEG_INFINITY, None);
        }
    }
}
