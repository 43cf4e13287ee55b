//! Painting days: which jar is open when, and for which figures.
//!
//! A jar that is opened goes round all figures that are ready for it, so that it is opened few times and the
//! brush is washed seldom; while one figure dries, others are painted, and where all are wet there is other work
//! ([`meanwhile`](super::meanwhile)). Over night everything dries. All figures are primed, marked and traced
//! before the first day: a figure that waits for its marks could not share a jar.
//!
//! Which jar is next: the one with the largest share of its figures ready, then white below, then the lighter
//! colour. It is a rule of thumb: no order is tried against others.

use serde::{Deserialize, Serialize};

use super::Boards;
use super::bench::Bench;
use super::done::Todo;
use super::meanwhile::{Hands, Meanwhile};
use crate::colour::Rgb;
use crate::fault::{Result, Watch};
use crate::paint::Set;
use crate::plan::Rate;

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
    /// Minutes in which nothing can be painted before it.
    pub gap: f64,
    /// Other work for these minutes; less of it where there is no more.
    pub meanwhile: Vec<Meanwhile>,
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

/// Plans the painting days for what is left to do.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
pub(super) fn days(
    todo: Todo<'_>,
    boards: &Boards,
    (colours, hours): (&[Rgb], f64),
    watch: &dyn Watch,
) -> Result<Days> {
    let change = todo.figures.first().map_or(0.0, |each| {
        let (low, high) = each.plan.timing().rates.minutes(Rate::Change);
        f64::midpoint(low, high)
    });
    let mut bench = Bench::new(todo, colours);
    let mut hands = Hands::new(todo, boards);
    let changes_before = bench.changes();
    let mut days = Vec::new();
    while bench.dry().is_some() {
        watch.check(0.0)?;
        let day = day(&mut bench, &mut hands, hours * 60.0, change);
        days.push(day);
        bench.over_night();
        hands.over_night();
    }
    let changes_after = days.iter().map(|day: &Day| day.openings.len()).sum();
    Ok(Days { hours, days, changes_before, changes_after })
}

fn day(bench: &mut Bench, hands: &mut Hands, limit: f64, change: f64) -> Day {
    let mut day = Day::default();
    let (mut gap, mut meanwhile) = (0.0, Vec::new());
    loop {
        let Some(jar) = bench.next() else {
            // Whoever waits longer than the day lasts stops for today.
            let Some(dry) = bench.dry().filter(|&dry| dry < limit) else { return day };
            gap += dry - bench.now;
            meanwhile.extend(hands.work(bench, dry));
            bench.now = dry;
            continue;
        };
        let start = bench.now;
        bench.now += change;
        let colour = bench.colour(jar);
        let mut opening = Opening { colour, gap, meanwhile, change, work: Vec::new() };
        let mut is_full = false;
        while let Some(at) = bench.ready(jar) {
            let work = bench.work(at);
            let is_first = day.openings.is_empty() && opening.work.is_empty();
            is_full = bench.now + work.minutes > limit && !is_first;
            if is_full {
                break;
            }
            bench.paint(at);
            opening.work.push(work);
        }
        if opening.work.is_empty() {
            bench.now = start;
        } else {
            day.openings.push(opening);
        }
        (gap, meanwhile) = (0.0, Vec::new());
        if is_full {
            return day;
        }
    }
}
