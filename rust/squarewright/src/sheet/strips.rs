//! Edge strips at true size: taped to the four sides of a panel, they carry every mark.

use super::bars;
use super::draw::Draw;
use super::marks::panel_name;
use super::page::{INK, Leaf, QUIET, body};
use super::press::Press;
use super::text::{CODE_BOLD, Style};

use crate::length::{Area, Length, Place};
use crate::outline::Marking;
use crate::panel::{Mark, Piece};
use crate::plan::Plan;

const HEIGHT: Length = Length::inches(17, 20);
const GAP: Length = Length::inches(3, 20);
const HAIR: Length = Length::from_units(Length::PT.units() / 3);

/// A side of the panel; the marks of a strip touch the board when it lies outside that side.
#[derive(Clone, Copy)]
struct Side {
    key: &'static str,
    /// Whether the marks stand on the lower edge of the strip.
    down: bool,
    level: bool,
}

const SIDES: [Side; 4] = [
    Side { key: "strips.top", down: true, level: true },
    Side { key: "strips.bottom", down: false, level: true },
    Side { key: "strips.left", down: false, level: false },
    Side { key: "strips.right", down: true, level: false },
];

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut leaves = Vec::new();
    for piece in &plan.fit().pieces {
        let mut sheet = Sheet::new(press, plan, piece);
        for side in SIDES {
            sheet.side(side);
        }
        leaves.extend(sheet.leaves);
    }
    leaves
}

struct Sheet<'a> {
    press: &'a Press,
    plan: &'a Plan,
    piece: &'a Piece,
    area: Area,
    y: Length,
    leaves: Vec<Leaf>,
}

impl<'a> Sheet<'a> {
    fn new(press: &'a Press, plan: &'a Plan, piece: &'a Piece) -> Self {
        let mut sheet = Self { press, plan, piece, area: body(press), y: Length::ZERO, leaves: Vec::new() };
        sheet.leaf();
        sheet
    }

    fn leaf(&mut self) {
        let press = self.press;
        let mut leaf = Leaf::true_size(press.say("strips.title"));
        let mut words =
            [panel_name(press, self.plan, self.piece), press.say("strips.how").to_owned()].join(". ");
        if self.plan.making().marking == Marking::Sparse {
            words = format!("{words} {}", press.say("strips.sparse"));
        }
        let mut y = self.area.top();
        for line in press.set(Style::Table).wrap(&words, self.area.width) {
            y += press.set(Style::Table).leading();
            leaf.draws.push(Draw::Text(press.set(Style::Table).at(
                Place::new(self.area.left(), y),
                line,
                INK,
            )));
        }
        let foot = Place::new(self.area.left(), self.area.bottom() - bars::BAND);
        leaf.draws.extend(bars::level(press, Area::new(foot, self.area.width, bars::BAND)));
        self.y = y + GAP;
        self.leaves.push(leaf);
    }

    fn side(&mut self, side: Side) {
        let fit = self.plan.fit();
        let lines = self.plan.lines(self.piece);
        let (span, marks, lines) = if side.level {
            (fit.panel.width(), fit.column_marks(self.piece), lines.columns)
        } else {
            (fit.panel.height(), fit.row_marks(self.piece), lines.rows)
        };
        let is_kept = |mark: &Mark| lines.iter().any(|line| line.index == mark.index);
        let marks: Vec<(Mark, bool)> = marks.into_iter().map(|mark| (mark, is_kept(&mark))).collect();
        let parts = (span.units() - 1) / self.area.width.units() + 1;
        let cut = |part: i64| Length::from_units(span.units() * part / parts);
        for part in 0..parts {
            if self.y + HEIGHT > self.area.bottom() - bars::BAND {
                self.leaf();
            }
            let strip = Strip { side, from: cut(part), to: cut(part + 1), span, corner: self.area.corner };
            let strip = Strip { corner: Place::new(strip.corner.x, self.y), ..strip };
            let label = label(self.press, side, (part, parts));
            let draws = strip.draws(self.press, &marks, &label, &self.press.ruler(self.plan).text(span));
            if let Some(leaf) = self.leaves.last_mut() {
                leaf.draws.extend(draws);
            }
            self.y += HEIGHT + GAP;
        }
    }
}

fn label(press: &Press, side: Side, (part, parts): (i64, i64)) -> String {
    let piece = press.fill("strips.part", &[("part", &(part + 1)), ("parts", &parts)]);
    if parts == 1 { press.say(side.key).to_owned() } else { format!("{} · {piece}", press.say(side.key)) }
}

struct Strip {
    side: Side,
    from: Length,
    to: Length,
    span: Length,
    corner: Place,
}

impl Strip {
    /// Gives the place `along` the edge of the panel, `depth` into the strip from its marked edge.
    fn at(&self, along: Length, depth: Length) -> Place {
        let x = self.corner.x + along - self.from;
        let y = if self.side.down { self.corner.y + HEIGHT - depth } else { self.corner.y + depth };
        Place::new(x, y)
    }

    fn tick(&self, along: Length, depth: Length, width: Length) -> Draw {
        Draw::line(self.at(along, Length::ZERO), self.at(along, depth), width, INK)
    }

    fn words(&self, along: Length, depth: Length, words: &str) -> Draw {
        let style = CODE_BOLD;
        // Words keep off the lines at both ends.
        let half = style.width(words).half() + Length::PT * 2;
        let x = (self.corner.x + along - self.from).max(self.corner.x + half);
        let x = x.min(self.corner.x + self.to - self.from - half);
        let y = self.at(along, depth).y + Length::PT * 3;
        Draw::Text(style.centred(Place::new(x, y), words, INK))
    }

    fn draws(&self, press: &Press, marks: &[(Mark, bool)], label: &str, span: &str) -> Vec<Draw> {
        let (short, mid, long) = (Length::PT * 14, Length::PT * 20, Length::PT * 27);
        let mut draws =
            vec![Draw::line(self.at(self.from, Length::ZERO), self.at(self.to, Length::ZERO), HAIR, QUIET)];
        for &(mark, kept) in marks {
            let along = mark.position.nearest();
            if along < self.from || along > self.to {
                continue;
            }
            let (depth, width) = match mark.index {
                index if index % 10 == 0 => (long, Length::PT),
                index if index % 5 == 0 => (mid, Length::PT),
                _ if kept => (short, Length::from_units(Length::PT.units() / 2)),
                // No mark to make: it is there to count by.
                _ => (Length::PT * 5, HAIR),
            };
            draws.push(self.tick(along, depth, width));
            if mark.index % 5 == 0 {
                draws.push(self.words(along, long + Length::PT * 6, &mark.index.to_string()));
            }
        }
        let full = HEIGHT - Length::PT * 12;
        for (along, name) in [
            (
                self.from,
                if self.from == Length::ZERO {
                    press.say("strips.start").to_owned()
                } else {
                    press.say("strips.join").into()
                },
            ),
            (
                self.to,
                if self.to == self.span {
                    press.fill("strips.end", &[("span", &span)])
                } else {
                    press.say("strips.join").into()
                },
            ),
        ] {
            draws.push(self.tick(along, full, Length::PT));
            draws.push(self.words(along, full + Length::PT * 6, &name));
        }
        let middle = (self.from + self.to).half();
        draws.push(self.words(middle, long + Length::PT * 17, label));
        draws
    }
}
