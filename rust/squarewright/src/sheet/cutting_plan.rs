//! The two drawings of a cut plan: the small panel with its straight cuts, and the outline with its arrows.

use super::draw::{Draw, Line, Path};
use super::figure::{Lattice, boundaries, fills};
use super::page::{Flow, HAIR, INK, QUIET};
use super::text::CODE_BOLD;

use crate::colour::Rgb;
use crate::cut::{Cut, Ends, Kind, PanelCuts};
use crate::length::{Area, Length, Place, Ratio};
use crate::panel::Piece;
use crate::plan::Plan;

/// The figure, light enough for numbers and lines on top, dark enough to be told from paper.
const FIGURE: Rgb = Rgb([0xd8, 0xd8, 0xd8]);
const DASH: Length = Length::from_units(Length::PT.units() * 4);
const NUMBER: Length = Length::from_units(Length::PT.units() * 11);

/// How many of the places for a number lie on its line.
const ON_LINE: usize = 7;

/// A panel, or a part of it, drawn smaller or larger.
#[derive(Clone, Copy)]
struct Scale {
    /// The part that is shown, on the panel.
    part: Area,
    /// Where its corner lies on the page.
    corner: Place,
    /// Length on the page for length on the panel.
    share: (i64, i64),
}

impl Scale {
    /// Shows a part of a panel as large as a room allows, in its middle.
    fn fit(part: Area, room: Area) -> Self {
        let by_width = (room.width, part.width);
        let by_height = (room.height, part.height);
        let narrow = i128::from(by_width.0.units()) * i128::from(by_height.1.units())
            <= i128::from(by_height.0.units()) * i128::from(by_width.1.units());
        let (page, panel) = if narrow { by_width } else { by_height };
        let scale = Self { part, corner: room.corner, share: (page.units(), panel.units()) };
        let spare = room.width - scale.length(part.width);
        Self { corner: room.corner.moved(spare.half(), Length::ZERO), ..scale }
    }

    fn length(self, length: Length) -> Length {
        self.ratio(length.ratio()).nearest()
    }

    fn ratio(self, ratio: Ratio) -> Ratio {
        let (page, panel) = (i128::from(self.share.0), i128::from(self.share.1));
        Ratio::new(ratio.numerator() * page, ratio.denominator() * panel)
    }

    fn place(self, at: Place) -> Place {
        self.corner.moved(self.length(at.x - self.part.left()), self.length(at.y - self.part.top()))
    }

    fn area(self, area: Area) -> Area {
        Area::new(self.place(area.corner), self.length(area.width), self.length(area.height))
    }
}

/// Numbers that keep clear of each other and of lines.
#[derive(Default)]
struct Numbers(Vec<Area>);

impl Numbers {
    /// Sets a number at the first place where it lies on nothing else; none when there is no such place.
    fn set(&mut self, words: &str, places: impl IntoIterator<Item = Place>, room: Area) -> Vec<Draw> {
        let style = CODE_BOLD;
        let (width, height) = (style.width(words) + Length::PT * 4, NUMBER);
        let around = |at: Place| Area::new(at.moved(-width.half(), -height.half()), width, height);
        let free = |area: &Area| {
            let meets = |other: &Area| {
                area.left() < other.right()
                    && other.left() < area.right()
                    && area.top() < other.bottom()
                    && other.top() < area.bottom()
            };
            room.contains(*area) && !self.0.iter().any(meets)
        };
        let Some(area) = places.into_iter().map(around).find(free) else { return Vec::new() };
        self.0.push(area);
        let base = Place::new(area.left() + width.half(), area.bottom() - Length::PT * 2);
        vec![Draw::block(area, Rgb::WHITE), Draw::Text(style.centred(base, words, INK))]
    }

    /// Keeps a level or upright line free.
    fn keep_off(&mut self, from: Place, to: Place) {
        let corner = Place::new(from.x.min(to.x), from.y.min(to.y)).moved(-Length::PT, -Length::PT);
        let (width, height) = ((to.x - from.x).abs(), (to.y - from.y).abs());
        self.0.push(Area::new(corner, width + Length::PT * 2, height + Length::PT * 2));
    }
}

/// Draws the panel with its numbered straight cuts.
pub(super) fn coarse_plan(flow: &mut Flow<'_>, plan: &Plan, piece: &Piece, cuts: &PanelCuts) {
    let press = flow.press();
    let panel = plan.fit().panel;
    let whole = Area::new(Place::default(), panel.width(), panel.height());
    let height = Length::inches(9, 2);
    flow.need(height + Length::PT * 16);
    let room = Area::new(Place::new(flow.area().left(), flow.y()), flow.area().width, height);
    let scale = Scale::fit(whole, room);
    figure(flow, plan, piece, scale);
    let frame = scale.area(whole);
    flow.draw(Draw::frame(frame, HAIR, INK));
    let mut numbers = Numbers::default();
    let mut labels = Vec::new();
    for cut in cuts.cuts.iter().filter(|cut| cut.edge.is_none()) {
        let (from, to) = (scale.place(cut.from), scale.place(cut.to));
        let (path, width) = match cut.kind {
            Kind::Bay => (dashes(from, to), Length::tenths_pt(12)),
            _ => (Path::line(from, to), Length::tenths_pt(16)),
        };
        flow.draw(Draw::stroke(path, width, INK));
        labels.extend(numbers.set(&cut.number.to_string(), beside(from, to), frame));
    }
    for label in labels {
        flow.draw(label);
    }
    flow.skip(frame.height + Length::PT * 4);
    flow.note(press.say("cutting.legend"));
}

