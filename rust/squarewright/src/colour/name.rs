//! Which family of colours people put a colour in.

use super::points::POINTS;
use super::{Lab, Oklab, Rgb};

/// A family of colours with a plain name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "each is the word it says")]
pub enum Family {
    Red,
    Orange,
    Brown,
    Yellow,
    Olive,
    Green,
    Teal,
    Blue,
    Purple,
    Pink,
    Beige,
    Grey,
    White,
    Black,
}

impl Family {
    /// Gives the word for it.
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

/// How many neighbours vote.
const VOTERS: usize = 9;

/// Names the family of a colour: nearly neutral colours by their lightness, all others by a vote of the
/// nearest labelled colours in Oklab, with differences of hue and chroma counted twice.
pub fn family(colour: Rgb) -> Family {
    let lab = Lab::from(colour);
    let chroma = lab.chroma();
    if lab.l >= 93.0 && chroma < 8.0 {
        return Family::White;
    }
    if chroma < 6.0 || (lab.l < 22.0 && chroma < 9.0) {
        return if lab.l < 22.0 { Family::Black } else { Family::Grey };
    }
    let here = Oklab::from(colour);
    let mut near: Vec<(f64, Family)> = POINTS
        .iter()
        .map(|&(code, family)| {
            let [_, r, g, b] = code.to_be_bytes();
            (distance(here, Oklab::from(Rgb([r, g, b]))), family)
        })
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut votes = [0.0; 14];
    for &(distance, family) in &near[..VOTERS] {
        votes[family as usize] += 1.0 / (distance + 0.02);
    }
    let winner = near[..VOTERS].iter().max_by(|a, b| votes[a.1 as usize].total_cmp(&votes[b.1 as usize]));
    winner.map_or(Family::Grey, |&(_, family)| family)
}

fn distance(a: Oklab, b: Oklab) -> f64 {
    let (l, u, v) = (a.l - b.l, 2.0 * (a.a - b.a), 2.0 * (a.b - b.b));
    (l * l + u * u + v * v).sqrt()
}
