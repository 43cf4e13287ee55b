//! Hanging: what it weighs, where it balances, what holds it, and what to look out for.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::words::kept;
use crate::cut::Estimate;
use crate::length::{Length, Place, System};
use crate::plan::{Ending, Frame, Plan};

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("hanging.title"));
    flow.heading(press.say("hanging.title"));
    weight(&mut flow, plan);
    places(&mut flow, plan);
    flow.heading(press.say("hanging.order"));
    let framed = plan.making().ending == Ending::WholeSquare;
    let on = match (framed, plan.making().backing) {
        (true, _) => "hanging.on-frame",
        (false, true) => "hanging.on-card",
        (false, false) => "hanging.on-board",
    };
    for key in ["hanging.weigh", on, "hanging.wipe", "hanging.wait", "hanging.level"] {
        flow.ticked(press.say(key));
    }
    for key in ["hanging.safe-wall", "hanging.safe-strips", "hanging.safe-place", "hanging.safe-damp"] {
        flow.item("!", press.say(key));
    }
    flow.leaves()
}

fn weight(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let hanging = plan.hanging();
    let said = |weight: f64| grams(press, plan, weight);
    let Estimate { low, likely, high } = hanging.grams();
    flow.paragraph(
        &press
            .fill("hanging.weight", &[("likely", &said(likely)), ("low", &said(low)), ("high", &said(high))]),
    );
    let density = plan.mounting().density;
    let parts = [
        ("board", said(hanging.board.likely)),
        ("card", said(hanging.card.likely)),
        ("glue", said(hanging.glue.likely)),
        ("paint", said(hanging.paint.likely)),
        ("thickness", kept(&press.ruler(plan).text(plan.thickness()))),
        ("density", press.decimal(density.likely, 2)),
        ("least", press.decimal(density.low, 2)),
        ("most", press.decimal(density.high, 2)),
    ];
    let values: Vec<(&str, &dyn std::fmt::Display)> =
        parts.iter().map(|(name, words)| (*name, words as &dyn std::fmt::Display)).collect();
    flow.note(&press.fill("hanging.parts", &values));
    let mounting = plan.mounting();
    flow.paragraph(&press.fill(
        "hanging.fixings",
        &[
            ("factor", &mounting.rating),
            ("rated", &said(hanging.rated)),
            ("count", &hanging.fixings),
            ("each", &said(mounting.fixing)),
        ],
    ));
    if let Some(Frame { width, height, depth }) = hanging.frame {
        let text = |length: Length| kept(&press.ruler(plan).above(length));
        flow.paragraph(&press.fill(
            "hanging.frame",
            &[("width", &text(width)), ("height", &text(height)), ("depth", &text(depth))],
        ));
    }
}

/// Says where it balances and where fixings go, as it is measured from behind.
fn places(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let (hanging, hung) = (plan.hanging(), plan.hung());
    let ruler = press.ruler(plan);
    let text = |length: Length| kept(&ruler.near(length));
    let across = |at: Place| text(hung.right() - at.x);
    let down = |at: Place| text(at.y - hung.top());
    let point = |key: &str, at: Place| press.fill(key, &[("x", &across(at)), ("y", &down(at))]);
    flow.paragraph(&point("hanging.balance", hanging.balance));
    // The fixings of a framed square are on its frame.
    if hanging.frame.is_some() {
        return;
    }
    // Rounded up, so that a fixing keeps its distance.
    let inset = kept(&ruler.near(plan.mounting().inset));
    match hanging.hook {
        Some(at) => flow.paragraph(&point("hanging.hook", at)),
        None => flow.paragraph(&press.fill("hanging.no-hook", &[("inset", &inset)])),
    }
    if let Some((left, right)) = hanging.pair {
        flow.paragraph(&press.fill(
            "hanging.pair",
            &[
                ("first", &across(right)),
                ("second", &across(left)),
                ("y", &down(left)),
                ("apart", &text(right.x - left.x)),
                ("inset", &inset),
            ],
        ));
    }
    if plan.backing().is_some_and(|backing| backing.parts > 1) {
        flow.paragraph(press.say("hanging.islands"));
    }
}

/// Writes a weight to the gram, or to a tenth of an ounce (28.349523125 g, the international avoirdupois ounce).
pub(super) fn grams(press: &Press, plan: &Plan, grams: f64) -> String {
    match plan.fit().ruler.system() {
        System::Inch => kept(&press.fill(
            "hanging.ounces",
            &[("oz", &press.decimal(grams / 28.349_523_125, 1)), ("g", &press.decimal(grams, 0))],
        )),
        System::Metric => kept(&press.fill("hanging.grams", &[("g", &press.decimal(grams, 0))])),
    }
}
