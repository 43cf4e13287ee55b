//! The record: what is worth knowing years later, on one page, to keep with the figure.

use super::colours::{called, parts};
use super::cover::facts;
use super::draw::Draw;
use super::figure::picture;
use super::page::{Flow, HAIR, INK, Leaf, QUIET, RULE};
use super::press::Press;
use super::text::Style;
use crate::colour::Rgb;
use crate::length::{Area, Length, Place};
use crate::plan::Plan;

/// More colours than this stand in two columns, beside a smaller picture.
const ONE_COLUMN: usize = 24;
const GAP: Length = Length::from_units(Length::PT.units() * 16);
/// Where the words of a colour begin, behind its swatch, and where its mix does, behind its code.
const WORDS: Length = Length::from_units(Length::PT.units() * 26);
/// What is filled in by hand, two in a line.
const BY_HAND: [&str; 8] = [
    "record.place",
    "record.done",
    "record.board",
    "record.primer",
    "record.paints",
    "record.varnish",
    "record.glue",
    "record.fixings",
];
/// The most lines for notes.
const NOTES: i64 = 10;
/// The height of a line that is filled in by hand.
const LINE: Length = Length::from_units(Length::PT.units() * 21);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let colours = colours(plan);
    let columns = if colours.len() > ONE_COLUMN { 2 } else { 1 };
    let mut flow = Flow::new(press, press.say("record.title"));
    let width = Length::from_units((flow.area().width - GAP * (columns - 1)).units() / columns);
    let mixed: Vec<Mixed<'_>> =
        colours.iter().map(|&colour| Mixed::new(press, plan, colour, (columns, width))).collect();
    let style = press.set(Style::Table);
    let tall = mixed.iter().map(|mixed| mixed.height(press)).sum::<Length>().units() / columns;
    let hand = LINE.max(style.leading()) * i64::try_from(BY_HAND.len().div_ceil(2)).unwrap_or(1);
    let rest = Length::from_units(tall) + hand + style.leading() * 8;
    // The picture takes what the rest leaves, within reason.
    let height = (flow.area().height - rest).max(Length::PT * 84).min(Length::PT * 230);
    flow.lines(Style::Heading, plan.name(), Length::ZERO, INK);
    flow.skip(Length::PT * 4);
    head(&mut flow, plan, height);
    mixes(&mut flow, &mixed, (columns, width));
    by_hand(&mut flow);
    notes(&mut flow);
    flow.leaves()
}

/// Lists what is painted, in the order of the codes; the ground of a whole square last.
fn colours(plan: &Plan) -> Vec<Rgb> {
    let mut colours: Vec<Rgb> = plan.tally().iter().map(|tally| tally.colour).collect();
    let mixed = plan.mixes().recipes.iter().map(|recipe| recipe.target);
    let ground: Vec<Rgb> = mixed.filter(|colour| !colours.contains(colour)).collect();
    colours.extend(ground);
    colours
}

/// Sets the picture with the facts beside it.
fn head(flow: &mut Flow<'_>, plan: &Plan, height: Length) {
    let press = flow.press();
    let (style, strong) = (press.set(Style::Table), press.set(Style::TableHead));
    let width = Length::PT * 170;
    let corner = Place::new(flow.area().left(), flow.y());
    let (draws, high) = picture(plan, Area::new(corner, width, height));
    for draw in draws {
        flow.draw(draw);
    }
    let left = corner.x + width + GAP;
    let facts = facts(press, plan);
    let label = facts.iter().map(|(key, _)| style.width(press.say(key))).max().unwrap_or_default();
    let value = left + label + Length::PT * 10;
    let mut y = corner.y;
    for (key, words) in facts {
        flow.draw(Draw::Text(style.at(Place::new(left, y + style.size), press.say(key), QUIET)));
        for line in strong.wrap(&words, flow.area().right() - value) {
            flow.draw(Draw::Text(strong.at(Place::new(value, y + style.size), line, INK)));
            y += style.leading();
        }
    }
    flow.skip(high.max(y - corner.y) + Length::PT * 10);
}

/// Says how a colour is mixed; nothing when that is for the maker to write down.
fn mix(press: &Press, plan: &Plan, colour: Rgb) -> String {
    if plan.is_raw(colour) {
        return press.say("record.raw").to_owned();
    }
    let Some(recipe) = plan.mixes().recipe(colour) else { return String::new() };
    if let [part] = &*recipe.parts {
        return press.fill("labels.flat", &[("paint", &press.paint(plan, &part.paint))]);
    }
    parts(press, plan, &recipe.parts)
}

/// What stands beside the swatch of a colour.
struct Mixed<'a> {
    colour: Rgb,
    code: &'a str,
    /// Its name, where there is room for it or no mix.
    name: String,
    /// Its mix, in as many lines as it takes.
    mix: Vec<String>,
    /// Where the mix begins, from the left.
    indent: Length,
}

