//! The mixing page: what goes into each jar, as numbers and as drops to count.

use super::colours::{called, name, parts};
use super::draw::Draw;
use super::page::{Flow, HAIR, INK, Leaf, QUIET, RULE};
use super::press::Press;
use super::text::Style;

use crate::length::{Area, Length, Place};
use crate::paint::{Match, Recipe, Remark, Step, Trust};
use crate::plan::Plan;

const LINE: Length = Length::from_units(Length::PT.units() * 16);
/// Where the columns begin: swatch, code and name, paint, number, drops.
const NAME: Length = Length::from_units(Length::PT.units() * 52);
const PAINT: Length = Length::from_units(Length::PT.units() * 196);
const COUNT: Length = Length::from_units(Length::PT.units() * 322);
const DROPS: Length = Length::from_units(Length::PT.units() * 332);
/// A drop, and the distance from one to the next.
const DROP: Length = Length::from_units(Length::PT.units() * 6);
const NEXT: Length = Length::from_units(Length::PT.units() * 8);
/// More drops than this are given as a number alone.
const COUNTED: u32 = 24;

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
    for recipe in &mixes.recipes {
        entry(&mut flow, plan, recipe);
    }
    for note in shared_notes(press, &mixes.recipes) {
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
    let rows = i64::try_from(recipe.parts.len()).unwrap_or(1).max(2);
    let ways: Vec<String> = recipe.alternatives.iter().map(|recipe| simpler(press, plan, recipe)).collect();
    let more = press.set(Style::Small).leading() * i64::try_from(ways.len()).unwrap_or(0);
    let height = LINE * rows + more + Length::PT * 10;
    flow.need(height);
    let (left, top) = (flow.area().left(), flow.y());
    flow.draw(Draw::line(Place::new(left, top), Place::new(flow.area().right(), top), HAIR, RULE));
    let swatch =
        Area::new(Place::new(left, top + Length::PT * 4), Length::PT * 44, LINE * 2 - Length::PT * 4);
    flow.draw(Draw::block(swatch, recipe.target));
    flow.draw(Draw::frame(swatch, HAIR, QUIET));
    let base = top + Length::PT * 14;
    let room = PAINT - NAME - Length::PT * 6;
    let title = press.set(Style::TableHead).shortened(&format!("{code}  {name}"), room);
    flow.draw(Draw::Text(press.set(Style::TableHead).at(Place::new(left + NAME, base), title, INK)));
    let pinned = if recipe.pinned { press.say("mixing.pinned") } else { "" };
    let judged = format!("{} · {}{pinned}", nearness(press, recipe), trust(press, recipe.blend.trust));
    flow.draw(Draw::Text(press.set(Style::Small).at(
        Place::new(left + NAME, base + LINE),
        press.set(Style::Small).shortened(&judged, room),
        QUIET,
    )));
    for (row, part) in (0..).zip(&recipe.parts) {
        let paint = press.paint(plan, &part.paint);
        drops(flow, (&paint, part.parts), Place::new(left, base + LINE * row), recipe.parts.len() == 1);
    }
    for (row, way) in (0..).zip(&ways) {
        let below = LINE * (rows - 1) + press.set(Style::Small).leading() * (row + 1) + Length::PT * 2;
        let at = Place::new(left + PAINT, base + below);
        let way = press.set(Style::Small).shortened(way, flow.area().width - PAINT);
        flow.draw(Draw::Text(press.set(Style::Small).at(at, way, QUIET)));
    }
    flow.skip(height);
}

/// One paint with its number, and as many drops to tick off.
fn drops(flow: &mut Flow<'_>, (paint, parts): (&str, u32), at: Place, alone: bool) {
    let press = flow.press();
    let room = COUNT - PAINT - Length::PT * 24;
    let paint = press.set(Style::Table).shortened(paint, room);
    flow.draw(Draw::Text(press.set(Style::Table).at(at.moved(PAINT, Length::ZERO), paint, INK)));
    if alone {
        let at = at.moved(DROPS - Length::PT * 10, Length::ZERO);
        flow.draw(Draw::Text(press.set(Style::Table).at(at, press.say("mixing.flat"), INK)));
        return;
    }
    let number = parts.to_string();
    flow.draw(Draw::Text(press.set(Style::TableHead).right(at.moved(COUNT, Length::ZERO), &number, INK)));
    if parts > COUNTED {
        return;
    }
    let mut x = at.x + DROPS;
    for drop in 0..parts {
        let gap = if drop > 0 && drop % 5 == 0 { Length::PT * 4 } else { Length::ZERO };
        x += gap;
        let square = Area::new(Place::new(x, at.y - DROP), DROP, DROP);
        flow.draw(Draw::frame(square, HAIR, INK));
        x += NEXT;
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

fn shared_notes(press: &Press, recipes: &[Recipe]) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    let unreached = recipes.iter().filter(|recipe| recipe.nearness() == Match::TestFirst).count();
    if unreached > 0 {
        notes.push(press.fill("mixing.unreached", &[("count", &unreached)]));
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
