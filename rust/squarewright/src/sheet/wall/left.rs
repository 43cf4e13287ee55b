//! What is left to do of a wall that was begun.

use super::Book;
use crate::length::Length;
use crate::plan::{Minutes, Stage};
use crate::sheet::page::{Flow, Leaf};
use crate::sheet::steps::span;
use crate::sheet::table::{Column, Entry, table};
use crate::wall::Remaining;

pub(super) fn leaves(book: Book<'_>) -> Vec<Leaf> {
    let press = book.press;
    if book.wall.done().0.is_empty() {
        return Vec::new();
    }
    let mut flow = Flow::new(press, press.say("wall-left.title"));
    flow.heading(press.say("wall-left.title"));
    let left = book.wall.remaining();
    if left.is_empty() {
        flow.paragraph(press.say("wall-left.nothing"));
        return flow.leaves();
    }
    let work = left.iter().fold(Minutes::default(), |sum, each| sum.and(each.step.work));
    flow.paragraph(&press.fill("wall-left.how", &[("work", &span(press, work))]));
    let columns = [
        Column::left("", 18),
        Column::right(press.say("wall-book.number"), 34),
        Column::left("", 6),
        Column::left(press.say("wall-book.figure"), 120),
        Column::left(press.say("wall-left.steps"), 264),
        Column::right(press.say("wall-book.work"), 84),
    ];
    let same = |one: &Remaining, other: &Remaining| (one.figure, one.copy) == (other.figure, other.copy);
    let rows: Vec<Vec<Entry>> = left.chunk_by(same).map(|own| row(book, own)).collect();
    table(&mut flow, &columns, Length::PT * 18, &rows);
    flow.leaves()
}

fn row(book: Book<'_>, own: &[Remaining]) -> Vec<Entry> {
    let (press, Remaining { figure, copy, .. }) = (book.press, own[0]);
    let all = book.wall.figures()[figure].plan.steps();
    let of = |stage: Stage| all.iter().filter(|step| step.stage() == stage).count();
    let stages = own.chunk_by(|one, other| one.step.what.stage() == other.step.what.stage());
    let words: Vec<String> = stages
        .map(|steps| {
            let stage = steps[0].step.what.stage();
            let name = press.say(&format!("steps.stage.{}", stage.word().replace(' ', "-")));
            let is_whole = steps.len() == of(stage);
            if is_whole { name.to_owned() } else { press.fill("wall-left.part", &[("stage", &name)]) }
        })
        .collect();
    let work = own.iter().fold(Minutes::default(), |sum, each| sum.and(each.step.work));
    vec![
        Entry::Tick,
        Entry::Strong(book.number(figure, copy).to_string()),
        Entry::Words(String::new()),
        Entry::Words(book.name(figure, copy)),
        Entry::Words(words.join(", ")),
        Entry::Words(span(press, work)),
    ]
}
