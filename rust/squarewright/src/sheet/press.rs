//! How a book is printed: on which paper, in which language, how large and in which ink.

use std::str::FromStr;

use super::book::Pages;
use super::paper::Paper;
use super::stretch::Stretch;
use super::text::{Style, Type};
use super::words::{Language, Reader};
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::length::{Area, Length, Place, System};
use crate::plan::Plan;
use crate::wall::Sight;

/// What the printer prints with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Inking {
    /// Colours.
    #[default]
    Colour,
    /// Greys, each as light as the colour it stands for.
    Grey,
}

/// Everything about printing that the plan does not know.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Press {
    /// The paper.
    pub paper: Paper,
    /// Which sheets there are.
    pub pages: Pages,
    /// The language of the words.
    pub language: Language,
    /// How lengths are read; none reads them as the ruler of the plan does.
    pub units: Option<System>,
    /// Whether words are set at 16 points and tables at 14.
    pub large_print: bool,
    /// What the printer prints with.
    pub ink: Inking,
    /// What makes up for a printer that does not print true.
    pub stretch: Stretch,
}

impl FromStr for Inking {
    type Err = Error;

    /// Reads `colour` or `grey`.
    fn from_str(text: &str) -> Result<Self> {
        match text {
            "colour" => Ok(Self::Colour),
            "grey" => Ok(Self::Grey),
            _ => {
                let must = "\"colour\" or \"grey\"".into();
                Err(Error::Argument { name: "ink", must, got: format!("{text:?}") })
            }
        }
    }
}

/// Office printers leave up to a quarter of an inch blank; half an inch is safe.
const SAFE: Length = Length::inches(1, 2);

impl Press {
    /// Gives the width and height of a page before it is stretched.
    pub fn size(&self) -> (Length, Length) {
        let (width, height) = self.paper.size();
        self.stretch.before(width, height)
    }

    /// Gives the part of a page that every printer reaches.
    pub fn safe_area(&self) -> Area {
        let (width, height) = self.size();
        let (left, top) = self.stretch.before(SAFE, SAFE);
        Area::new(Place::new(left, top), width - left * 2, height - top * 2)
    }

    /// Gives the words under a key.
    pub(crate) fn say(&self, key: &str) -> &'static str {
        self.language.say(key)
    }

    /// Gives the words under a key with each `{name}` filled in.
    pub(crate) fn fill(&self, key: &str, values: &[(&str, &dyn std::fmt::Display)]) -> String {
        self.language.fill(key, values)
    }

    /// Counts things in words that stay on one line.
    pub(super) fn counted(&self, what: &str, count: usize) -> String {
        self.language.counted(what, count)
    }

    /// Gives the words for a count of things, with each `{name}` and the `{count}` filled in.
    pub(crate) fn tell(&self, key: &str, count: usize, values: &[(&str, &dyn std::fmt::Display)]) -> String {
        self.language.tell(key, count, values)
    }

    /// Gives the ruler of a plan; lengths on paper are written by it alone.
    pub(super) fn ruler(&self, plan: &Plan) -> Reader {
        self.language.reader(plan.fit().ruler)
    }

    /// Writes a number with so many digits behind the decimal sign.
    pub(super) fn decimal(&self, value: f64, digits: usize) -> String {
        self.language.decimal(value, digits)
    }

    /// Writes a number with so many digits behind the decimal sign or fewer, without idle zeros.
    pub(super) fn number(&self, value: f64, digits: usize) -> String {
        self.language.number(value, digits)
    }

    /// Says from how far a wall is looked at.
    pub(crate) fn distance(&self, sight: Sight) -> String {
        let (feet, metres) = (sight.distance.mm() / 304.8, sight.distance.mm() / 1e3);
        self.fill(
            "wall-colours.from",
            &[("feet", &self.number(feet, 1)), ("metres", &self.number(metres, 1))],
        )
    }

    /// Writes millilitres as a hand can measure them: tenths for a few, else whole ones.
    pub(super) fn millilitres(&self, ml: f64) -> String {
        self.language.millilitres(ml)
    }

    /// Gives a paint the name that it has in a shop; paints of the maker's own keep theirs.
    pub(super) fn paint(&self, plan: &Plan, name: &str) -> String {
        if !plan.mixes().typical {
            return name.to_owned();
        }
        self.language.paint(name)
    }

    /// Gives the type in which words of a style are set.
    pub(super) fn set(&self, style: Style) -> Type {
        style.at_size(self.large_print)
    }

    /// Gives the colour that the ink can show.
    pub(super) fn inked(&self, colour: Rgb) -> Rgb {
        match self.ink {
            Inking::Colour => colour,
            Inking::Grey => colour.to_grey(),
        }
    }

    /// Gives the plan with its lengths read in the units of the book.
    pub(crate) fn measured(&self, plan: &Plan) -> Plan {
        match self.units {
            Some(units) if units != plan.fit().ruler.system() => plan.clone().read_in(units),
            _ => plan.clone(),
        }
    }
}
