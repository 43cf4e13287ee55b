//! The whole job as steps with their minutes: hands at work, and waiting for paint and glue.

use serde::{Deserialize, Serialize};

use super::{Plan, Rate, Rates, Stage, Step};
use crate::colour::Rgb;
use crate::cut::{Cutting, Totals};
use crate::fault::{Error, Result};
use crate::outline::Arc;
use crate::paint::Set;

/// Minutes, low and high.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Minutes {
    /// At a good pace.
    pub low: f64,
    /// At an easy one.
    pub high: f64,
}

impl Minutes {
    fn plus(self, (low, high): (f64, f64), times: f64) -> Self {
        Self { low: self.low + low * times, high: self.high + high * times }
    }

    pub(crate) fn and(self, other: Self) -> Self {
        self.plus((other.low, other.high), 1.0)
    }

    fn middle(self) -> f64 {
        f64::midpoint(self.low, self.high)
    }

    pub(crate) fn times(self, factor: f64) -> Self {
        Self::default().plus((self.low, self.high), factor)
    }
}

/// A step or a stage with its minutes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Timed<T> {
    /// What it is.
    pub what: T,
    /// Hands at work.
    pub work: Minutes,
    /// Waiting until the next can follow.
    pub wait: Minutes,
}

/// The minutes of a whole job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hours {
    /// Step by step, in order.
    pub steps: Vec<Timed<Step>>,
    /// Stage by stage, in order.
    pub stages: Vec<Timed<Stage>>,
    /// What all stages that were timed took, over the middle of what was reckoned for them; 1 before that.
    pub pace: f64,
}

impl Hours {
    /// Adds up hands at work and waiting.
    pub fn total(&self) -> Timed<()> {
        let none = Timed { what: (), work: Minutes::default(), wait: Minutes::default() };
        self.stages.iter().fold(none, |sum, stage| Timed {
            what: (),
            work: sum.work.and(stage.work),
            wait: sum.wait.and(stage.wait),
        })
    }
}

/// What the maker says about time.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Timing {
    /// Rates of the maker's own.
    pub rates: Rates,
    /// Stages that were timed, with the minutes of work that they took.
    pub taken: Vec<(Stage, f64)>,
}

impl Plan {
    /// Reckons every other stage by what one really took.
    ///
    /// # Errors
    /// [`Error::Argument`] for a stage that the job does not have, and for minutes of zero, below or without end.
    pub fn with_rate(self, stage: Stage, minutes: f64) -> Result<Self> {
        let stages = self.stages();
        if !stages.contains(&stage) {
            let words: Vec<&str> = stages.into_iter().map(Stage::word).collect();
            let must = format!("a stage of this plan ({})", words.join(", "));
            return Err(Error::Argument { name: "stage", must, got: format!("{:?}", stage.word()) });
        }
        if !(minutes > 0.0 && minutes.is_finite()) {
            let must = "above zero".into();
            return Err(Error::Argument { name: "minutes", must, got: minutes.to_string() });
        }
        let mut timing = self.timing().clone();
        timing.taken.retain(|(known, _)| *known != stage);
        timing.taken.push((stage, minutes));
        Ok(self.with_timing(timing))
    }

    /// Lists the steps of the whole job, in order.
    pub fn steps(&self) -> Vec<Step> {
        Step::all(self.making(), self.amounts().primer.coats > 0)
    }