/// Draws every stroke of outline and holes as an arrow.
pub(super) fn stroke_plan(flow: &mut Flow<'_>, plan: &Plan, piece: &Piece, cuts: &PanelCuts) {
    let side = |count| plan.fit().pitch.times(count).nearest();
    let corner = Place::new(piece.left.nearest(), piece.top.nearest());
    let part = Area::new(corner, side(piece.columns.len()), side(piece.rows.len()));
    let rim = Length::PT * 14;
    let top = Place::new(flow.area().left(), flow.y());
    let room = Area::new(top, flow.area().width, flow.left_over());
    let scale = Scale::fit(part, room.inset(rim));
    figure(flow, plan, piece, scale);
    let mut numbers = Numbers::default();
    let mut labels = Vec::new();
    let strokes: Vec<&Cut> = cuts.cuts.iter().filter(|cut| cut.edge.is_some()).collect();
    for cut in &strokes {
        numbers.keep_off(scale.place(cut.from), scale.place(cut.to));
    }
    for (place, cut) in strokes.iter().enumerate() {
        let (from, to) = (scale.place(cut.from), scale.place(cut.to));
        let (line, head) = arrow(from, to, cut.weak);
        flow.draw(line);
        flow.draw(head);
        if cut.edge.is_some_and(|edge| edge.ends != Ends::Open) {
            let dot = Length::tenths_pt(15);
            flow.draw(Draw::block(Area::new(from.moved(-dot, -dot), dot * 2, dot * 2), INK));
        }
        // Where the walk is broken off the eye needs a number; elsewhere one in five is enough.
        let joined = place > 0 && touches(strokes[place - 1], cut);
        if !joined || cut.number % 5 == 0 {
            labels.extend(numbers.set(&cut.number.to_string(), beside(from, to).skip(ON_LINE), room));
        }
    }
    for label in labels {
        flow.draw(label);
    }
}

fn figure(flow: &mut Flow<'_>, plan: &Plan, piece: &Piece, scale: Scale) {
    let fit = plan.fit();
    let pitch = scale.ratio(fit.pitch);
    let first = scale.place(Place::new(piece.left.nearest(), piece.top.nearest()));
    let back = |count: usize| -pitch.times(count).nearest();
    let origin = first.moved(back(piece.columns.start), back(piece.rows.start));
    let window =
        Area::new(first, pitch.times(piece.columns.len()).nearest(), pitch.times(piece.rows.len()).nearest());
    let lattice = Lattice { origin, pitch };
    for draw in fills(plan.grid(), lattice, window, |_| Some(FIGURE)) {
        flow.draw(draw);
    }
    let path = boundaries(plan.outline().silhouette(), lattice, window);
    flow.draw(Draw::stroke(path, HAIR, QUIET));
}

/// Gives places for a number: on the line first, then to both sides of it.
fn beside(from: Place, to: Place) -> impl Iterator<Item = Place> {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let level = dx.abs() >= dy.abs();
    [0, 9, -9, 13, -13, 18, -18, 27, -27].into_iter().flat_map(move |off| {
        [4, 3, 5, 2, 6, 1, 7].map(|eighths| {
            let along = |whole: Length| Length::from_units(whole.units() * eighths / 8);
            let at = from.moved(along(dx), along(dy));
            let off = Length::PT * off;
            if level { at.moved(Length::ZERO, off) } else { at.moved(off, Length::ZERO) }
        })
    })
}

/// Tells whether one stroke begins or ends where another one does.
fn touches(before: &Cut, cut: &Cut) -> bool {
    let ends = |cut: &Cut| cut.edge.map_or([None; 2], |edge| [Some(edge.from), Some(edge.to)]);
    ends(before).iter().any(|end| ends(cut).contains(end))
}

fn dashes(from: Place, to: Place) -> Path {
    let (dx, dy) = ((to.x - from.x).units(), (to.y - from.y).units());
    let long = i128::from(dx) * i128::from(dx) + i128::from(dy) * i128::from(dy);
    let dashes = i64::try_from(long.isqrt()).unwrap_or(i64::MAX) / DASH.units() / 2;
    let parts = 2 * dashes.max(1) + 1;
    let at =
        |part: i64| from.moved(Length::from_units(dx * part / parts), Length::from_units(dy * part / parts));
    let dash = |part: i64| Line { places: vec![at(part), at(part + 1)], closed: false };
    Path((0..parts).step_by(2).map(dash).collect())
}

/// Draws a pull: a line and a head where it ends.
fn arrow(from: Place, to: Place, weak: bool) -> (Draw, Draw) {
    let width = if weak { Length::tenths_pt(26) } else { Length::tenths_pt(11) };
    let (dx, dy) = ((to.x - from.x).units(), (to.y - from.y).units());
    let whole = (dx.abs() + dy.abs()).max(1);
    // Strokes are level or upright, so that this is the length.
    let long = (Length::PT * 5).units().min(whole * 2 / 3);
    let (ux, uy) = (dx * long / whole, dy * long / whole);
    let step = |x: i64, y: i64| to.moved(Length::from_units(x), Length::from_units(y));
    let places = vec![to, step(-ux - uy * 2 / 5, -uy + ux * 2 / 5), step(-ux + uy * 2 / 5, -uy - ux * 2 / 5)];
    let head = Draw::Fill { path: Path(vec![Line { places, closed: true }]), rgb: INK };
    (Draw::line(from, to, width, INK), head)
}
