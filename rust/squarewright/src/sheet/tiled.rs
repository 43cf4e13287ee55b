//! A drawing at true size on as many pages as it takes, with check bars, registration marks and a page map.

use super::bars;
use super::draw::Draw;
use super::figure::within;
use super::page::{HAIR, INK, Leaf, QUIET, WASH, body};
use super::press::Press;
use super::text::{CODE, Style};
use super::tile::{Span, spans};

use crate::length::{Area, Length, Place, Ratio};

/// Room for title, stamp and page map.
const TOP: Length = Length::inches(3, 5);
/// Room for the arms of the registration marks round the drawing.
const ARM: Length = Length::inches(1, 8);

/// What the pages say and show.
pub(super) struct Tiled<'a> {
    /// The title of the pages.
    pub(super) title: &'a str,
    /// What stands at their head.
    pub(super) stamp: String,
    /// The key of the line below, which counts the pages, and what else it says.
    pub(super) note: (&'a str, String),
    /// Columns and rows of the drawing.
    pub(super) cells: (usize, usize),
    /// Their size.
    pub(super) pitch: Ratio,
    /// Draws what a window of the page shows when the top-left corner of the drawing lies at a place.
    pub(super) draw: &'a dyn Fn(Place, Area) -> Vec<Draw>,
}

/// The pages of a drawing.
struct Pages<'a> {
    press: &'a Press,
    what: &'a Tiled<'a>,
    area: Area,
    live: Area,
    x: Vec<Span>,
    y: Vec<Span>,
}

impl Tiled<'_> {
    pub(super) fn leaves(&self, press: &Press) -> Vec<Leaf> {
        Pages::new(press, self).leaves()
    }
}

impl<'a> Pages<'a> {
    fn new(press: &'a Press, what: &'a Tiled<'a>) -> Self {
        let area = body(press);
        let corner = area.corner.moved(bars::BAND, TOP);
        let live = Area::new(corner, area.width - bars::BAND, area.height - TOP - bars::BAND).inset(ARM);
        let x = spans(what.cells.0, what.pitch, live.width);
        let y = spans(what.cells.1, what.pitch, live.height);
        Self { press, what, area, live, x, y }
    }

    fn leaves(&self) -> Vec<Leaf> {
        let mut leaves = Vec::new();
        for (j, &y) in self.y.iter().enumerate() {
            for (i, &x) in self.x.iter().enumerate() {
                let mut leaf = Leaf::new(self.what.title);
                self.drawing(x, y, &mut leaf.draws);
                self.surround((i, j), &mut leaf.draws);
                leaves.push(leaf);
            }
        }
        leaves
    }

    fn drawing(&self, x: Span, y: Span, draws: &mut Vec<Draw>) {
        let window = Area::new(self.live.corner, x.to - x.from, y.to - y.from);
        for overlap in self.overlaps(x, y) {
            draws.extend(within(overlap, window).map(|area| Draw::block(area, WASH)));
        }
        draws.extend((self.what.draw)(self.live.corner.moved(-x.from, -y.from), window));
        self.crosses(x, y, draws);
    }

    /// Gives the bands that this page shares with its neighbours.
    fn overlaps(&self, x: Span, y: Span) -> Vec<Area> {
        let at = |from_x: Length, to_x: Length, from_y: Length, to_y: Length| {
            let corner = self.live.corner.moved(from_x - x.from, from_y - y.from);
            Area::new(corner, to_x - from_x, to_y - from_y)
        };
        let shared = |a: Span, b: Span| a != b && a.from.max(b.from) < a.to.min(b.to);
        let mut found = Vec::new();
        for &other in self.x.iter().filter(|&&other| shared(other, x)) {
            found.push(at(other.from.max(x.from), other.to.min(x.to), y.from, y.to));
        }
        for &other in self.y.iter().filter(|&&other| shared(other, y)) {
            found.push(at(x.from, x.to, other.from.max(y.from), other.to.min(y.to)));
        }
        found
    }

    /// Draws the registration marks: where page edges cross, named alike on every page that shows them.
    fn crosses(&self, x: Span, y: Span, draws: &mut Vec<Draw>) {
        for (i, along) in edges(&self.x).into_iter().enumerate() {
            for (j, down) in edges(&self.y).into_iter().enumerate() {
                let seen = x.from <= along && along <= x.to && y.from <= down && down <= y.to;
                if !seen {
                    continue;
                }
                let at = self.live.corner.moved(along - x.from, down - y.from);
                let arm = |right: Length, low: Length| {
                    Draw::line(at.moved(-right, -low), at.moved(right, low), HAIR, INK)
                };
                draws.push(arm(ARM, Length::ZERO));
                draws.push(arm(Length::ZERO, ARM));
                let name = format!("{}{}", letter(i), j + 1);
                let name_at = at.moved(Length::PT * 3, -Length::PT * 3);
                draws.push(Draw::Text(CODE.at(name_at, name, INK)));
            }
        }
    }

    fn surround(&self, (i, j): (usize, usize), draws: &mut Vec<Draw>) {
        let (press, corner) = (self.press, self.area.corner);
        let (key, detail) = &self.what.note;
        let page = press.fill(
            key,
            &[
                ("across", &(i + 1)),
                ("width", &self.x.len()),
                ("down", &(j + 1)),
                ("height", &self.y.len()),
                ("detail", detail),
            ],
        );
        let at = corner.moved(Length::ZERO, Length::PT * 12);
        draws.push(Draw::Text(press.set(Style::TableHead).at(at, &*self.what.stamp, INK)));
        draws.push(Draw::Text(press.set(Style::Table).at(
            at.moved(Length::ZERO, Length::PT * 14),
            page,
            INK,
        )));
        self.map((i, j), draws);
        let side = corner.moved(Length::ZERO, TOP);
        draws.extend(bars::upright(press, Area::new(side, bars::BAND, self.area.height - TOP)));
        let foot = Place::new(self.live.left(), self.area.bottom() - bars::BAND + Length::PT * 6);
        draws.extend(bars::level(press, Area::new(foot, self.live.width, bars::BAND)));
    }

    /// Draws a small map of the pages with this one filled.
    fn map(&self, (i, j): (usize, usize), draws: &mut Vec<Draw>) {
        let (width, height) = (Length::PT * 12, Length::PT * 9);
        let count = |spans: &[Span]| i64::try_from(spans.len()).unwrap_or(1);
        let left = self.area.right() - width * count(&self.x);
        for row in 0..self.y.len() {
            for column in 0..self.x.len() {
                let step = |index: usize, size: Length| size * i64::try_from(index).unwrap_or(0);
                let corner = Place::new(left + step(column, width), self.area.top() + step(row, height));
                let area = Area::new(corner, width, height);
                if (column, row) == (i, j) {
                    draws.push(Draw::block(area, QUIET));
                }
                draws.push(Draw::frame(area, HAIR, QUIET));
            }
        }
    }
}

/// Gives the starts and ends of all spans, ascending, each once.
fn edges(spans: &[Span]) -> Vec<Length> {
    let mut edges: Vec<Length> = spans.iter().flat_map(|span| [span.from, span.to]).collect();
    edges.sort_unstable();
    edges.dedup();
    edges
}

fn letter(index: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(index % 26).unwrap_or(0));
    if index < 26 { letter.to_string() } else { format!("{letter}{}", index / 26) }
}
