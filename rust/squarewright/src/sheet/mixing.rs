//! The mixing page: what goes into each jar, as numbers and as drops to count.

use super::colours::called;
use super::draw::Draw;
use super::page::{Flow, HAIR, INK, Leaf, QUIET, RULE};
use super::paper::Paper;
use super::table::{Column, Entry, told};
use super::text::Style;
use super::told::Told;
use super::words::{fill, say};
use crate::length::{Area, Length, Place};
use crate::paint::{Match, Part, Recipe, Remark, Step, Trust};
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

pub(super) fn leaves(plan: &Plan, paper: Paper) -> Vec<Leaf> {
    let mixes = plan.mixes();
    if mixes.recipes.is_empty() {
        return Vec::new();
    }
    let mut flow = Flow::new(say("mixing.title"), paper);
    flow.heading(say("mixing.title"));
    flow.paragraph(say("mixing.how"));
    flow.paragraph(say("mixing.words"));
    if mixes.typical {
        flow.paragraph(say("mixing.typical"));
    }
    flow.tell(listed(plan, &mixes.recipes));
    for recipe in &mixes.recipes {
        entry(&mut flow, recipe, called(plan, recipe.target));
    }
    for note in shared_notes(&mixes.recipes) {
        flow.note(&note);
    }
    if !mixes.pots.is_empty() {
        pots(&mut flow, plan);
    }
    flow.leaves()
}

fn entry(flow: &mut Flow, recipe: &Recipe, (code, name): (&str, &str)) {
    let rows = i64::try_from(recipe.parts.len()).unwrap_or(1).max(2);
    let ways: Vec<String> = recipe.alternatives.iter().map(simpler).collect();
    let more = Style::Small.leading() * i64::try_from(ways.len()).unwrap_or(0);
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
    let title = Style::TableHead.shortened(&format!("{code}  {name}"), room);
    flow.draw(Draw::Text(Style::TableHead.at(Place::new(left + NAME, base), title, INK)));
    flow.draw(Draw::Text(Style::Small.at(
        Place::new(left + NAME, base + LINE),
        Style::Small.shortened(&judged(recipe), room),
        QUIET,
    )));
    for (row, part) in (0..).zip(&recipe.parts) {
        drops(flow, part, Place::new(left, base + LINE * row), recipe.parts.len() == 1);
    }
    for (row, way) in (0..).zip(&ways) {
        let below = LINE * (rows - 1) + Style::Small.leading() * (row + 1) + Length::PT * 2;
        let at = Place::new(left + PAINT, base + below);
        let way = Style::Small.shortened(way, flow.area().width - PAINT);
        flow.draw(Draw::Text(Style::Small.at(at, way, QUIET)));
    }
    flow.skip(height);
}

/// Lists the recipes.
fn listed(plan: &Plan, recipes: &[Recipe]) -> Told {
    let columns = [
        Column::left(say("colours.swatch"), 0),
        Column::left(say("colours.code"), 0),
        Column::left(say("colours.name"), 0),
        Column::left(say("mixing.parts"), 0),
        Column::left(say("mixing.near"), 0),
    ];
    let row = |recipe: &Recipe| {
        let (code, name) = called(plan, recipe.target);
        let ways = std::iter::once(recipe.to_string()).chain(recipe.alternatives.iter().map(simpler));
        vec![
            Entry::Swatch(recipe.target),
            Entry::Strong(code.to_owned()),
            Entry::Words(name.to_owned()),
            Entry::Words(ways.collect::<Vec<_>>().join(" ")),
            Entry::Words(judged(recipe)),
        ]
    };
    told(&columns, &recipes.iter().map(row).collect::<Vec<_>>())
}

fn judged(recipe: &Recipe) -> String {
    let pinned = if recipe.pinned { say("mixing.pinned") } else { "" };
    format!("{} · {}{pinned}", nearness(recipe), trust(recipe.blend.trust))
}

/// One paint with its number, and as many drops to tick off.
fn drops(flow: &mut Flow, part: &Part, at: Place, alone: bool) {
    let room = COUNT - PAINT - Length::PT * 24;
    let paint = Style::Table.shortened(&part.paint, room);
    flow.draw(Draw::Text(Style::Table.at(at.moved(PAINT, Length::ZERO), paint, INK)));
    if alone {
        let at = at.moved(DROPS - Length::PT * 10, Length::ZERO);
        flow.draw(Draw::Text(Style::Table.at(at, say("mixing.flat"), INK)));
        return;
    }
    let number = part.parts.to_string();
    flow.draw(Draw::Text(Style::TableHead.right(at.moved(COUNT, Length::ZERO), &number, INK)));
    if part.parts > COUNTED {
        return;
    }
    let mut x = at.x + DROPS;
    for drop in 0..part.parts {
        let gap = if drop > 0 && drop % 5 == 0 { Length::PT * 4 } else { Length::ZERO };
        x += gap;
        let square = Area::new(Place::new(x, at.y - DROP), DROP, DROP);
        flow.draw(Draw::frame(square, HAIR, INK));
        x += NEXT;
    }
}

fn simpler(recipe: &Recipe) -> String {
    fill("mixing.simpler", &[("recipe", recipe), ("near", &nearness(recipe))])
}

fn nearness(recipe: &Recipe) -> &'static str {
    match recipe.nearness() {
        Match::Close => say("match.close"),
        Match::Fair => say("match.fair"),
        Match::TestFirst => say("match.test"),
    }
}

fn trust(trust: Trust) -> &'static str {
    match trust {
        Trust::TrustIt => say("trust.it"),
        Trust::DabFirst => say("trust.dab"),
        Trust::TestCardFirst => say("trust.card"),
    }
}

fn shared_notes(recipes: &[Recipe]) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    let unreached = recipes.iter().filter(|recipe| recipe.nearness() == Match::TestFirst).count();
    if unreached > 0 {
        notes.push(fill("mixing.unreached", &[("count", &unreached)]));
    }
    let is_screened = |remark: &Remark| matches!(remark, Remark::Screened { .. });
    if recipes.iter().flat_map(|recipe| &recipe.notes).any(is_screened) {
        notes.push(say("mixing.screened").into());
    }
    notes
}

fn pots(flow: &mut Flow, plan: &Plan) {
    flow.heading(say("pot.title"));
    flow.paragraph(say("pot.how"));
    for pot in &plan.mixes().pots {
        for (number, step) in (1..).zip(pot) {
            let code = plan.tally().iter().find(|tally| tally.colour == step.target);
            let code = code.map_or_else(String::new, |tally| format!("{} {}", tally.code, tally.name));
            flow.item(&format!("{number}."), &format!("{code}: {}.", words(step)));
        }
        flow.skip(Length::PT * 6);
    }
}

fn words(step: &Step) -> String {
    let parts: Vec<String> = step.added.iter().map(|part| format!("{} {}", part.parts, part.paint)).collect();
    let parts = parts.join(" + ");
    match step.pot {
        0 => fill("pot.begin", &[("parts", &parts)]),
        pot => fill("pot.add", &[("pot", &pot), ("parts", &parts)]),
    }
}
