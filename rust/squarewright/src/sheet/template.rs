//! The full-size template, page by page, with check bars, registration marks and a page map.

use super::bars;
use super::draw::Draw;
use super::figure::{Lattice, layers, within};
use super::marks::panel_name;
use super::page::{HAIR, INK, Leaf, QUIET, WASH, body};
use super::paper::Paper;
use super::text::Style;
use super::tile::{Span, spans};
use super::words::{fill, say};
use crate::length::{Area, Length, Place};
use crate::panel::Piece;
use crate::plan::Plan;

/// Room for title, stamp and page map.
const TOP: Length = Length::inches(3, 5);
/// Room for the arms of the registration marks round the drawing.
const ARM: Length = Length::inches(1, 8);

pub(super) fn leaves(plan: &Plan, paper: Paper) -> Vec<Leaf> {
    plan.fit().pieces.iter().flat_map(|piece| Template::new(plan, paper, piece).leaves()).collect()
}

struct Template<'a> {
    plan: &'a Plan,
    piece: &'a Piece,
    area: Area,
    live: Area,
    x: Vec<Span>,
    y: Vec<Span>,
}

impl<'a> Template<'a> {
    fn new(plan: &'a Plan, paper: Paper, piece: &'a Piece) -> Self {
        let area = body(paper);
        let corner = area.corner.moved(bars::BAND, TOP);
        let live = Area::new(corner, area.width - bars::BAND, area.height - TOP - bars::BAND).inset(ARM);
        let pitch = plan.fit().pitch;
        let x = spans(piece.columns.len(), pitch, live.width);
        let y = spans(piece.rows.len(), pitch, live.height);
        Self { plan, piece, area, live, x, y }
    }

    fn leaves(&self) -> Vec<Leaf> {
        let mut leaves = Vec::new();
        for (j, &y) in self.y.iter().enumerate() {
            for (i, &x) in self.x.iter().enumerate() {
                let mut leaf = Leaf::new(say("template.title"));
                self.drawing(x, y, &mut leaf.draws);
                self.surround((i, j), &mut leaf.draws);
                leaves.push(leaf);
            }
        }
        leaves
    }

    /// Gives the window of a page on paper and the lattice that puts the right cells into it.
    fn window(&self, x: Span, y: Span) -> (Area, Lattice) {
        let window = Area::new(self.live.corner, x.to - x.from, y.to - y.from);
        let pitch = self.plan.fit().pitch;
        let before = |cells: usize| pitch.times(cells).nearest();
        let origin = self
            .live
            .corner
            .moved(-x.from - before(self.piece.columns.start), -y.from - before(self.piece.rows.start));
        (window, Lattice { origin, pitch })
    }

    fn drawing(&self, x: Span, y: Span, draws: &mut Vec<Draw>) {
        let (window, lattice) = self.window(x, y);
        for overlap in self.overlaps(x, y) {
            draws.extend(within(overlap, window).map(|area| Draw::block(area, WASH)));
        }
        draws.extend(layers(self.plan, lattice, window));
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
                draws.push(Draw::Text(Style::Small.at(name_at, name, INK)));
            }
        }
    }

    fn surround(&self, (i, j): (usize, usize), draws: &mut Vec<Draw>) {
        let corner = self.area.corner;
        let front = format!("{} · {}", say("template.front"), panel_name(self.plan, self.piece));
        let page = fill(
            "template.page",
            &[
                ("across", &(i + 1)),
                ("width", &self.x.len()),
                ("down", &(j + 1)),
                ("height", &self.y.len()),
                ("pitch", &self.plan.fit().ruler.text(self.plan.fit().pitch)),
            ],
        );
        let at = corner.moved(Length::ZERO, Length::PT * 12);
        draws.push(Draw::Text(Style::TableHead.at(at, front, INK)));
        draws.push(Draw::Text(Style::Table.at(at.moved(Length::ZERO, Length::PT * 14), page, INK)));
        self.map((i, j), draws);
        let side = corner.moved(Length::ZERO, TOP);
        draws.extend(bars::upright(Area::new(side, bars::BAND, self.area.height - TOP)));
        let foot = Place::new(self.live.left(), self.area.bottom() - bars::BAND + Length::PT * 6);
        draws.extend(bars::level(Area::new(foot, self.live.width, bars::BAND)));
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
