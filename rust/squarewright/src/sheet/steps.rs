//! All steps of the job with boxes to tick, their hours, and what to wait for.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::words::kept;
use crate::plan::{Hours, Minutes, Plan, Step, Timed};

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("steps.title"));
    flow.heading(press.say("steps.title"));
    let hours = plan.hours();
    let total = hours.total();
    flow.paragraph(
        &press.fill("steps.total", &[("work", &span(press, total.work)), ("wait", &span(press, total.wait))]),
    );
    flow.paragraph(&if plan.timing().taken.is_empty() {
        press.say("steps.guess").to_owned()
    } else {
        press.fill("steps.paced", &[("pace", &press.decimal(hours.pace, 2))])
    });
    stages(&mut flow, &hours);
    flow.item("!", press.say("steps.care"));
    flow.leaves()
}

fn stages(flow: &mut Flow<'_>, hours: &Hours) {
    let press = flow.press();
    for stage in &hours.stages {
        let name = press.say(&format!("steps.stage.{}", stage.what.word().replace(' ', "-")));
        flow.heading(&press.fill("steps.stage", &[("name", &name), ("work", &span(press, stage.work))]));
        for step in hours.steps.iter().filter(|step| step.what.stage() == stage.what) {
            flow.ticked(&said(press, step));
        }
    }
}

fn said(press: &Press, step: &Timed<Step>) -> String {
    let words = press.say(&format!("step.{}", step.what.word().replace(' ', "-")));
    if step.wait.high > 0.0 {
        return press.fill("steps.wait", &[("words", &words), ("wait", &span(press, step.wait))]);
    }
    press.fill("steps.step", &[("words", &words), ("work", &span(press, step.work))])
}

/// Writes low and high in minutes, or in hours when they are many.
fn span(press: &Press, Minutes { low, high }: Minutes) -> String {
    let (key, unit, digits) = if high < 100.0 {
        ("steps.minutes", 1.0, 0)
    } else {
        ("steps.hours", 60.0, usize::from(high < 600.0))
    };
    let number = |minutes: f64| press.number(minutes / unit, digits);
    let (low, high) = (number(low), number(high));
    let both = if low == high { low } else { format!("{low}–{high}") };
    kept(&press.fill(key, &[("span", &both)]))
}
