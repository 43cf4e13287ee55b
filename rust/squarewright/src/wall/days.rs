//! Painting days: which jar is open when, and for which figures.
//!
//! A jar that is opened goes round all figures that are ready for it, so that it is opened few times and the
//! brush is washed seldom; while one figure dries, others are painted. The rules are those of a single figure
//! (`paint::order`): white below first and dry; the outline before the inside or after it; a coat only over a
//! dry one; colours of different families never side by side while one is wet. Over night everything dries.
//!
//! Which jar is next: the one with the largest share of its figures ready, then white below, then the lighter
//! colour. It is a rule of thumb: no order is tried against others.

use serde::{Deserialize, Serialize};

use super::WallFigure;
use crate::colour::{Family, Rgb, family};
use crate::fault::{Result, Watch};
use crate::paint::{Pass, Set};
use crate::plan::{Plan, Rate};

/// One coat of one colour on one figure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Work {
    /// Which figure, by its place.
    pub figure: usize,
    /// Which of its copies, from 0.
    pub copy: usize,
    /// What is painted of it.
    pub set: Set,
    /// Which coat it is, from 1 on.
    pub coat: u32,
    /// How many cells.
    pub cells: usize,
    /// How long it takes, in minutes.
    pub minutes: f64,
}

/// A jar that is open for some time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Opening {
    /// The colour; none for the white below others.
    pub colour: Option<Rgb>,
    /// Minutes in which nothing can be painted before it: time for marking, cutting or gluing.
    pub gap: f64,
    /// Minutes to wash the brush and to open it.
    pub change: f64,
    /// What is painted.
    pub work: Vec<Work>,
}

impl Opening {
    /// Adds up the minutes, those before it among them.
    pub fn minutes(&self) -> f64 {
        self.gap + self.change + self.work.iter().map(|work| work.minutes).sum::<f64>()
    }
}

/// A day at the bench.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Day {
    /// The jars in order.
    pub openings: Vec<Opening>,
}

impl Day {
    /// Adds up the minutes.
    pub fn minutes(&self) -> f64 {
        self.openings.iter().map(Opening::minutes).sum()
    }
}

/// All painting days.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Days {
    /// Hours at work on one day, at the most; a single coat that takes longer has a day to itself.
    pub hours: f64,
    /// The days in order.
    pub days: Vec<Day>,
    /// How often the brush changes colour when each figure is painted by itself.
    pub changes_before: usize,
    /// How often it does on these days.
    pub changes_after: usize,
}

/// The time that a figure needs to dry and what it waits for.
#[derive(Debug)]
struct Figure {
    /// When it is dry again.
    dry: f64,
    /// What was painted last: of colours that are mixed from each other, one follows the other.
    last: Option<(Set, u32, Family)>,
    wait: f64,
    tasks: Vec<Task>,
}

#[derive(Debug)]
struct Task {
    colour: Option<Rgb>,
    /// Which of the sets of its figure it belongs to, in order.
    stage: usize,
    /// The colours that white goes under.
    under: Vec<Rgb>,
    work: Work,
    done: bool,
}

impl Figure {
    fn new(plan: &Plan, figure: usize, copy: usize) -> Self {
        let (mut tasks, mut stages) = (Vec::new(), Vec::new());
        for pass in plan.passes() {
            if !stages.contains(&pass.set) {
                stages.push(pass.set);
            }
            let stage = stages.len() - 1;
            let work = |cells, minutes| Work { figure, copy, set: pass.set, coat: pass.coat, cells, minutes };
            if pass.set == Set::Undercoat {
                let minutes = pass.colours.iter().map(|&(colour, cells)| minutes(plan, colour, cells)).sum();
                let under = pass.colours.iter().map(|&(colour, _)| colour).collect();
                let work = work(pass.cells(), minutes);
                tasks.push(Task { colour: None, stage, under, work, done: false });
            } else {
                tasks.extend(pass.colours.iter().map(|&(colour, cells)| {
                    let work = work(cells, minutes(plan, colour, cells));
                    Task { colour: Some(colour), stage, under: Vec::new(), work, done: false }
                }));
            }
        }
        let wait = f64::from(plan.painting().ordering.wait.1);
        Self { dry: f64::NEG_INFINITY, last: None, wait, tasks }
    }

    /// Tells whether nothing but drying keeps a task back.
    fn is_due(&self, task: &Task) -> bool {
        let waits_for = |other: &Task| match (task.colour, other.colour) {
            _ if other.done => false,
            (None, _) => false,
            (Some(colour), None) => other.under.contains(&colour),
            (own, its) if other.stage == task.stage => own == its && other.work.coat < task.work.coat,
            _ => other.stage < task.stage,
        };
        !task.done && !self.tasks.iter().any(waits_for)
    }

    /// Gives the time from which on a task that is due can be painted.
    fn from(&self, task: &Task) -> f64 {
        let Work { set, coat, .. } = task.work;
        let alike = task.colour.map(|colour| (set, coat, family(colour)));
        // Shades of one family are open together and run into each other as they please.
        if alike.is_some() && alike == self.last { f64::NEG_INFINITY } else { self.dry }
    }

