//! Check bars: if they do not measure right, the print is not at full size.

use super::draw::Draw;
use super::page::INK;
use super::press::Press;
use super::text::CODE;
use crate::length::{Area, Length, Place};

/// The height of the band that bars need at the bottom, and the width at the left.
pub(super) const BAND: Length = Length::inches(1, 2);

const BARS: [(Length, &str); 2] = [(Length::inches(6, 1), "6 in"), (Length::hundredths_mm(15_000), "150 mm")];
const TICK: Length = Length::from_units(Length::PT.units() * 4);
const WEIGHT: Length = Length::from_units(Length::PT.units() * 3 / 4);

/// Draws level bars into a band; each starts at its left edge.
pub(super) fn level(press: &Press, band: Area) -> Vec<Draw> {
    let mut draws = Vec::new();
    for (row, (length, label)) in (0_i64..).zip(BARS) {
        let from = band.corner.moved(Length::ZERO, Length::PT * (8 + 16 * row));
        let to = from.moved(length, Length::ZERO);
        draws.push(Draw::line(from, to, WEIGHT, INK));
        for end in [from, to] {
            draws.push(Draw::line(
                end.moved(Length::ZERO, -TICK),
                end.moved(Length::ZERO, TICK),
                WEIGHT,
                INK,
            ));
        }
        draws.push(Draw::Text(CODE.at(
            to.moved(Length::PT * 4, Length::PT * 3),
            press.language.length(label),
            INK,
        )));
    }
    draws
}

/// Draws upright bars into a band; each starts at its top edge.
pub(super) fn upright(press: &Press, band: Area) -> Vec<Draw> {
    let mut draws = Vec::new();
    for (column, (length, label)) in (0_i64..).zip(BARS) {
        let from = band.corner.moved(Length::PT * (8 + 16 * column), Length::ZERO);
        let to = from.moved(Length::ZERO, length);
        draws.push(Draw::line(from, to, WEIGHT, INK));
        for end in [from, to] {
            draws.push(Draw::line(
                end.moved(-TICK, Length::ZERO),
                end.moved(TICK, Length::ZERO),
                WEIGHT,
                INK,
            ));
        }
        let below = Place::new(band.left(), band.top() + BARS[0].0 + Length::PT * (14 + 11 * column));
        draws.push(Draw::Text(CODE.at(below, press.language.length(label), INK)));
    }
    draws
}
