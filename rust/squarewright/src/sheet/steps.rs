//! All steps of the job with boxes to tick, their hours, and what to wait for.

use super::page::{Flow, Leaf};
use super::paper::Paper;
use super::words::{fill, kept, say};
use crate::plan::{Hours, Minutes, Plan, Step, Timed};

pub(super) fn leaves(plan: &Plan, paper: Paper) -> Vec<Leaf> {
    let mut flow = Flow::new(say("steps.title"), paper);
    flow.heading(say("steps.title"));
    let hours = plan.hours();
    let total = hours.total();
    flow.paragraph(&fill("steps.total", &[("work", &span(total.work)), ("wait", &span(total.wait))]));
    flow.paragraph(&if plan.timing().taken.is_empty() {
        say("steps.guess").to_owned()
    } else {
        fill("steps.paced", &[("pace", &format!("{:.2}", hours.pace))])
    });
    stages(&mut flow, &hours);
    flow.item("!", say("steps.care"));
    flow.leaves()
}

fn stages(flow: &mut Flow, hours: &Hours) {
    for stage in &hours.stages {
        let name = say(&format!("steps.stage.{}", stage.what.word().replace(' ', "-")));
        flow.heading(&fill("steps.stage", &[("name", &name), ("work", &span(stage.work))]));
        for step in hours.steps.iter().filter(|step| step.what.stage() == stage.what) {
            flow.ticked(&said(step));
        }
    }
}

fn said(step: &Timed<Step>) -> String {
    let words = say(&format!("step.{}", step.what.word().replace(' ', "-")));
    if step.wait.high > 0.0 {
        return fill("steps.wait", &[("words", &words), ("wait", &span(step.wait))]);
    }
    fill("steps.step", &[("words", &words), ("work", &span(step.work))])
}

/// Writes low and high in minutes, or in hours when they are many.
pub(super) fn span(Minutes { low, high }: Minutes) -> String {
    let (key, unit, digits) = if high < 100.0 {
        ("steps.minutes", 1.0, 0)
    } else {
        ("steps.hours", 60.0, usize::from(high < 600.0))
    };
    let number = |minutes: f64| {
        let text = format!("{:.digits$}", minutes / unit);
        text.strip_suffix(".0").unwrap_or(&text).to_owned()
    };
    let (low, high) = (number(low), number(high));
    let both = if low == high { low } else { format!("{low}–{high}") };
    kept(&fill(key, &[("span", &both)]))
}
