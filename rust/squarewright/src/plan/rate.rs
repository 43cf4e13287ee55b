//! How long things take: one rate for each kind of work.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::fault::{Error, Result};

/// A kind of work that goes at a rate of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rate {
    /// Getting board, paint and tools together.
    Gather,
    /// A small thing to do before the marks.
    Prepare,
    /// A mark.
    Mark,
    /// A grid line.
    Line,
    /// A metre of outline and borders to trace.
    Trace,
    /// A row to check.
    Check,
    /// A colour to mix.
    Mix,
    /// A bottle to choose.
    Choose,
    /// A hundred square centimetres of one coat.
    Coat,
    /// A patch in one coat.
    Patch,
    /// A change of colour.
    Change,
    /// A metre of borders to go round.
    Border,
    /// A cut of any length.
    Stroke,
    /// A metre of one light cut.
    Knife,
    /// A metre of card to cut.
    Card,
    /// A hundred square centimetres of glue.
    Glue,
    /// Laying the figure on its card and the weights on both.
    Press,
    /// Glue that dries under weights.
    Dry,
    /// A metre of card to trim.
    Trim,
    /// A metre of edges in one coat.
    Edge,
    /// Putting a square into its frame.
    Frame,
    /// Putting it on the wall.
    Hang,
}

impl Rate {
    /// All of them, in the order of the job.
    pub const ALL: [Self; 22] = [
        Self::Gather,
        Self::Prepare,
        Self::Mark,
        Self::Line,
        Self::Trace,
        Self::Check,
        Self::Mix,
        Self::Choose,
        Self::Coat,
        Self::Patch,
        Self::Change,
        Self::Border,
        Self::Stroke,
        Self::Knife,
        Self::Card,
        Self::Glue,
        Self::Press,
        Self::Dry,
        Self::Trim,
        Self::Edge,
        Self::Frame,
        Self::Hang,
    ];

    /// Gives its word, what it counts, and the minutes that this usually takes, low and high.
    ///
    /// Source: judgement, but for glue that dries overnight (common practice); a stage that was timed counts
    /// for more than any of them.
    pub fn usual(self) -> (&'static str, &'static str, (f64, f64)) {
        match self {
            Self::Gather => ("gather", "job", (30.0, 60.0)),
            Self::Prepare => ("prepare", "step", (2.0, 8.0)),
            Self::Mark => ("mark", "mark", (0.1, 0.3)),
            Self::Line => ("line", "line", (0.5, 1.5)),
            Self::Trace => ("trace", "metre", (2.0, 6.0)),
            Self::Check => ("check", "row", (0.3, 1.0)),
            Self::Mix => ("mix", "colour", (3.0, 8.0)),
            Self::Choose => ("choose", "colour", (1.0, 3.0)),
            Self::Coat => ("coat", "100 sq cm", (1.0, 3.0)),
            Self::Patch => ("patch", "patch", (0.2, 0.6)),
            Self::Change => ("change", "change", (2.0, 5.0)),
            Self::Border => ("border", "metre", (5.0, 15.0)),
            Self::Stroke => ("stroke", "cut", (0.3, 1.0)),
            Self::Knife => ("knife", "metre", (1.0, 3.0)),
            Self::Card => ("card", "metre", (3.0, 8.0)),
            Self::Glue => ("glue", "100 sq cm", (0.5, 1.5)),
            Self::Press => ("press", "job", (5.0, 15.0)),
            Self::Dry => ("dry", "job", (480.0, 1440.0)),
            Self::Trim => ("trim", "metre", (5.0, 12.0)),
            Self::Edge => ("edge", "metre", (2.0, 5.0)),
            Self::Frame => ("frame", "job", (20.0, 60.0)),
            Self::Hang => ("hang", "job", (20.0, 45.0)),
        }
    }

    /// Gives its word.
    pub fn word(self) -> &'static str {
        self.usual().0
    }

    /// Gives what it counts.
    pub fn unit(self) -> &'static str {
        self.usual().1
    }
}

impl FromStr for Rate {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let words = Self::ALL.map(Self::word).join(", ");
        Self::ALL.into_iter().find(|rate| rate.word() == text).ok_or_else(|| Error::Argument {
            name: "rates",
            must: format!("one of {words}"),
            got: format!("{text:?}"),
        })
    }
}

/// Rates that the maker changed; all others are as usual.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Rates(Vec<(Rate, (f64, f64))>);

impl Rates {
    /// Gives the minutes for one of what a rate counts, low and high.
    pub fn minutes(&self, rate: Rate) -> (f64, f64) {
        let own = self.0.iter().find(|(known, _)| *known == rate);
        own.map_or(rate.usual().2, |&(_, minutes)| minutes)
    }

    /// Changes a rate.
    ///
    /// # Errors
    /// [`Error::Argument`] for minutes below zero, without end or out of order.
    pub fn with(mut self, rate: Rate, (low, high): (f64, f64)) -> Result<Self> {
        if !(0.0 <= low && low <= high && high.is_finite()) {
            let must = "low and high minutes in this order, zero or more".into();
            let got = format!("({low}, {high}) for {:?}", rate.word());
            return Err(Error::Argument { name: "rates", must, got });
        }
        self.0.retain(|(known, _)| *known != rate);
        self.0.push((rate, (low, high)));
        Ok(self)
    }

    /// Passes rates that were read back.
    ///
    /// # Errors
    /// As [`Rates::with`].
    pub fn checked(self) -> Result<Self> {
        self.0.into_iter().try_fold(Self::default(), |rates, (rate, minutes)| rates.with(rate, minutes))
    }
}
