//! All steps of the job with boxes to tick, their hours, and what to wait for.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::table::{Column, Entry, set};
use super::told::Told;
use super::words::kept;
use crate::length::Length;
use crate::plan::{Hours, Minutes, Plan};

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
    flow.item("!", press.say("steps.care"));
    stages(&mut flow, &hours);
    flow.leaves()
}

fn stages(flow: &mut Flow<'_>, hours: &Hours) {
    let press = flow.press();
    let columns = [Column::left("", 18), Column::left("", 410), Column::right("", 100)];
    let mut rows = Vec::new();
    for stage in &hours.stages {
        let name = press.say(&format!("steps.stage.{}", stage.what.word().replace(' ', "-")));
        let work = span(press, stage.work);
        flow.tell(Told::Heading(format!("{name} · {work}")));
        rows.push(vec![Entry::Strong(String::new()), Entry::Strong(name.to_owned()), Entry::Strong(work)]);
        for step in hours.steps.iter().filter(|step| step.what.stage() == stage.what) {
            let words = press.say(&format!("step.{}", step.what.word().replace(' ', "-")));
            let time = if step.wait.high > 0.0 {
                press.fill("steps.wait", &[("wait", &span(press, step.wait))])
            } else {
                span(press, step.work)
            };
            flow.tell(Told::Ticked(format!("{words} ({time})")));
            rows.push(vec![Entry::Tick, Entry::Words(words.to_owned()), Entry::Words(time)]);
        }
    }
    set(flow, &columns, Length::PT * 15, &rows);
}

/// Writes low and high in minutes, or in hours when they are many.
pub(super) fn span(press: &Press, Minutes { low, high }: Minutes) -> String {
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