    /// Reckons the minutes of every step and stage: those of a stage that was timed as they were, all others at
    /// the pace of those that were timed. Paint and glue dry no faster for that.
    pub fn hours(&self) -> Hours {
        let plain: Vec<Timed<Step>> = self.steps().into_iter().map(|step| self.timed(step)).collect();
        let work = |stage: Stage| {
            let own = plain.iter().filter(|step| step.what.stage() == stage);
            own.fold(Minutes::default(), |sum, step| sum.and(step.work))
        };
        let taken = &self.timing().taken;
        let (real, reckoned) = taken.iter().fold((0.0, 0.0), |(real, reckoned), &(stage, minutes)| {
            (real + minutes, reckoned + work(stage).middle())
        });
        let pace = if reckoned > 0.0 { real / reckoned } else { 1.0 };
        let paced = |step: &Timed<Step>| {
            let stage = step.what.stage();
            let own = taken.iter().find(|(known, _)| *known == stage).map(|&(_, minutes)| minutes);
            let work = match own {
                Some(minutes) => share(step.work, work(stage), minutes),
                None => step.work.times(pace),
            };
            Timed { work, ..*step }
        };
        let steps: Vec<Timed<Step>> = plain.iter().map(paced).collect();
        let stage = |what: Stage| {
            let own = steps.iter().filter(|step| step.what.stage() == what);
            let none = Timed { what, work: Minutes::default(), wait: Minutes::default() };
            own.fold(none, |sum, step| Timed {
                what,
                work: sum.work.and(step.work),
                wait: sum.wait.and(step.wait),
            })
        };
        let stages = self.stages().into_iter().map(stage).collect();
        Hours { steps, stages, pace }
    }

    fn timed(&self, step: Step) -> Timed<Step> {
        let work = self.work(step).into_iter().fold(Minutes::default(), |sum, (rate, count)| {
            sum.plus(self.timing().rates.minutes(rate), count)
        });
        Timed { what: step, work, wait: self.wait(step) }
    }

    /// Gives how much of which work a step is.
    fn work(&self, step: Step) -> Vec<(Rate, f64)> {
        let fit = self.fit();
        let count = |number: usize| number as f64;
        let marked = self.marked();
        // sparse marking may draw fewer than the four sides of a piece
        let outer = (fit.pieces.len() * 4).min(marked.lines);
        match step {
            Step::Gather => vec![(Rate::Gather, 1.0)],
            Step::CheckPrint | Step::MeasureBoard | Step::ChooseStart => vec![(Rate::Prepare, 1.0)],
            Step::Prime => {
                let primer = self.amounts().primer;
                vec![(Rate::Coat, hundreds(primer.area) * f64::from(primer.coats))]
            }
            Step::MarkAllRound => vec![(Rate::Mark, count(marked.marks))],
            Step::InnerLines => vec![(Rate::Line, count(marked.lines - outer))],
            Step::OuterLines => vec![(Rate::Line, count(outer))],
            Step::TraceOutline => vec![(Rate::Trace, self.metres(self.outline().silhouette()))],
            Step::TraceBorders => vec![(Rate::Trace, self.metres(self.outline().inner_lines()))],
            Step::CheckTracing => vec![(Rate::Check, count(fit.rows))],
            Step::Mix => vec![(Rate::Mix, count(self.amounts().jars.len()))],
            Step::Choose => vec![(Rate::Choose, count(self.amounts().jars.len()))],
            Step::StartPainting => self.painting_work(),
            Step::CleanUp => vec![(Rate::Border, self.metres(self.outline().inner_lines()))],
            Step::Cut => self.cutting_work(),
            Step::CutCard => self.backed_work(|backing| vec![(Rate::Card, backing.cut_mm() / 1e3)]),
            Step::Glue => self
                .backed_work(|backing| vec![(Rate::Glue, hundreds(backing.glued_mm2())), (Rate::Press, 1.0)]),
            Step::Trim => self.backed_work(|backing| vec![(Rate::Trim, backing.trim_mm() / 1e3)]),
            Step::PaintEdges => {
                let coats = |colour: Rgb| self.coats(colour).0;
                let edges = self.edges();
                vec![(Rate::Edge, edges.iter().map(|edge| edge.mm / 1e3 * coats(edge.colour)).sum())]
            }
            Step::Frame => vec![(Rate::Frame, 1.0)],
            Step::Hang => vec![(Rate::Hang, 1.0)],
            Step::PrimerDry | Step::PaintDry | Step::GlueDry | Step::EdgesDry => Vec::new(),
        }
    }

