//! The painting days: which jar is open when, and for which figures.

use super::{Book, colours};
use crate::colour::Rgb;
use crate::length::Length;
use crate::paint::Set;
use crate::plan::Minutes;
use crate::sheet::page::{Flow, Leaf};
use crate::sheet::press::Press;
use crate::sheet::steps::span;
use crate::sheet::table::{Column, Entry, table};
use crate::sheet::words::kept;
use crate::wall::{Day, Meanwhile, Opening, Work};

pub(super) fn leaves(book: Book<'_>) -> Vec<Leaf> {
    let (press, days) = (book.press, book.wall.days());
    if days.days.is_empty() {
        return Vec::new();
    }
    let mut flow = Flow::new(press, press.say("wall-days.title"));
    flow.heading(press.say("wall-days.title"));
    flow.paragraph(press.say("wall-days.how"));
    flow.paragraph(press.say("wall-days.first"));
    let changes =
        [("before", &days.changes_before as &dyn std::fmt::Display), ("after", &days.changes_after)];
    flow.paragraph(&press.fill("wall-days.changes", &changes));
    for (number, each) in (1..).zip(&days.days) {
        day(&mut flow, book, number, each);
    }
    flow.leaves()
}

fn day(flow: &mut Flow<'_>, book: Book<'_>, number: usize, day: &Day) {
    let press = book.press;
    flow.heading(
        &press.fill("wall-days.day", &[("number", &number), ("time", &exactly(press, day.minutes()))]),
    );
    let columns = [
        Column::left("", 18),
        Column::right(press.say("wall-colours.jar"), 34),
        Column::left("", 6),
        Column::left(press.say("colours.swatch"), 46),
        Column::left(press.say("colours.name"), 96),
        Column::left(press.say("wall-days.on"), 256),
        Column::right(press.say("wall-book.work"), 74),
    ];
    let rows: Vec<Vec<Entry>> = day.openings.iter().flat_map(|opening| rows(book, opening)).collect();
    table(flow, &columns, Length::PT * 18, &rows);
}

/// The time in which nothing can be painted, if there is any, and the jar.
fn rows(book: Book<'_>, opening: &Opening) -> Vec<Vec<Entry>> {
    let press = book.press;
    let nothing = || Entry::Words(String::new());
    let mut rows = Vec::new();
    // What is over before the brush is washed is no wait.
    if opening.gap >= 1.0 {
        let meanwhile = Entry::Words(meanwhile(book, &opening.meanwhile));
        let time = Entry::Words(exactly(press, opening.gap));
        rows.push(vec![nothing(), nothing(), nothing(), nothing(), nothing(), meanwhile, time]);
    }
    let jar = |colour: Rgb| book.wall.jars().iter().find(|jar| jar.jar.colour == colour);
    let (number, name, swatch) = match opening.colour {
        None => (String::new(), press.say("wall-days.white").to_owned(), Rgb::WHITE),
        Some(colour) => {
            let jar = jar(colour).map(|jar| jar.number);
            let name = jar.map_or_else(|| colour.to_string(), |number| colours::name(book, number));
            (jar.map_or_else(String::new, |number| number.to_string()), name, colour)
        }
    };
    let same = |one: &Work, other: &Work| (one.set, one.coat) == (other.set, other.coat);
    let on: Vec<String> = opening.work.chunk_by(same).map(|works| painted(book, works)).collect();
    rows.push(vec![
        Entry::Tick,
        Entry::Strong(number),
        nothing(),
        Entry::Swatch(swatch),
        Entry::Words(name),
        Entry::Words(on.join("; ")),
        Entry::Words(exactly(press, opening.minutes() - opening.gap)),
    ]);
    rows
}

/// Says which figures get one coat of the jar.
fn painted(book: Book<'_>, works: &[Work]) -> String {
    let press = book.press;
    let key = match works[0].set {
        Set::Undercoat => "wall-days.undercoat",
        Set::Outline => "wall-days.outline",
        Set::Inside => "wall-days.inside",
    };
    let figure = |work: &Work| {
        let number = book.number(work.figure, work.copy);
        let (name, cells) = (book.name(work.figure, work.copy), kept(&press.counted("cells", work.cells)));
        press.fill("wall-days.figure", &[("number", &number), ("name", &name), ("cells", &cells)])
    };
    let figures: Vec<String> = works.iter().map(figure).collect();
    press.fill(key, &[("coat", &works[0].coat), ("figures", &figures.join(", "))])
}

/// Says what can be done while nothing is dry.
fn meanwhile(book: Book<'_>, work: &[Meanwhile]) -> String {
    let press = book.press;
    if work.is_empty() {
        return press.say("wall-days.rest").to_owned();
    }
    let figure = |each: &Meanwhile| {
        let (number, name) = (book.number(each.figure, each.copy), book.name(each.figure, each.copy));
        let key = if each.ends { "wall-days.all" } else { "wall-days.part" };
        let time = kept(&exactly(press, each.minutes.max(1.0)));
        press.fill(key, &[("number", &number), ("name", &name), ("time", &time)])
    };
    let same = |one: &Meanwhile, other: &Meanwhile| one.step == other.step;
    let steps = work.chunk_by(same).map(|works| {
        let key = format!("wall-days.do.{}", works[0].step.word().replace(' ', "-"));
        let figures: Vec<String> = works.iter().map(figure).collect();
        press.fill(&key, &[("figures", &figures.join(", "))])
    });
    press.fill("wall-days.gap", &[("work", &steps.collect::<Vec<_>>().join("; "))])
}

fn exactly(press: &Press, minutes: f64) -> String {
    span(press, Minutes { low: minutes, high: minutes })
}
