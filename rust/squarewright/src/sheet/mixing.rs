//! The mixing page: what goes into each jar, as numbers and as drops to count.

use super::colours::{called, name, parts};
use super::draw::Draw;
use super::page::{Flow, HAIR, INK, Leaf, QUIET, RULE};
use super::press::Press;
use super::table::{Column, Entry, told};
use super::text::{Style, Type};
use super::told::Told;
use crate::colour::Rgb;
use crate::length::{Area, Length, Place};
use crate::paint::{Match, Part, Recipe, Remark, Step, Trust};
use crate::plan::Plan;

/// A drop, and the distance from one to the next.
const DROP: Length = Length::from_units(Length::PT.units() * 6);
const NEXT: Length = Length::from_units(Length::PT.units() * 15 / 2);
/// Room for a number beside a paint.
const PAINT: Length = Length::from_units(Length::PT.units() * 24);
/// More drops than this are given as a number alone.
const COUNTED: u32 = 24;

/// Where the columns begin, and how far lines are apart: swatch, code and name, paint, number, drops.
struct Stops {
    name: Length,
    paint: Length,
    count: Length,
    drops: Length,
    line: Length,
}

impl Stops {
    fn new(press: &Press) -> Self {
        let pt = |ordinary: i64, large: i64| Length::PT * if press.large_print { large } else { ordinary };
        Self {
            name: pt(52, 50),
            paint: pt(196, 204),
            count: pt(322, 330),
            drops: pt(332, 338),
            line: pt(16, 20),
        }
    }
}

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mixes = plan.mixes();
    if mixes.recipes.is_empty() {
        return Vec::new();
    }
    let mut flow = Flow::new(press, press.say("mixing.title"));
    flow.heading(press.say("mixing.title"));
    flow.paragraph(press.say("mixing.how"));
    flow.paragraph(press.say("mixing.words"));
    if mixes.typical {
        flow.paragraph(press.say("mixing.typical"));
    }
    flow.tell(listed(press, plan));
    for recipe in &mixes.recipes {
        entry(&mut flow, plan, recipe);
    }
    for note in shared_notes(press, plan, &mixes.recipes) {
        flow.note(&note);
    }
    if !mixes.pots.is_empty() {
        pots(&mut flow, plan);
    }
    flow.leaves()
}

fn entry(flow: &mut Flow<'_>, plan: &Plan, recipe: &Recipe) {
    let press = flow.press();
    let (code, name) = called(press, plan, recipe.target);
    let stops = Stops::new(press);
    let (strong, plain) = (press.set(Style::TableHead), press.set(Style::Table));
    let room = stops.paint - stops.name - Length::PT * 6;
    let mut words: Vec<(Type, Rgb, String)> =
        strong.wrap(&format!("{code}  {name}"), room).into_iter().map(|line| (strong, INK, line)).collect();
    words.extend(plain.wrap(&judged(press, recipe), room).into_iter().map(|line| (plain, QUIET, line)));
    let ways: Vec<String> = recipe.alternatives.iter().map(|recipe| simpler(press, plan, recipe)).collect();
    let ways: Vec<String> =
        ways.iter().flat_map(|way| plain.wrap(way, flow.area().width - stops.paint)).collect();
    let paints: Vec<Vec<String>> = recipe
        .parts
        .iter()
        .map(|part| plain.wrap(&press.paint(plan, &part.paint), stops.count - stops.paint - PAINT))
        .collect();
    let lines = paints.iter().map(Vec::len).sum::<usize>() + ways.len();
    let height = stops.line * i64::try_from(lines.max(words.len()).max(2)).unwrap_or(2) + Length::PT * 8;
    flow.need(height);
    let (left, top) = (flow.area().left(), flow.y());
    flow.draw(Draw::line(Place::new(left, top), Place::new(flow.area().right(), top), HAIR, RULE));
    let corner = Place::new(left, top + Length::PT * 4);
    let swatch = Area::new(corner, Length::PT * 44, stops.line * 2 - Length::PT * 4);
    flow.draws([Draw::block(swatch, recipe.target), Draw::frame(swatch, HAIR, QUIET)]);
    let mut base = top + plain.size + Length::PT * 4;
    let mut at = Place::new(left + stops.name, base);
    for (style, rgb, line) in words {
        flow.draw(Draw::Text(style.at(at, line, rgb)));
        at = at.moved(Length::ZERO, stops.line);
    }
    for (part, paint) in recipe.parts.iter().zip(paints) {
        drops(flow, part, Place::new(left, base), recipe.parts.len() == 1);
        for line in paint {
            flow.draw(Draw::Text(plain.at(Place::new(left + stops.paint, base), line, INK)));
            base += stops.line;
        }
    }
    for way in ways {
        flow.draw(Draw::Text(plain.at(Place::new(left + stops.paint, base), way, QUIET)));
        base += stops.line;
    }
    flow.skip(height);
}