    fn paint(&mut self, place: usize, end: f64) {
        let task = &mut self.tasks[place];
        task.done = true;
        self.dry = end + self.wait;
        let Work { set, coat, .. } = task.work;
        self.last = task.colour.map(|colour| (set, coat, family(colour)));
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
type At = (usize, usize);

struct Bench {
    figures: Vec<Figure>,
    /// The colours in the order of preference, and for each its tasks.
    jars: Vec<(Option<Rgb>, Vec<At>)>,
    now: f64,
}

impl Bench {
    fn new(figures: &[WallFigure], colours: &[Rgb]) -> Self {
        let copies = figures
            .iter()
            .enumerate()
            .flat_map(|(place, each)| (0..each.copies).map(move |copy| Figure::new(&each.plan, place, copy)));
        let figures: Vec<Figure> = copies.collect();
        let order = std::iter::once(None).chain(colours.iter().copied().map(Some));
        let mut jars: Vec<(Option<Rgb>, Vec<At>)> = order.map(|colour| (colour, Vec::new())).collect();
        for (figure, each) in figures.iter().enumerate() {
            for (place, task) in each.tasks.iter().enumerate() {
                let jar = jars.iter_mut().find(|(colour, _)| *colour == task.colour);
                if let Some((_, tasks)) = jar {
                    tasks.push((figure, place));
                }
            }
        }
        Self { figures, jars, now: 0.0 }
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
    fn ready(&self, jar: usize) -> Option<At> {
        self.jars[jar].1.iter().copied().find(|&at| self.from(at).is_some_and(|from| from <= self.now))
    }

    /// Chooses the jar to open next; none when nothing can be painted now.
    fn next(&self) -> Option<usize> {
        let share = |jar: usize| {
            let open = self.jars[jar].1.iter().copied().filter(|&at| !self.task(at).done);
            let (mut all, mut ready) = (0_usize, 0_usize);
            for at in open {
                // Only the next coat of each set counts: those above it can never be ready.
                let task = self.task(at);
                let next = self.figures[at.0].tasks.iter().all(|other| {
                    other.done
                        || (other.colour, other.stage) != (task.colour, task.stage)
                        || other.work.coat >= task.work.coat
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
    fn dry(&self) -> Option<f64> {
        let open = self.jars.iter().flat_map(|(_, tasks)| tasks).filter_map(|&at| self.from(at));
        open.reduce(f64::min)
    }

    fn over_night(&mut self) {
        self.now = 0.0;
        for figure in &mut self.figures {
            (figure.dry, figure.last) = (f64::NEG_INFINITY, None);
        }
    }
}

/// Plans the painting days.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
pub(super) fn days(figures: &[WallFigure], colours: &[Rgb], hours: f64, watch: &dyn Watch) -> Result<Days> {
    let count = |pass: &Pass| if pass.set == Set::Undercoat { 1 } else { pass.colours.len() };
    let changes = |each: &WallFigure| each.copies * each.plan.passes().iter().map(count).sum::<usize>();
    let change = figures.first().map_or(0.0, |each| {
        let (low, high) = each.plan.timing().rates.minutes(Rate::Change);
        f64::midpoint(low, high)
    });
    let mut bench = Bench::new(figures, colours);
    let mut days = Vec::new();
    while bench.dry().is_some() {
        watch.check(0.0)?;
        let day = day(&mut bench, hours * 60.0, change);
        days.push(day);
        bench.over_night();
    }
    let changes_after = days.iter().map(|day: &Day| day.openings.len()).sum();
    Ok(Days { hours, days, changes_before: figures.iter().map(changes).sum(), changes_after })
}

fn day(bench: &mut Bench, limit: f64, change: f64) -> Day {
    let mut day = Day::default();
    let mut gap = 0.0;
    loop {
        let Some(jar) = bench.next() else {
            // Whoever waits longer than the day lasts stops for today.
            let Some(dry) = bench.dry().filter(|&dry| dry < limit) else { return day };
            gap += dry - bench.now;
            bench.now = dry;
            continue;
        };
        let start = bench.now;
        bench.now += change;
        let mut opening = Opening { colour: bench.jars[jar].0, gap, change, work: Vec::new() };
        let mut is_full = false;
        while let Some((figure, place)) = bench.ready(jar) {
            let work = bench.figures[figure].tasks[place].work;
            let is_first = day.openings.is_empty() && opening.work.is_empty();
            is_full = bench.now + work.minutes > limit && !is_first;
            if is_full {
                break;
            }
            bench.now += work.minutes;
            let end = bench.now;
            bench.figures[figure].paint(place, end);
            opening.work.push(work);
        }
        if opening.work.is_empty() {
            bench.now = start;
        } else {
            day.openings.push(opening);
        }
        gap = 0.0;
        if is_full {
            return day;
        }
    }
}
