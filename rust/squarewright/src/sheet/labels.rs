//! Labels for the jars: cut along the lines and tape on.

use super::colours::{called, parts};
use super::draw::Draw;
use super::page::{HAIR, INK, Leaf, QUIET, RULE, body, share};
use super::press::Press;
use super::table::{Column, Entry, told};
use super::text::Style;
use super::told::Told;
use crate::length::{Area, Length, Place};
use crate::paint::{Jar, Measure};
use crate::plan::Plan;

/// Labels side by side and one below the other on a page.
const LABELS: (usize, usize) = (2, 6);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let leaf = |jars: &[Jar]| {
        let mut leaf = Leaf::new(press.say("labels.title"));
        leaf.told.push(listed(press, plan, jars));
        for (place, jar) in jars.iter().enumerate() {
            leaf.draws.extend(label(press, plan, jar, share(body(press), LABELS, place)));
        }
        leaf
    };
    plan.amounts().jars.chunks(LABELS.0 * LABELS.1).map(leaf).collect()
}

/// A label has the room of a jar: large print leaves it as it is.
fn label(press: &Press, plan: &Plan, jar: &Jar, area: Area) -> Vec<Draw> {
    let (code, name) = called(press, plan, jar.colour);
    let inside = area.inset(Length::PT * 8);
    let swatch = Area::new(inside.corner, Length::PT * 40, Length::PT * 40);
    let left = inside.left() + Length::PT * 48;
    let room = inside.width - Length::PT * 48;
    let mut lines = vec![(Style::Heading, format!("{code}  {name}")), (Style::Table, coats(press, jar))];
    if let Some(doses) = doses(press, plan, jar) {
        lines.push((Style::Table, doses));
    }
    let small = Style::Small.at_size(false);
    lines.push((Style::Small, small.shortened(plan.name(), room)));
    let mut draws = vec![
        Draw::frame(area, HAIR, RULE),
        Draw::block(swatch, jar.colour),
        Draw::frame(swatch, HAIR, QUIET),
        Draw::Text(small.at(Place::new(inside.left(), inside.bottom()), press.say("labels.mixed-on"), QUIET)),
    ];
    let mut y = inside.top() + Length::PT * 11;
    for (style, words) in lines {
        let style = style.at_size(false);
        for line in style.wrap(&words, room) {
            draws.push(Draw::Text(style.at(Place::new(left, y), line, INK)));
            y += style.leading();
        }
    }
    draws
}

/// Lists what stands on the labels.
fn listed(press: &Press, plan: &Plan, jars: &[Jar]) -> Told {
    let heads = ["colours.swatch", "colours.code", "colours.name", "labels.amount", "labels.recipe"];
    let row = |jar: &Jar| {
        let (code, name) = called(press, plan, jar.colour);
        vec![
            Entry::Swatch(jar.colour),
            Entry::Strong(code.to_owned()),
            Entry::Words(name),
            Entry::Words(coats(press, jar)),
            Entry::Words(doses(press, plan, jar).unwrap_or_default()),
        ]
    };
    let columns = heads.map(|key| Column::left(press.say(key), 0));
    told(&columns, &jars.iter().map(row).collect::<Vec<_>>())
}

/// Says how many coats a jar is for, and how much is in it.
pub(super) fn coats(press: &Press, jar: &Jar) -> String {
    let coats = press.counted("coats", jar.coats as usize);
    press.fill("labels.coats", &[("coats", &coats), ("ml", &press.millilitres(jar.batch_ml))])
}

/// Says what goes into a jar, when the paints are known.
pub(super) fn doses(press: &Press, plan: &Plan, jar: &Jar) -> Option<String> {
    match &*jar.doses {
        [] => None,
        [dose] => Some(press.fill("labels.flat", &[("paint", &press.paint(plan, &dose.paint))])),
        doses => Some(press.fill(measure(jar.measure), &[("doses", &parts(press, plan, doses))])),
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
