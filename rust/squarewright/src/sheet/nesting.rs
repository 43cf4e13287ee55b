//! A drawing of nested figures, for a look before anything is marked: all panels side by side, made smaller.

use super::draw::{Draw, Page};
use super::figure::{Lattice, boundaries, fills};
use super::page::{HAIR, INK, QUIET, RULE, WASH};
use super::text::{CODE, CODE_BOLD};
use super::words::Language;
use crate::colour::Rgb;
use crate::fault::Result;
use crate::length::{Area, Length, Place, Ratio};
use crate::outline::trace;
use crate::wall::{Nested, NestedPanel, Nesting, OffCut};

const PAPER: Rgb = Rgb([255; 3]);
/// The longer side of a panel as it is drawn.
const SIDE: Length = Length::inches(3, 1);
const ACROSS: usize = 3;
const SPACE: Length = Length::inches(1, 4);

/// Draws the panels of a nesting three to a row, with the number of each figure and the sizes of what is left.
///
/// # Errors
/// None in practice: the grids that were nested can be turned.
pub fn nesting(nesting: &Nesting) -> Result<Page> {
    let language = Language::default();
    let drawing = Drawing {
        nesting,
        longer: nesting.panel.width().max(nesting.panel.height()),
        side: SIDE,
        number: &|figure| (figure + 1).to_string(),
        size: &|offcut| format!("{} x {}", offcut.width, offcut.height),
    };
    let (width, height) = (drawing.scaled(nesting.panel.width()), drawing.scaled(nesting.panel.height()));
    let foot = CODE.leading() * 2;
    let across = nesting.panels.len().min(ACROSS);
    let down = nesting.panels.len().div_ceil(ACROSS);
    let times = |length: Length, count: usize| length * i64::try_from(count).unwrap_or(0);
    let size = (times(width + SPACE, across) + SPACE, times(height + foot, down) + SPACE);
    let mut draws = vec![Draw::block(Area::new(Place::default(), size.0, size.1), PAPER)];
    for (index, panel) in nesting.panels.iter().enumerate() {
        let x = SPACE + times(width + SPACE, index % ACROSS);
        let y = SPACE + times(height + foot, index / ACROSS);
        let area = Area::new(Place::new(x, y), width, height);
        draws.extend(drawing.panel(panel, area)?);
        let words = language.fill("nesting.panel", &[("number", &(index + 1))]);
        let base = Place::new(area.left(), area.bottom() + CODE.leading());
        draws.push(Draw::Text(CODE.at(base, words, INK)));
    }
    Ok(Page { width: size.0, height: size.1, title: language.say("nesting.title").to_owned(), draws })
}

/// Panels of a nesting as they are drawn.
pub(super) struct Drawing<'a> {
    pub(super) nesting: &'a Nesting,
    /// The longer side of a panel, and how long it is drawn.
    pub(super) longer: Length,
    pub(super) side: Length,
    /// Gives the number of a figure, by its place in the nesting.
    pub(super) number: &'a dyn Fn(usize) -> String,
    /// Writes the size of what is left.
    pub(super) size: &'a dyn Fn(&OffCut) -> String,
}

impl Drawing<'_> {
    pub(super) fn scaled(&self, length: impl Into<Ratio>) -> Length {
        self.ratio(length.into()).nearest()
    }

    fn ratio(&self, length: Ratio) -> Ratio {
        let by = (i128::from(self.side.units()), i128::from(self.longer.units()));
        Ratio::new(length.numerator() * by.0, length.denominator() * by.1)
    }

    /// Draws one panel.
    ///
    /// # Errors
    /// None in practice: the grids that were nested can be turned.
    pub(super) fn panel(&self, panel: &NestedPanel, area: Area) -> Result<Vec<Draw>> {
        let mut draws = Vec::new();
        for offcut in &panel.offcuts {
            draws.extend(self.offcut(offcut, area));
        }
        for nested in &panel.figures {
            draws.extend(self.figure(nested, area)?);
        }
        let (width, height) = panel.size(self.nesting.panel);
        let own = Area::new(area.corner, self.scaled(width), self.scaled(height));
        draws.push(Draw::frame(own, Length::PT, INK));
        Ok(draws)
    }

    fn figure(&self, nested: &Nested, panel: Area) -> Result<Vec<Draw>> {
        let figure = &self.nesting.figures[nested.figure];
        let grid = figure.lying(nested.quarter_turns)?;
        let origin = panel.corner.moved(self.scaled(nested.x), self.scaled(nested.y));
        let lattice = Lattice { origin, pitch: self.ratio(figure.pitch) };
        let mut draws = fills(&grid, lattice, panel, Some);
        draws.push(Draw::stroke(boundaries(trace(&grid).silhouette(), lattice, panel), HAIR, INK));
        let words = (self.number)(nested.figure);
        let (wide, high) = (CODE_BOLD.width(&words), CODE_BOLD.size);
        let middle = origin.moved(self.scaled(nested.width).half(), self.scaled(nested.height).half());
        let pad = Length::PT * 2;
        let plate =
            Area::new(middle.moved(-wide.half() - pad, -high.half() - pad), wide + pad * 2, high + pad * 2);
        draws.push(Draw::block(plate, PAPER));
        draws.push(Draw::frame(plate, HAIR, INK));
        let base = Place::new(plate.left() + pad, plate.bottom() - pad - Length::PT);
        draws.push(Draw::Text(CODE_BOLD.at(base, words, INK)));
        Ok(draws)
    }

    fn offcut(&self, offcut: &OffCut, panel: Area) -> Vec<Draw> {
        let corner = panel.corner.moved(self.scaled(offcut.x), self.scaled(offcut.y));
        let area = Area::new(corner, self.scaled(offcut.width), self.scaled(offcut.height));
        let mut draws = vec![Draw::block(area, WASH), Draw::frame(area, HAIR, RULE)];
        let words = (self.size)(offcut);
        let (wide, high) = (CODE.width(&words), CODE.leading());
        if wide < area.width && high < area.height {
            let base = area.corner.moved((area.width - wide).half(), area.height.half() + Length::PT * 3);
            draws.push(Draw::Text(CODE.at(base, words, QUIET)));
        }
        draws
    }
}
