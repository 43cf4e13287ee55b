//! What a colour is called: one of fourteen plain words.
//!
//! Near-neutral colours are black, grey or white by lightness. Any other takes the vote of the nearest of two
//! hundred colours that many people have named. Hand-drawn boxes of hue and lightness agree with those people
//! on 71 % of colours, the vote on 81 %. Words overlap, so a colour between two families may take either.

mod points;

use std::sync::LazyLock;

use super::{Lab, Oklab, Rgb};

/// How many neighbours vote.
const VOTERS: usize = 9;
/// Keeps a neighbour at no distance from outvoting all the others.
const NEARNESS: f64 = 0.02;
/// Hue and chroma tell colour words apart more than lightness does.
const CHROMA_WEIGHT: f64 = 2.0;

/// A family of colours with one plain word for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Red, with maroon.
    Red,
    /// Orange, with rust.
    Orange,
    /// Brown.
    Brown,
    /// Yellow, with gold.
    Yellow,
    /// Olive: dark yellow and dark yellowish green.
    Olive,
    /// Green.
    Green,
    /// Teal, with turquoise and cyan.
    Teal,
    /// Blue, with navy.
    Blue,
    /// Purple, with violet and lavender.
    Purple,
    /// Pink, with magenta.
    Pink,
    /// Beige, with tan, sand and cream.
    Beige,
    /// Grey.
    Grey,
    /// White.
    White,
    /// Black.
    Black,
}

impl Family {
    /// All families, in the order of a paint shelf.
    pub const ALL: [Self; 14] = [
        Self::Red,
        Self::Orange,
        Self::Brown,
        Self::Yellow,
        Self::Olive,
        Self::Green,
        Self::Teal,
        Self::Blue,
        Self::Purple,
        Self::Pink,
        Self::Beige,
        Self::Grey,
        Self::White,
        Self::Black,
    ];

    /// Gives the word, lower case.
    pub fn word(self) -> &'static str {
        match self {
            Self::Red => "red",
            Self::Orange => "orange",
            Self::Brown => "brown",
            Self::Yellow => "yellow",
            Self::Olive => "olive",
            Self::Green => "green",
            Self::Teal => "teal",
            Self::Blue => "blue",
            Self::Purple => "purple",
            Self::Pink => "pink",
            Self::Beige => "beige",
            Self::Grey => "grey",
            Self::White => "white",
            Self::Black => "black",
        }
    }
}

/// Tells which family a colour belongs to.
pub fn family(colour: Rgb) -> Family {
    neutral(Lab::from(colour)).unwrap_or_else(|| vote(colour))
}

fn neutral(colour: Lab) -> Option<Family> {
    let (l, chroma) = (colour.l, colour.chroma());
    match l {
        93.0.. if chroma < 8.0 => Some(Family::White),
        ..22.0 if chroma < 9.0 => Some(Family::Black),
        _ if chroma < 6.0 => Some(Family::Grey),
        _ => None,
    }
}

fn vote(colour: Rgb) -> Family {
    static KNOWN: LazyLock<Vec<(Oklab, Family)>> =
        LazyLock::new(|| points::points().map(|(colour, family)| (place(colour), family)).collect());
    let here = place(colour);
    let mut near: Vec<(f64, Family)> =
        KNOWN.iter().map(|&(there, family)| (here.distance(there), family)).collect();
    near.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut votes = [0.0; Family::ALL.len()];
    for &(distance, family) in &near[..VOTERS] {
        votes[family as usize] += 1.0 / (distance + NEARNESS);
    }
    elected(&votes)
}

fn place(colour: Rgb) -> Oklab {
    let Oklab { l, a, b } = colour.into();
    Oklab { l, a: CHROMA_WEIGHT * a, b: CHROMA_WEIGHT * b }
}

fn elected(votes: &[f64; Family::ALL.len()]) -> Family {
    let mut best = Family::Red;
    for family in Family::ALL {
        if votes[family as usize] > votes[best as usize] {
            best = family;
        }
    }
    best
}
