//! Labels for the jars: cut along the lines and tape on.

use super::colours::{called, parts};
use super::draw::Draw;
use super::page::{HAIR, INK, Leaf, QUIET, RULE, body, share};
use super::press::Press;
use super::text::Style;

use crate::length::{Area, Length, Place};
use crate::paint::{Jar, Measure};
use crate::plan::Plan;

/// Labels side by side and one below the other on a page.
const LABELS: (usize, usize) = (2, 6);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let leaf = |jars: &[Jar]| {
        let mut leaf = Leaf::new(press.say("labels.title"));
        for (place, jar) in jars.iter().enumerate() {
            leaf.draws.extend(label(press, plan, jar, share(body(press), LABELS, place)));
        }
        leaf
    };
    plan.amounts().jars.chunks(LABELS.0 * LABELS.1).map(leaf).collect()
}

fn label(press: &Press, plan: &Plan, jar: &Jar, area: Area) -> Vec<Draw> {
    let (code, name) = called(press, plan, jar.colour);
    let inside = area.inset(Length::PT * 8);
    let swatch = Area::new(inside.corner, Length::PT * 40, Length::PT * 40);
    let left = inside.left() + Length::PT * 48;
    let room = inside.width - Length::PT * 48;
    let mut lines = vec![
        (Style::Heading, format!("{code}  {name}")),
        (
            Style::Table,
            press.fill(
                "labels.coats",
                &[
                    ("coats", &press.counted("coats", jar.coats as usize)),
                    ("ml", &press.millilitres(jar.batch_ml)),
                ],
            ),
        ),
    ];
    if jar.doses.len() > 1 {
        let doses = press.fill(measure(jar.measure), &[("doses", &parts(press, plan, &jar.doses))]);
        lines.extend(press.set(Style::Table).wrap(&doses, room).into_iter().map(|line| (Style::Table, line)));
    } else if let [dose] = &*jar.doses {
        lines.push((Style::Table, press.fill("labels.flat", &[("paint", &press.paint(plan, &dose.paint))])));
    }
    lines.push((Style::Small, plan.name().to_owned()));
    let mut draws = vec![
        Draw::frame(area, HAIR, RULE),
        Draw::block(swatch, jar.colour),
        Draw::frame(swatch, HAIR, QUIET),
        Draw::Text(press.set(Style::Small).at(
            Place::new(inside.left(), inside.bottom()),
            press.say("labels.mixed-on"),
            QUIET,
        )),
    ];
    let mut y = inside.top() + Length::PT * 11;
    for (style, words) in lines {
        let style = press.set(style);
        draws.push(Draw::Text(style.at(Place::new(left, y), style.shortened(&words, room), INK)));
        y += style.leading();
    }
    draws
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
