//! Hanging the wall: what each figure weighs, what holds it, in which order, and what to look out for.

use super::Book;
use crate::cut::Estimate;
use crate::length::Length;
use crate::sheet::hanging::grams;
use crate::sheet::page::{Flow, Leaf};
use crate::sheet::table::{Column, Entry, table};
use crate::sheet::words::kept;

/// What is done, in order.
const STEPS: [&str; 9] = [
    "wall-hang.measure",
    "wall-hang.templates",
    "wall-hang.line",
    "wall-hang.middle",
    "hanging.on-card",
    "hanging.wipe",
    "hanging.wait",
    "wall-hang.steps",
    "hanging.level",
];

pub(super) fn leaves(book: Book<'_>) -> Vec<Leaf> {
    let press = book.press;
    let mut flow = Flow::new(press, press.say("wall-hang.title"));
    flow.heading(press.say("wall-hang.title"));
    let said = |weight: f64| grams(press, book.plan, weight);
    let Estimate { low, likely, high } = book.wall.totals().grams;
    flow.paragraph(
        &press.fill(
            "wall-hang.weight",
            &[("likely", &said(likely)), ("low", &said(low)), ("high", &said(high))],
        ),
    );
    weights(&mut flow, book);
    flow.heading(press.say("hanging.order"));
    for key in STEPS {
        flow.ticked(press.say(key));
    }
    for key in ["hanging.safe-wall", "hanging.safe-strips", "hanging.safe-place", "hanging.safe-damp"] {
        flow.item("!", press.say(key));
    }
    flow.item("!", press.say("wall-hang.safe-steps"));
    flow.leaves()
}

fn weights(flow: &mut Flow<'_>, book: Book<'_>) {
    let press = book.press;
    let columns = [
        Column::right(press.say("wall-book.number"), 44),
        Column::left("", 6),
        Column::left(press.say("wall-book.figure"), 110),
        Column::right(press.say("wall-hang.size"), 140),
        Column::right(press.say("wall-hang.each"), 96),
        Column::right(press.say("wall-hang.fixings"), 130),
    ];
    let row = |figure: usize| {
        let each = &book.wall.figures()[figure];
        let plan = press.measured(&each.plan);
        let (hung, hanging, ruler) = (plan.hung(), plan.hanging(), press.ruler(&plan));
        let each_bears = grams(press, &plan, plan.mounting().fixing);
        vec![
            Entry::Strong(book.numbers(figure)),
            Entry::Words(String::new()),
            Entry::Words(each.name.clone()),
            Entry::Words(kept(&ruler.near(hung.width)) + " × " + &kept(&ruler.near(hung.height))),
            Entry::Words(grams(press, &plan, hanging.grams().likely)),
            Entry::Words(format!("{} × {each_bears}", hanging.fixings)),
        ]
    };
    let rows: Vec<Vec<Entry>> = (0..book.wall.figures().len()).map(row).collect();
    table(flow, &columns, Length::PT * 18, &rows);
}
