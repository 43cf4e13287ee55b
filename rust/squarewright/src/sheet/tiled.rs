//! A drawing at true size on as many pages as it takes, with check bars, registration marks and a page map.

use super::bars;
use super::draw::Draw;
use super::face::Face;
use super::figure::within;
use super::page::{HAIR, INK, Leaf, QUIET, WASH, body};
use super::press::Press;
use super::text::{CODE, Style};
use super::tile::{Span, spans};

use crate::length::{Area, Length, Place, Ratio};

/// The least room for stamp, words and page map.
const TOP: Length = Length::inches(3, 5);
/// Room for the page map, as far as words keep clear of it.
const MAP: Length = Length::from_units(Length::PT.units() * 72);
/// Room for the arms of the registration marks round the drawing.
const ARM: Length = Length::inches(1, 8);

/// What the pages say and show.
pub(super) struct Tiled<'a> {
    /// The title of the pages.
    pub(super) title: &'a str,
    /// From which side they show it.
    pub(super) face: Face,
    /// What stands beside the stamp for that.
    pub(super) stamp: String,
    /// What stands below it.
    pub(super) note: String,
    /// The column and the row of the drawing's first cell, from 0, where it begins with one.
    pub(super) first: Option<(usize, usize)>,
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
    top: Length,
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
        let top = TOP.max(words_height(press, what, area.width));
        let corner = area.corner.moved(bars::BAND, top);
        let live = Area::new(corner, area.width - bars::BAND, area.height - top - bars::BAND).inset(ARM);
        let x = spans(what.cells.0, what.pitch, live.width);
        let y = spans(what.cells.1, what.pitch, live.height);
        Self { press, what, area, top, live, x, y }
    }

    fn leaves(&self) -> Vec<Leaf> {
        let mut leaves = Vec::new();
        for (j, &y) in self.y.iter().enumerate() {
            for (i, &x) in self.x.iter().enumerate() {
                let mut leaf = Leaf::true_size(self.what.title);
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
        let (stamp, wide) = self.what.face.stamp(press, corner);
        draws.extend(stamp);
        let small = self.map((i, j), draws);
        let room = self.area.width - wide - small - Length::PT * 8;
        let (strong, plain) = (press.set(Style::TableHead), press.set(Style::Table));
        let mut at = corner.moved(wide, plain.size);
        for line in strong.wrap(&self.what.stamp, room) {
            draws.push(Draw::Text(strong.at(at, line, INK)));
            at = at.moved(Length::ZERO, strong.leading());
        }
        for line in plain.wrap(&format!("{} {}", self.said((i, j)), self.what.note), room) {
            draws.push(Draw::Text(plain.at(at, line, INK)));
            at = at.moved(Length::ZERO, plain.leading());
        }
        let side = corner.moved(Length::ZERO, self.top);
        draws.extend(bars::upright(press, Area::new(side, bars::BAND, self.area.height - self.top)));
        let foot = Place::new(self.live.left(), self.area.bottom() - bars::BAND + Length::PT * 6);
        draws.extend(bars::level(press, Area::new(foot, self.live.width, bars::BAND)));
    }

    /// Says which sheet this is, what it lies beside, and where it begins.
    fn said(&self, (i, j): (usize, usize)) -> String {
        let press = self.press;
        let across = self.x.len();
        let number = |i: usize, j: usize| j * across + i + 1;
        let mut said = vec![
            press.fill("tiled.sheet", &[("sheet", &number(i, j)), ("sheets", &(across * self.y.len()))]),
        ];
        said.extend((i > 0).then(|| press.fill("tiled.right", &[("sheet", &number(i - 1, j))])));
        said.extend((j > 0).then(|| press.fill("tiled.below", &[("sheet", &number(i, j - 1))])));
        said.extend(self.what.first.map(|(column, row)| {
            let whole = |span: Span| {
                let before = usize::try_from(span.from.ratio().holds(self.what.pitch)).unwrap_or(0);
                before + usize::from(self.what.pitch.times(before).nearest() < span.from)
            };
            let (column, row) = (column + whole(self.x[i]) + 1, row + whole(self.y[j]) + 1);
            press.fill("tiled.from", &[("column", &column), ("row", &row)])
        }));
        said.join(", ") + "."
    }

    /// Draws a small map of the pages with this one filled, and gives its width.
    fn map(&self, (i, j): (usize, usize), draws: &mut Vec<Draw>) -> Length {
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
        self.area.right() - left
    }
}

/// Gives the height of stamp and words where they are longest.
fn words_height(press: &Press, what: &Tiled<'_>, width: Length) -> Length {
    let most = |key, names: &[&str]| {
        let values: Vec<(&str, &dyn std::fmt::Display)> =
            names.iter().map(|&name| (name, &88 as &dyn std::fmt::Display)).collect();
        press.fill(key, &values)
    };
    let words = [
        most("tiled.sheet", &["sheet", "sheets"]),
        most("tiled.right", &["sheet"]),
        most("tiled.below", &["sheet"]),
        most("tiled.from", &["column", "row"]),
        what.note.clone(),
    ];
    let (_, wide) = what.face.stamp(press, Place::default());
    let room = width - wide - MAP;
    let (strong, plain) = (press.set(Style::TableHead), press.set(Style::Table));
    let lines = strong.wrap(&what.stamp, room).len() + plain.wrap(&words.join(", "), room).len();
    plain.size + plain.leading() * i64::try_from(lines - 1).unwrap_or(2) + Length::PT * 4
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