    fn backed_work(&self, of: impl Fn(&crate::cut::Backing) -> Vec<(Rate, f64)>) -> Vec<(Rate, f64)> {
        self.backing().map_or_else(Vec::new, of)
    }

    /// Gives the minutes of waiting that a step is.
    fn wait(&self, step: Step) -> Minutes {
        let (least, most) = self.painting().ordering.wait;
        let once = (f64::from(least), f64::from(most));
        let times = match step {
            Step::PrimerDry => f64::from(self.amounts().primer.coats),
            Step::PaintDry => self.passes().len() as f64,
            Step::EdgesDry => self.edges().iter().map(|edge| self.coats(edge.colour).0).fold(0.0, f64::max),
            Step::GlueDry => return Minutes::default().plus(self.timing().rates.minutes(Rate::Dry), 1.0),
            _ => 0.0,
        };
        Minutes::default().plus(once, times)
    }

    /// Gives the coats of a colour, without and with the white below.
    fn coats(&self, colour: Rgb) -> (f64, f64) {
        let jar = self.amounts().jars.iter().find(|jar| jar.colour == colour);
        jar.map_or((0.0, 0.0), |jar| {
            let own = f64::from(jar.coats);
            (own, own + f64::from(u8::from(jar.undercoat)))
        })
    }

    fn painting_work(&self) -> Vec<(Rate, f64)> {
        let faces = self.painted_areas();
        let coats = faces.iter().map(|area| hundreds(area.face) * self.coats(area.colour).1).sum();
        let (mut patches, mut changes) = (0.0, 0.0);
        for pass in self.passes() {
            for &(colour, cells) in &pass.colours {
                let tally = self.tally().iter().find(|tally| tally.colour == colour);
                // A pass over some of the cells goes over as many of the patches.
                patches += tally.map_or(1.0, |tally| (tally.patches * cells) as f64 / tally.cells as f64);
            }
            // The undercoat is one white below all colours.
            changes += if pass.set == Set::Undercoat { 1.0 } else { pass.colours.len() as f64 };
        }
        vec![(Rate::Coat, coats), (Rate::Patch, patches), (Rate::Change, changes)]
    }

    fn cutting_work(&self) -> Vec<(Rate, f64)> {
        let cutting = self.cuts().map_or_else(Cutting::default, |cuts| cuts.cutting);
        let light = cutting.light_cuts(cutting.thickness.unwrap_or(self.thickness())) as f64;
        let (cuts, metres) = if let Some(cuts) = self.cuts() {
            let Totals { coarse, bays, outline, .. } = cuts.totals();
            // A panel whose strokes are too many to list has them in its totals.
            let listed = cuts.panels.iter().map(|panel| panel.cuts.len().max(panel.totals.strokes));
            (listed.sum::<usize>() as f64, (coarse + bays + outline).mm() / 1e3)
        } else {
            let runs: usize = self.outline().silhouette().map(|arc| arc.runs.len()).sum();
            (runs as f64, self.metres(self.outline().silhouette()))
        };
        vec![(Rate::Stroke, cuts), (Rate::Knife, metres * light)]
    }

    fn metres<'a>(&self, arcs: impl Iterator<Item = &'a Arc>) -> f64 {
        let cracks: usize = arcs.flat_map(|arc| &arc.runs).map(|run| run.length).sum();
        self.fit().pitch.mm() * cracks as f64 / 1e3
    }
}

/// Gives the share of a step in the minutes that its stage took.
fn share(step: Minutes, stage: Minutes, minutes: f64) -> Minutes {
    let part = if stage.middle() > 0.0 { step.middle() / stage.middle() } else { 0.0 };
    Minutes { low: part * minutes, high: part * minutes }
}

/// Counts hundreds of square centimetres.
fn hundreds(mm2: f64) -> f64 {
    mm2 / 1e4
}
