//! Card and glue: how much of both, and what to do in which order.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::words::kept;
use crate::cut::{Backing, Estimate, Joints, Rim};
use crate::length::Length;
use crate::plan::{Ending, Plan, Rate};

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let Some(backing) = plan.backing() else { return Vec::new() };
    let mut flow = Flow::new(press, press.say("gluing.title"));
    flow.heading(press.say("gluing.title"));
    amounts(&mut flow, plan, backing);
    flow.heading(press.say("gluing.order"));
    let (low, high) = plan.timing().rates.minutes(Rate::Dry);
    let text = |length: Length| kept(&press.ruler(plan).near(length));
    let extent = backing.extent();
    let cut = match plan.making().ending {
        Ending::CutOut => "gluing.cut",
        Ending::WholeSquare => "gluing.cut-square",
    };
    let sides = format!("{} × {}", text(extent.width), text(extent.height));
    flow.ticked(&press.fill(cut, &[("margin", &text(backing.card.margin)), ("sides", &sides)]));
    for key in ["gluing.flat", "gluing.spread", "gluing.lay", "gluing.press"] {
        flow.ticked(press.say(key));
    }
    let hours = |minutes: f64| press.decimal(minutes / 60.0, 0);
    flow.ticked(&press.fill("gluing.dry", &[("low", &hours(low)), ("high", &hours(high))]));
    flow.ticked(press.say(if backing.webs.is_empty() { "gluing.trim" } else { "gluing.trim-webs" }));
    if backing.closed_holes > 0 {
        flow.ticked(&press.tell("gluing.holes", backing.closed_holes, &[]));
    }
    if !backing.webs.is_empty() {
        let side = backing.webs[0].width;
        flow.ticked(&press.tell("gluing.webs", backing.webs.len(), &[("side", &text(side))]));
    }
    if backing.parts > 1 {
        flow.paragraph(&press.fill("gluing.parts", &[("count", &backing.parts)]));
    }
    joints(&mut flow, plan, backing);
    for key in ["gluing.safe-glue", "gluing.safe-knife", "gluing.safe-weights"] {
        flow.item("!", press.say(key));
    }
    flow.leaves()
}

/// Says where sheets of card meet, and that they hold the panels together.
fn joints(flow: &mut Flow<'_>, plan: &Plan, backing: &Backing) {
    let press = flow.press();
    let Backing { joints, .. } = backing;
    let (corner, ruler) = (backing.extent().corner, press.ruler(plan));
    let sides = [
        ("gluing.joint-upright", &joints.upright, corner.x),
        ("gluing.joint-level", &joints.level, corner.y),
    ];
    for (key, along, start) in sides.into_iter().filter(|(_, along, _)| !along.is_empty()) {
        let places: Vec<String> = along.iter().map(|&at| kept(&ruler.near(at - start))).collect();
        flow.paragraph(&press.fill(key, &[("places", &places.join(", "))]));
    }
    if plan.fit().pieces.len() == 1 {
        return;
    }
    let clear = kept(&ruler.text(Joints::CLEAR));
    match joints.near_seams {
        0 if joints.is_empty() => flow.paragraph(press.say("gluing.whole")),
        0 => flow.paragraph(&press.fill("gluing.joints", &[("clear", &clear)])),
        count => flow.item("!", &press.fill("gluing.joints-near", &[("count", &count), ("clear", &clear)])),
    }
}

fn amounts(flow: &mut Flow<'_>, plan: &Plan, backing: &Backing) {
    let press = flow.press();
    let ruler = press.ruler(plan);
    let (width, height) = backing.card.sheet;
    let sheet = kept(&format!("{} × {}", ruler.text(width), ruler.text(height)));
    let cut = Length::from_units(Length::MM.units() / 100 * hundredths(backing.cut_mm()));
    let cut = kept(&ruler.near(cut));
    flow.paragraph(
        &press.fill("gluing.card", &[("count", &backing.sheets), ("sheet", &sheet), ("cut", &cut)]),
    );
    if backing.card.corners == Rim::Few {
        let cuts = backing.straight_cuts().unwrap_or_default();
        let more = backing.extra_mm2 / (backing.mm2() - backing.extra_mm2) * 100.0;
        flow.paragraph(&press.fill("gluing.few", &[("cuts", &cuts), ("more", &press.decimal(more, 0))]));
    }
    let Estimate { low, likely, high } = backing.glue_ml();
    let spread = backing.card.glue;
    let whole = |number: f64| press.decimal(number, 0);
    flow.paragraph(&press.fill(
        "gluing.glue",
        &[
            ("likely", &whole(likely.max(1.0))),
            ("low", &whole(low.max(1.0))),
            ("high", &whole(high.max(1.0))),
            ("spread", &whole(spread.likely)),
            ("least", &whole(spread.low)),
            ("most", &whole(spread.high)),
        ],
    ));
}

#[expect(clippy::cast_possible_truncation, reason = "a card is far shorter than the longest length")]
fn hundredths(mm: f64) -> i64 {
    libm::round(mm * 100.0) as i64
}
