//! In which order the colours are painted.
//!
//! White under what covers badly first. Then the outline, as a fence to paint inside, or the outline last, as a
//! dark line over dry edges: the maker's choice. Inside, light before dark, and the shades of a family one after
//! the other, so that its jars are open together (common practice).

use serde::{Deserialize, Serialize};

use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::palette::ramps;

/// What there is to paint in one colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Portion {
    /// The colour.
    pub colour: Rgb,
    /// Cells that draw the outline.
    pub outline: usize,
    /// All other cells.
    pub inside: usize,
    /// How many coats.
    pub coats: u32,
    /// Whether a white coat comes under it.
    pub undercoat: bool,
}

/// When the outline is painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Turn {
    /// Before the inside: the border is the fence to paint inside.
    #[default]
    First,
    /// After the inside: the dark line covers what went over an edge.
    Last,
}

impl std::str::FromStr for Turn {
    type Err = Error;

    /// Reads `first` or `last`.
    fn from_str(text: &str) -> Result<Self> {
        match text {
            "first" => Ok(Self::First),
            "last" => Ok(Self::Last),
            _ => {
                let must = "\"first\" or \"last\"".into();
                Err(Error::Argument { name: "outline", must, got: format!("{text:?}") })
            }
        }
    }
}

/// How the painting is ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Ordering {
    /// When the outline is painted.
    pub outline: Turn,
    /// Minutes until the next coat can follow, at the least and at the most; the label of the paint rules.
    pub wait: (u32, u32),
}

impl Default for Ordering {
    fn default() -> Self {
        Self { outline: Turn::First, wait: (20, 60) }
    }
}

/// What a pass paints.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Set {
    /// White, under the colours that are listed.
    Undercoat,
    /// The cells of the outline.
    Outline,
    /// The cells inside.
    Inside,
}

/// One coat of one set of jars, before the brush is washed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pass {
    /// What it paints.
    pub set: Set,
    /// Which coat it is, from 1 on.
    pub coat: u32,
    /// The colours in order, with the cells of each.
    pub colours: Vec<(Rgb, usize)>,
    /// Minutes to wait after it, at the least and at the most.
    pub wait: (u32, u32),
}

impl Pass {
    /// Counts its cells.
    pub fn cells(&self) -> usize {
        self.colours.iter().map(|&(_, cells)| cells).sum()
    }
}

/// Puts portions into passes: each a coat of one family, light to dark, with the drying after it.
pub fn order(portions: &[Portion], asked: &Ordering) -> Vec<Pass> {
    let mut passes = Vec::new();
    let under = portions.iter().filter(|portion| portion.undercoat);
    let under: Vec<(Rgb, usize)> =
        under.map(|portion| (portion.colour, portion.outline + portion.inside)).collect();
    if !under.is_empty() {
        passes.push(Pass { set: Set::Undercoat, coat: 1, colours: under, wait: asked.wait });
    }
    let outline = coated(portions, Set::Outline, asked);
    let inside = coated(portions, Set::Inside, asked);
    let (first, then) = match asked.outline {
        Turn::First => (outline, inside),
        Turn::Last => (inside, outline),
    };
    passes.extend(first);
    passes.extend(then);
    passes
}

fn coated(portions: &[Portion], set: Set, asked: &Ordering) -> Vec<Pass> {
    let cells = |portion: &Portion| match set {
        Set::Outline => portion.outline,
        _ => portion.inside,
    };
    let open: Vec<&Portion> = portions.iter().filter(|portion| cells(portion) > 0).collect();
    let colours: Vec<Rgb> = open.iter().map(|portion| portion.colour).collect();
    let mut passes = Vec::new();
    for ramp in ramps(&colours) {
        let shades = ramp.shades.iter().map(|&place| open[place]);
        let most = shades.clone().map(|portion| portion.coats).max().unwrap_or(0);
        for coat in 1..=most {
            let due = shades.clone().filter(|portion| portion.coats >= coat);
            let colours = due.map(|portion| (portion.colour, cells(portion))).collect();
            passes.push(Pass { set, coat, colours, wait: asked.wait });
        }
    }
    passes
}
