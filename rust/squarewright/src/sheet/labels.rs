//! Labels for the jars: cut along the lines and tape on.

use super::buying::millilitres;
use super::colours::called;
use super::draw::Draw;
use super::page::{HAIR, INK, Leaf, QUIET, RULE, body, share};
use super::paper::Paper;
use super::table::{Column, Entry, told};
use super::text::Style;
use super::told::Told;
use super::words::{counted, fill, say};
use crate::length::{Area, Length, Place};
use crate::paint::{Jar, Measure};
use crate::plan::Plan;

/// Labels side by side and one below the other on a page.
const LABELS: (usize, usize) = (2, 6);

pub(super) fn leaves(plan: &Plan, paper: Paper) -> Vec<Leaf> {
    let leaf = |jars: &[Jar]| {
        let mut leaf = Leaf::new(say("labels.title"));
        leaf.told.push(listed(plan, jars));
        for (place, jar) in jars.iter().enumerate() {
            leaf.draws.extend(label(plan, jar, share(body(paper), LABELS, place)));
        }
        leaf
    };
    plan.amounts().jars.chunks(LABELS.0 * LABELS.1).map(leaf).collect()
}

fn label(plan: &Plan, jar: &Jar, area: Area) -> Vec<Draw> {
    let (code, name) = called(plan, jar.colour);
    let inside = area.inset(Length::PT * 8);
    let swatch = Area::new(inside.corner, Length::PT * 40, Length::PT * 40);
    let left = inside.left() + Length::PT * 48;
    let room = inside.width - Length::PT * 48;
    let mut lines = vec![(Style::Heading, format!("{code}  {name}")), (Style::Table, coats(jar))];
    if let Some(doses) = doses(jar) {
        lines.extend(Style::Table.wrap(&doses, room).into_iter().map(|line| (Style::Table, line)));
    }
    lines.push((Style::Small, plan.name().to_owned()));
    let mut draws = vec![
        Draw::frame(area, HAIR, RULE),
        Draw::block(swatch, jar.colour),
        Draw::frame(swatch, HAIR, QUIET),
        Draw::Text(Style::Small.at(
            Place::new(inside.left(), inside.bottom()),
            say("labels.mixed-on"),
            QUIET,
        )),
    ];
    let mut y = inside.top() + Length::PT * 11;
    for (style, words) in lines {
        draws.push(Draw::Text(style.at(Place::new(left, y), style.shortened(&words, room), INK)));
        y += style.leading();
    }
    draws
}

/// Lists what stands on the labels.
fn listed(plan: &Plan, jars: &[Jar]) -> Told {
    let columns = [
        Column::left(say("colours.swatch"), 0),
        Column::left(say("colours.code"), 0),
        Column::left(say("colours.name"), 0),
        Column::left(say("labels.amount"), 0),
        Column::left(say("labels.recipe"), 0),
    ];
    let row = |jar: &Jar| {
        let (code, name) = called(plan, jar.colour);
        vec![
            Entry::Swatch(jar.colour),
            Entry::Strong(code.to_owned()),
            Entry::Words(name.to_owned()),
            Entry::Words(coats(jar)),
            Entry::Words(doses(jar).unwrap_or_default()),
        ]
    };
    told(&columns, &jars.iter().map(row).collect::<Vec<_>>())
}

fn coats(jar: &Jar) -> String {
    let coats = counted("coats", jar.coats as usize);
    fill("labels.coats", &[("coats", &coats), ("ml", &millilitres(jar.batch_ml))])
}

/// Says what goes into a jar, when the paints are known.
fn doses(jar: &Jar) -> Option<String> {
    let doses: Vec<String> = jar.doses.iter().map(|dose| format!("{} {}", dose.parts, dose.paint)).collect();
    match &*jar.doses {
        [] => None,
        [dose] => Some(fill("labels.flat", &[("paint", &dose.paint)])),
        _ => Some(fill(measure(jar.measure), &[("doses", &doses.join(" + "))])),
    }
}

fn measure(measure: Measure) -> &'static str {
    match measure {
        Measure::Drop => "labels.drops",
        Measure::QuarterTeaspoon => "labels.quarter-teaspoons",
        Measure::Teaspoon => "labels.teaspoons",
        Measure::Tenth => "labels.tenths",
        Measure::Millilitre => "labels.millilitres",
    }
}
