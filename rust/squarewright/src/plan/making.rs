//! How the figure is made and finished.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::outline::Marking;
use crate::panel::Hand;

/// How a figure ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ending {
    /// The figure is cut out along its outline.
    #[default]
    CutOut,
    /// The board stays whole: the bare cells are painted too, and it may be framed.
    WholeSquare,
}

/// Where the colours come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paints {
    /// They are mixed to match.
    #[default]
    Mixed,
    /// The nearest paint is used straight from its bottle.
    FromTheBottle,
}

/// What the sheets for transferring the outline show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Transfer {
    /// The outline, to trace or to rub through.
    Outline,
    /// The outline with dots along it, to prick and pounce.
    Dots,
}

/// The choices that decide which steps and sheets a plan has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Making {
    /// How the figure ends.
    pub ending: Ending,
    /// Whether card is glued behind it.
    pub backing: bool,
    /// Whether its edges are painted.
    pub edges: bool,
    /// Where the colours come from.
    pub paints: Paints,
    /// The hand that holds brush and knife.
    #[serde(default)]
    pub hand: Hand,
    /// Which lines of the grid are marked and drawn.
    #[serde(default)]
    pub marking: Marking,
    /// What the sheets for transferring the outline show; none when there are none, as edge strips or marks do.
    #[serde(default)]
    pub transfer: Option<Transfer>,
    /// The colour of the raw board, if cells of that colour are left unpainted.
    pub raw: Option<Rgb>,
    /// The colour of the bare cells of a whole square, if it is decided.
    pub ground: Option<Rgb>,
}

impl Default for Making {
    fn default() -> Self {
        Self {
            ending: Ending::CutOut,
            backing: true,
            edges: true,
            paints: Paints::Mixed,
            hand: Hand::Right,
            marking: Marking::All,
            transfer: None,
            raw: None,
            ground: None,
        }
    }
}

impl FromStr for Ending {
    type Err = Error;

    /// Reads `cut out` or `whole square`.
    fn from_str(text: &str) -> Result<Self> {
        choose("ending", text, [("cut out", Self::CutOut), ("whole square", Self::WholeSquare)])
    }
}

impl FromStr for Paints {
    type Err = Error;

    /// Reads `mixed` or `from the bottle`.
    fn from_str(text: &str) -> Result<Self> {
        choose("paints", text, [("mixed", Self::Mixed), ("from the bottle", Self::FromTheBottle)])
    }
}

impl FromStr for Transfer {
    type Err = Error;

    /// Reads `outline` or `dots`.
    fn from_str(text: &str) -> Result<Self> {
        choose("transfer", text, [("outline", Self::Outline), ("dots", Self::Dots)])
    }
}

fn choose<T: Copy>(name: &'static str, text: &str, choices: [(&str, T); 2]) -> Result<T> {
    let found = choices.iter().find(|(word, _)| *word == text).map(|&(_, choice)| choice);
    let must = || format!("{:?} or {:?}", choices[0].0, choices[1].0);
    found.ok_or_else(|| Error::Argument { name, must: must(), got: format!("{text:?}") })
}
