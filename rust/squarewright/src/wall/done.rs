//! What is done of a wall: steps and coats, by figure and copy.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::WallFigure;
use super::bench::tasks;
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::paint::Set;
use crate::plan::{Plan, Stage, Step};

/// What is done, by the names of the figures: for each copy the words of steps, stages and coats.
///
/// A stage stands for all of its steps; a word that is a step and a stage means the step. A coat is written as
/// `undercoat 1`, `outline 1 #26301c` or `inside 2 #5b7a3a`. Figures that the wall does not have may be named, and
/// steps and coats that a figure does not have any more: what is done stays done.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Done(pub BTreeMap<String, Vec<BTreeSet<String>>>);

/// A coat of one colour on a figure; white under others has no colour.
pub(super) type Coat = (Set, u32, Option<Rgb>);

impl Done {
    /// Passes what is said in words that are known.
    ///
    /// # Errors
    /// [`Error::Argument`] for a word that is no step, no stage and no coat.
    pub fn checked(self) -> Result<Self> {
        let known = |word: &str| {
            Step::ALL.iter().any(|step| step.word() == word) || word.parse::<Stage>().is_ok() || is_coat(word)
        };
        let words =
            self.0.iter().flat_map(|(name, copies)| copies.iter().flatten().map(move |word| (name, word)));
        for (name, word) in words {
            if !known(word) {
                let steps: Vec<&str> = Step::ALL.iter().map(|step| step.word()).collect();
                let must =
                    format!("steps ({}), stages, or coats such as \"inside 2 #5b7a3a\"", steps.join(", "));
                return Err(Error::Argument { name: "progress", must, got: format!("{word:?} of {name}") });
            }
        }
        Ok(self)
    }

    /// Forgets what was done to the board and the card of one copy.
    pub(super) fn forget(&mut self, name: &str, copy: usize) {
        let away = [Step::Gather, Step::CheckPrint, Step::Mix, Step::Choose].map(Step::word);
        if let Some(words) = self.0.get_mut(name).and_then(|copies| copies.get_mut(copy)) {
            words.retain(|word| away.contains(&&**word));
        }
    }

    /// Gives what is done of one copy, from 0.
    pub(super) fn of(&self, name: &str, copy: usize) -> Copy<'_> {
        Copy(self.0.get(name).and_then(|copies| copies.get(copy)))
    }
}

/// Writes a coat as [`Done`] reads it.
pub fn coat_word(set: Set, coat: u32, colour: Option<Rgb>) -> String {
    let set = match set {
        Set::Undercoat => "undercoat",
        Set::Outline => "outline",
        Set::Inside => "inside",
    };
    colour.map_or_else(|| format!("{set} {coat}"), |colour| format!("{set} {coat} {colour}"))
}

fn is_coat(word: &str) -> bool {
    let mut parts = word.split(' ');
    let set = parts.next();
    let coat = parts.next().and_then(|count| count.parse::<u32>().ok());
    let colour = parts.next().map(|code| code.starts_with('#') && code.parse::<Rgb>().is_ok());
    let is_whole = parts.next().is_none() && coat.is_some();
    is_whole && matches!((set, colour), (Some("undercoat"), None) | (Some("outline" | "inside"), Some(true)))
}

/// What is done of one copy of a figure.
#[derive(Debug, Clone, Copy)]
pub(super) struct Copy<'a>(Option<&'a BTreeSet<String>>);

impl Copy<'_> {
    fn says(self, word: &str) -> bool {
        self.0.is_some_and(|words| words.contains(word))
    }

    /// Tells whether a step is said to be done.
    pub(super) fn has(self, step: Step) -> bool {
        let stage = step.stage().word();
        let is_step = Step::ALL.iter().any(|step| step.word() == stage);
        self.says(step.word()) || !is_step && self.says(stage)
    }

    /// Tells whether a coat is on it.
    pub(super) fn painted(self, (set, coat, colour): Coat) -> bool {
        self.has(Step::StartPainting) || self.says(&coat_word(set, coat, colour))
    }

    /// Tells whether anything was painted, or one colour.
    pub(super) fn used(self, colour: Option<Rgb>) -> bool {
        let end = colour.map_or_else(String::new, |colour| format!(" {colour}"));
        let coat = |word: &String| is_coat(word) && word.ends_with(&end);
        self.has(Step::StartPainting) || self.0.is_some_and(|words| words.iter().any(coat))
    }

    /// Tells whether its board is in use.
    pub(super) fn on_board(self) -> bool {
        let away = [Step::Gather, Step::CheckPrint, Step::Mix, Step::Choose, Step::CutCard];
        self.used(None) || Step::ALL.iter().any(|&step| !away.contains(&step) && self.has(step))
    }

    /// Tells whether its shape is on the board: marked, or anything that comes after it.
    pub(super) fn is_drawn(self) -> bool {
        let before = [Step::MeasureBoard, Step::ChooseStart, Step::Prime, Step::PrimerDry];
        let away = [Step::Gather, Step::CheckPrint, Step::Mix, Step::Choose, Step::CutCard];
        let drawn = |step: &Step| !before.contains(step) && !away.contains(step) && self.has(*step);
        self.used(None) || Step::ALL.iter().any(drawn)
    }
}

/// The figures of a wall with what is left to do of each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Todo<'a> {
    pub(super) figures: &'a [WallFigure],
    pub(super) done: &'a Done,
}

impl<'a> Todo<'a> {
    /// Gives what is done of one copy.
    pub(super) fn of(self, figure: usize, copy: usize) -> Copy<'a> {
        self.done.of(&self.figures[figure].name, copy)
    }

    /// Counts the copies of a figure that have a step to do.
    pub(super) fn count(self, figure: usize, step: Step) -> usize {
        (0..self.figures[figure].copies).filter(|&copy| self.is_open(figure, copy, step)).count()
    }

    /// Tells whether a copy has a step to do; painting is done when all of its coats are on.
    pub(super) fn is_open(self, figure: usize, copy: usize, step: Step) -> bool {
        let own = self.of(figure, copy);
        if own.has(step) {
            return false;
        }
        step != Step::StartPainting || open_share(&self.figures[figure].plan, own) > 0.0
    }
}

/// Gives the share of the painting of a figure that is left, by the minutes of its coats.
pub(super) fn open_share(plan: &Plan, own: Copy<'_>) -> f64 {
    if own.has(Step::StartPainting) {
        return 0.0;
    }
    if !own.used(None) {
        return 1.0;
    }
    let (mut all, mut open) = (0.0, 0.0);
    for task in tasks(plan) {
        all += task.minutes;
        open += if own.painted(task.coat) { 0.0 } else { task.minutes };
    }
    if all > 0.0 { open / all } else { 0.0 }
}