impl<'a> Mixed<'a> {
    fn new(press: &Press, plan: &'a Plan, colour: Rgb, (columns, width): (i64, Length)) -> Self {
        let (code, name) = called(press, plan, colour);
        let (style, strong) = (press.set(Style::Table), press.set(Style::TableHead));
        let words = mix(press, plan, colour);
        let named = columns == 1 || words.is_empty();
        let name = if named { name } else { String::new() };
        let codes = WORDS + strong.width("M8") + Length::PT * 8;
        let indent = if columns == 1 { codes + style.width("very light yellow 9") } else { codes };
        let mix = if words.is_empty() { Vec::new() } else { style.wrap(&words, width - indent) };
        Self { colour, code, name, mix, indent }
    }

    fn height(&self, press: &Press) -> Length {
        press.set(Style::Table).leading() * i64::try_from(self.mix.len().max(1)).unwrap_or(1)
    }

    fn set(&self, flow: &mut Flow<'_>, area: Area) {
        let press = flow.press();
        let (style, strong) = (press.set(Style::Table), press.set(Style::TableHead));
        let (left, base) = (area.left(), area.top() + style.size);
        let high = style.leading() - Length::PT * 3;
        let swatch = Area::new(area.corner.moved(Length::ZERO, Length::PT), WORDS - Length::PT * 6, high);
        flow.draw(Draw::block(swatch, self.colour));
        flow.draw(Draw::frame(swatch, HAIR, QUIET));
        flow.draw(Draw::Text(strong.at(Place::new(left + WORDS, base), self.code, INK)));
        let name = left + WORDS + strong.width("M8") + Length::PT * 8;
        flow.draw(Draw::Text(style.at(Place::new(name, base), &*self.name, INK)));
        for (line, words) in (0..).zip(&self.mix) {
            let at = Place::new(left + self.indent, base + style.leading() * line);
            flow.draw(Draw::Text(style.at(at, &**words, INK)));
        }
        if self.mix.is_empty() {
            // Who has no recipe yet writes it down here.
            let from = (name + style.width(&self.name) + Length::PT * 6).max(left + self.indent);
            let y = base + Length::PT * 2;
            flow.draw(Draw::line(Place::new(from, y), Place::new(area.right(), y), HAIR, RULE));
        }
    }
}

/// Lists the colours with their mixes, down one column and then the next.
fn mixes(flow: &mut Flow<'_>, mixed: &[Mixed<'_>], (columns, width): (i64, Length)) {
    let press = flow.press();
    flow.lines(Style::Table, press.say("record.mixes"), Length::ZERO, QUIET);
    flow.skip(Length::PT * 4);
    let mut rest = mixed;
    while !rest.is_empty() {
        let top = flow.y();
        let room = flow.area().bottom() - top;
        let deep = rest.len().div_ceil(usize::try_from(columns).unwrap_or(1));
        let mut lowest = top;
        for column in 0..columns {
            let mut y = top;
            for _ in 0..deep {
                let Some((next, later)) = rest.split_first() else { break };
                let height = next.height(press);
                if y > top && y + height > top + room {
                    break;
                }
                let corner = Place::new(flow.area().left() + (width + GAP) * column, y);
                next.set(flow, Area::new(corner, width, height));
                y += height;
                rest = later;
            }
            lowest = lowest.max(y);
        }
        flow.skip(lowest - top);
        if !rest.is_empty() {
            flow.need(flow.area().height);
        }
    }
    flow.skip(Length::PT * 6);
}

/// Sets the lines that are filled in by hand.
fn by_hand(flow: &mut Flow<'_>) {
    let press = flow.press();
    let style = press.set(Style::Table);
    let width = (flow.area().width - GAP).half();
    for pair in BY_HAND.chunks(2) {
        flow.need(LINE.max(style.leading()));
        flow.skip(LINE.max(style.leading()));
        for (column, key) in (0..).zip(pair) {
            let at = Place::new(flow.area().left() + (width + GAP) * column, flow.y() - Length::PT * 4);
            let words = press.say(key);
            flow.draw(Draw::Text(style.at(at, words, QUIET)));
            let from = at.moved(style.width(words) + Length::PT * 6, Length::PT * 2);
            flow.draw(Draw::line(from, Place::new(at.x + width, from.y), HAIR, QUIET));
        }
    }
}

/// Rules what is left of the page for notes, within reason.
fn notes(flow: &mut Flow<'_>) {
    let press = flow.press();
    let style = press.set(Style::Table);
    let (left, right, line) = (flow.area().left(), flow.area().right(), LINE.max(style.leading()));
    let room = flow.left_over().units() / line.units();
    let mut words = press.say("record.notes");
    for _ in 0..room.min(NOTES) {
        flow.skip(line);
        let at = Place::new(left, flow.y() - Length::PT * 4);
        flow.draw(Draw::Text(style.at(at, words, QUIET)));
        let from = at.moved(style.width(words) + Length::PT * 6, Length::PT * 2);
        flow.draw(Draw::line(from, Place::new(right, from.y), HAIR, QUIET));
        words = "";
    }
}
