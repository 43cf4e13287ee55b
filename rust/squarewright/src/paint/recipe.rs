//! Whole parts of paints that make a colour.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::mixture::{Blend, Optics};
use super::stock::Stock;
use crate::colour::{Lab, Rgb, ciede2000};
use crate::fault::{Error, Result};

/// So many parts of a paint.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Part {
    /// The name of the paint.
    pub paint: String,
    /// How many parts.
    pub parts: u32,
}

/// Whole parts of paints for a colour, the most first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recipe {
    /// The colour that is wanted.
    pub target: Rgb,
    /// The parts.
    pub parts: Vec<Part>,
    /// What they are predicted to make.
    #[serde(flatten)]
    pub blend: Blend,
    /// How far that is from the wanted colour, CIEDE2000.
    pub difference: f64,
    /// Whether the maker chose it.
    pub pinned: bool,
    /// Simpler ways: a bottle as it is, or with one drop of a dark paint.
    pub alternatives: Vec<Recipe>,
    /// What there is to know about how it was found.
    pub notes: Vec<Remark>,
}

/// What there is to know about how a recipe was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Remark {
    /// The stock is too large to try all of it.
    #[error("chosen among the {tried} likeliest of {all} paints")]
    Screened {
        /// Paints that were tried.
        tried: usize,
        /// Paints in the stock.
        all: usize,
    },
    /// No mixture comes within the tolerance.
    #[error("nothing in this stock comes within the tolerance; this is the nearest")]
    OutOfReach,
}

/// How near a recipe comes, in a word for the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Match {
    /// Within 3: side by side they look alike.
    Close,
    /// Within 6: seen side by side, not across a room.
    Fair,
    /// Beyond: judge by a painted test.
    TestFirst,
}

impl Recipe {
    /// The most parts of one paint in a recipe of the maker's own.
    pub const MOST: u32 = 1000;

    /// Takes a recipe of the maker's own, and works out what it makes.
    ///
    /// # Errors
    /// [`Error::Argument`] when a paint is not in the stock or stands twice, or parts are 0 or too many.
    pub fn pinned(target: Rgb, parts: &[(String, u32)], stock: &Stock) -> Result<Self> {
        let bad = |must: String, got: String| Err(Error::Argument { name: "parts", must, got });
        if parts.is_empty() {
            return bad("one paint or more".into(), "none".into());
        }
        let mut chosen = Vec::new();
        for (name, count) in parts {
            let index = stock.find(name)?;
            if *count == 0 || *count > Self::MOST {
                return bad(format!("1 to {} whole parts of {name}", Self::MOST), count.to_string());
            }
            if chosen.iter().any(|&(other, _)| other == index) {
                return bad("each paint once".into(), format!("{name:?} twice"));
            }
            chosen.push((index, *count));
        }
        Ok(Self { pinned: true, ..Self::new(target, &chosen, stock) })
    }

    /// Works out what whole parts of paints, by their places in the stock, make.
    pub(super) fn new(target: Rgb, chosen: &[(usize, u32)], stock: &Stock) -> Self {
        let mut order = chosen.to_vec();
        order.sort_by(|one, other| other.1.cmp(&one.1).then(one.0.cmp(&other.0)));
        let optics = order.iter().map(|&(index, parts)| (&stock.optics()[index], f64::from(parts)));
        let spectrum = Optics::mixed(optics).spectrum(stock.surface());
        let paints = order.iter().map(|&(index, _)| &stock.paints()[index]);
        let blend = Blend::of(&spectrum, paints);
        let difference = ciede2000(Lab::from(target), blend.lab);
        let part = |&(index, parts): &(usize, u32)| Part { paint: stock.paints()[index].name.clone(), parts };
        let parts = order.iter().map(part).collect();
        let (alternatives, notes) = (Vec::new(), Vec::new());
        Self { target, parts, blend, difference, pinned: false, alternatives, notes }
    }

    /// Counts all parts.
    pub fn total(&self) -> u32 {
        self.parts.iter().map(|part| part.parts).sum()
    }

    /// Says how near it comes.
    pub fn nearness(&self) -> Match {
        match self.difference {
            near if near <= 3.0 => Match::Close,
            near if near <= 6.0 => Match::Fair,
            _ => Match::TestFirst,
        }
    }
}

impl fmt::Display for Recipe {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let [part] = &*self.parts {
            return write!(f, "{} from the bottle", part.paint);
        }
        let parts: Vec<String> =
            self.parts.iter().map(|part| format!("{} {}", part.parts, part.paint)).collect();
        f.write_str(&parts.join(" + "))
    }
}