/// Lists the recipes.
fn listed(press: &Press, plan: &Plan) -> Told {
    let heads = ["colours.swatch", "colours.code", "colours.name", "mixing.parts", "mixing.near"];
    let row = |recipe: &Recipe| {
        let (code, name) = called(press, plan, recipe.target);
        let simpler = recipe.alternatives.iter().map(|recipe| simpler(press, plan, recipe));
        let ways: Vec<String> = std::iter::once(parts(press, plan, &recipe.parts)).chain(simpler).collect();
        vec![
            Entry::Swatch(recipe.target),
            Entry::Strong(code.to_owned()),
            Entry::Words(name),
            Entry::Words(ways.join(" ")),
            Entry::Words(judged(press, recipe)),
        ]
    };
    let columns = heads.map(|key| Column::left(press.say(key), 0));
    told(&columns, &plan.mixes().recipes.iter().map(row).collect::<Vec<_>>())
}

fn judged(press: &Press, recipe: &Recipe) -> String {
    let pinned = if recipe.pinned { press.say("mixing.pinned") } else { "" };
    format!("{} · {}{pinned}", nearness(press, recipe), trust(press, recipe.blend.trust))
}

/// The number of a paint, and as many drops to tick off.
fn drops(flow: &mut Flow<'_>, part: &Part, at: Place, alone: bool) {
    let press = flow.press();
    let stops = Stops::new(press);
    if alone {
        let at = at.moved(stops.drops - Length::PT * 10, Length::ZERO);
        flow.draw(Draw::Text(press.set(Style::Table).at(at, press.say("mixing.flat"), INK)));
        return;
    }
    let (number, end) = (part.parts.to_string(), at.moved(stops.count, Length::ZERO));
    flow.draw(Draw::Text(press.set(Style::TableHead).right(end, &number, INK)));
    if part.parts > COUNTED {
        return;
    }
    for drop in 0..i64::from(part.parts) {
        let x = at.x + stops.drops + NEXT * drop + Length::PT * 4 * (drop / 5);
        let square = Area::new(Place::new(x, at.y - DROP), DROP, DROP);
        flow.draw(Draw::frame(square, HAIR, INK));
    }
}

fn simpler(press: &Press, plan: &Plan, recipe: &Recipe) -> String {
    let words = match &*recipe.parts {
        [part] => press.fill("labels.flat", &[("paint", &press.paint(plan, &part.paint))]),
        several => parts(press, plan, several),
    };
    press.fill("mixing.simpler", &[("recipe", &words), ("near", &nearness(press, recipe))])
}

fn nearness(press: &Press, recipe: &Recipe) -> &'static str {
    match recipe.nearness() {
        Match::Close => press.say("match.close"),
        Match::Fair => press.say("match.fair"),
        Match::TestFirst => press.say("match.test"),
    }
}

fn trust(press: &Press, trust: Trust) -> &'static str {
    match trust {
        Trust::TrustIt => press.say("trust.it"),
        Trust::DabFirst => press.say("trust.dab"),
        Trust::TestCardFirst => press.say("trust.card"),
    }
}

fn shared_notes(press: &Press, plan: &Plan, recipes: &[Recipe]) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    let unreached: Vec<&str> = recipes
        .iter()
        .filter(|recipe| recipe.nearness() == Match::TestFirst)
        .map(|recipe| called(press, plan, recipe.target).0)
        .collect();
    if !unreached.is_empty() {
        notes.push(press.fill("mixing.unreached", &[("colours", &unreached.join(", "))]));
    }
    let is_screened = |remark: &Remark| matches!(remark, Remark::Screened { .. });
    if recipes.iter().flat_map(|recipe| &recipe.notes).any(is_screened) {
        notes.push(press.say("mixing.screened").into());
    }
    notes
}

fn pots(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    flow.heading(press.say("pot.title"));
    flow.paragraph(press.say("pot.how"));
    for pot in &plan.mixes().pots {
        for (number, step) in (1..).zip(pot) {
            let code = plan.tally().iter().find(|tally| tally.colour == step.target);
            let code =
                code.map_or_else(String::new, |tally| format!("{} {}", tally.code, name(press, plan, tally)));
            flow.item(&format!("{number}."), &format!("{code}: {}.", words(press, plan, step)));
        }
        flow.skip(Length::PT * 6);
    }
}

fn words(press: &Press, plan: &Plan, step: &Step) -> String {
    let parts = parts(press, plan, &step.added);
    match step.pot {
        0 => press.fill("pot.begin", &[("parts", &parts)]),
        pot => press.fill("pot.add", &[("pot", &pot), ("parts", &parts)]),
    }
}
