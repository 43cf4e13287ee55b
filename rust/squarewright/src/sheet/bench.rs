//! At the bench: the first hour, the tools, and how not to get hurt.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::words::kept;
use crate::length::Length;
use crate::outline::Marking;
use crate::plan::{Ending, Plan, Step};

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("bench.title"));
    first_hour(&mut flow, plan);
    tools(&mut flow, plan);
    let mut leaves = flow.leaves();
    leaves.extend(safety(press, plan));
    leaves
}

fn first_hour(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    flow.heading(press.say("hour.title"));
    let panel = plan.fit().panel;
    let ruler = press.ruler(plan);
    for (number, step) in Step::FIRST_HOUR.into_iter().enumerate() {
        let words = press.fill(
            step_key(step, plan.making().marking),
            &[("width", &kept(&ruler.text(panel.width()))), ("height", &kept(&ruler.text(panel.height())))],
        );
        flow.item(&format!("{}.", number + 1), &words);
    }
}

fn step_key(step: Step, marking: Marking) -> &'static str {
    match step {
        Step::MarkAllRound if marking == Marking::Sparse => "hour.mark-sparse",
        Step::InnerLines if marking == Marking::Sparse => "hour.inner-sparse",
        Step::CheckPrint => "hour.check-print",
        Step::MeasureBoard => "hour.measure",
        Step::ChooseStart => "hour.start",
        Step::MarkAllRound => "hour.mark",
        Step::InnerLines => "hour.inner",
        Step::OuterLines => "hour.outer",
        Step::TraceOutline => "hour.outline",
        Step::TraceBorders => "hour.borders",
        Step::CheckTracing => "hour.check",
        // The first hour ends here; the list of all steps goes on.
        _ => "hour.paint",
    }
}

fn tools(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    flow.heading(press.say("tools.title"));
    let pitch = plan.fit().pitch;
    let brush = match pitch {
        pitch if pitch <= Length::inches(1, 8).ratio() => press.say("tools.brush-fine"),
        pitch if pitch <= Length::inches(1, 4).ratio() => press.say("tools.brush-small"),
        pitch if pitch <= Length::inches(3, 4).ratio() => press.say("tools.brush-mid"),
        _ => press.say("tools.brush-wide"),
    };
    flow.item(
        "·",
        &press.fill("tools.brush", &[("brush", &brush), ("pitch", &kept(&press.ruler(plan).text(pitch)))]),
    );
    for key in ["tools.mark", "tools.trace", "tools.paint"] {
        flow.item("·", press.say(key));
    }
    if plan.making().ending == Ending::CutOut {
        flow.item("·", press.say("tools.cut"));
    }
    if plan.making().backing {
        flow.item("·", press.say("tools.back"));
    }
}

fn safety(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("safety.title"));
    flow.heading(press.say("safety.title"));
    flow.paragraph(press.say("safety.defer"));
    let mut keys = Vec::new();
    if plan.making().ending == Ending::CutOut {
        keys.extend(["safety.knife", "safety.away", "safety.help", "safety.blades"]);
    }
    keys.extend([
        "safety.dust",
        "safety.paint",
        "safety.solvent",
        "safety.glue",
        "safety.wall",
        "safety.place",
    ]);
    for key in keys {
        flow.item("!", press.say(key));
    }
    flow.leaves()
}
