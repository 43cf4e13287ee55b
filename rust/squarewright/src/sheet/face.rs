//! The two faces of what is printed at true size: the front, and the back as in a mirror. A stamp and a sign that
//! is no mirror picture of itself tell them apart on every page.

use super::draw::{Draw, Line, Path};
use super::page::{HAIR, INK};
use super::press::Press;
use super::text::Style;
use crate::colour::Rgb;
use crate::length::{Area, Length, Place};

/// The sign that tells front from back: F, in steps of its height from its foot, seen from the front.
const SIGN: [[(i64, i64); 2]; 3] = [[(0, 0), (0, 5)], [(0, 5), (3, 5)], [(0, 3), (2, 3)]];
const WIDE: i64 = 3;
const HIGH: i64 = 5;
const PAD: Length = Length::from_units(Length::PT.units() * 4);
/// A step of the sign beside the stamp.
const STEP: Length = Length::from_units(Length::PT.units() * 7 / 2);

/// From which side something is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Face {
    Front,
    Back,
}

impl Face {
    /// Gives a place in a drawing that is so wide as this face shows it.
    pub(super) fn turned(self, at: Place, width: Length) -> Place {
        match self {
            Self::Front => at,
            Self::Back => Place::new(width - at.x, at.y),
        }
    }

    /// Draws the stamp, with the sign behind it, into a band of the page; gives where the band is free again.
    pub(super) fn stamp(self, press: &Press, corner: Place) -> (Vec<Draw>, Length) {
        let style = press.set(Style::Title);
        let words = press.say(match self {
            Self::Front => "face.front",
            Self::Back => "face.back",
        });
        let (width, height) = (style.width(words) + PAD * 2, Length::PT * 24);
        let area = Area::new(corner, width, height);
        let base = corner.moved(PAD, (height + Length::from_units(style.size.units() * 7 / 10)).half());
        // Black on white and white on black differ at a glance, in any ink.
        let (ground, ink) = match self {
            Self::Front => (Rgb::WHITE, INK),
            Self::Back => (INK, Rgb::WHITE),
        };
        let foot = corner.moved(width + PAD * 2, (height + STEP * HIGH).half());
        let lines = sign().map(|ends| {
            let places = ends.map(|(x, y)| {
                let right = self.turned(Place::new(STEP * x, Length::ZERO), STEP * WIDE).x;
                foot.moved(right, -STEP * y)
            });
            Line { places: places.to_vec(), closed: false }
        });
        let draws = vec![
            Draw::block(area, ground),
            Draw::frame(area, HAIR * 2, INK),
            Draw::Text(style.at(base, words, ink)),
            Draw::stroke(Path(lines.collect()), Length::PT * 2, INK),
        ];
        (draws, width + PAD * 4 + STEP * WIDE)
    }
}

/// Gives the lines of the sign: their ends in steps to the right of its foot and above it.
pub(super) fn sign() -> impl Iterator<Item = [(i64, i64); 2]> {
    SIGN.into_iter()
}
