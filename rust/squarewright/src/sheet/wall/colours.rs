//! The colours of the wall: every jar is mixed once; and the colours that gave way to another.

use std::iter;

use super::Book;
use crate::length::Length;
use crate::sheet::labels::{coats, doses};
use crate::sheet::page::{Flow, Leaf};
use crate::sheet::table::{Column, Entry, table};
use crate::sheet::words::kept;
use crate::wall::{Merged, Use, WallJar};

pub(super) fn leaves(book: Book<'_>) -> Vec<Leaf> {
    let press = book.press;
    let mut flow = Flow::new(press, press.say("wall-colours.title"));
    flow.heading(press.say("wall-colours.title"));
    flow.paragraph(press.say("wall-colours.how"));
    let columns = [
        Column::right(press.say("wall-colours.jar"), 34),
        Column::left("", 6),
        Column::left(press.say("colours.swatch"), 46),
        Column::left(press.say("colours.name"), 90),
        Column::left(press.say("labels.recipe"), 184),
        Column::left("", 8),
        Column::left(press.say("wall-colours.used"), 162),
    ];
    let rows: Vec<Vec<Entry>> = book.wall.jars().iter().map(|jar| row(book, jar)).collect();
    table(&mut flow, &columns, Length::PT * 22, &rows);
    flow.note(press.say("wall-colours.codes"));
    flow.item("!", press.say("painting.care"));
    merges(&mut flow, book);
    flow.leaves()
}

fn row(book: Book<'_>, WallJar { number, jar, uses, .. }: &WallJar) -> Vec<Entry> {
    let press = book.press;
    let mixed: Vec<String> = iter::once(coats(press, jar)).chain(doses(press, book.plan, jar)).collect();
    vec![
        Entry::Strong(number.to_string()),
        Entry::Words(String::new()),
        Entry::Swatch(jar.colour),
        Entry::Words(name(book, *number)),
        Entry::Words(mixed.join(" · ")),
        Entry::Words(String::new()),
        Entry::Words(uses.iter().map(|each| used(book, each)).collect::<Vec<_>>().join(", ")),
    ]
}

/// Names the colour of a jar, by its number.
pub(super) fn name(book: Book<'_>, number: usize) -> String {
    let colours: Vec<_> = book.wall.jars().iter().map(|jar| jar.jar.colour).collect();
    book.press.language.shade(crate::palette::shades(&colours)[number - 1])
}

fn used(book: Book<'_>, each: &Use) -> String {
    let name = &book.wall.figures()[each.figure].name;
    if each.code.is_empty() { name.clone() } else { kept(&format!("{name} {}", each.code)) }
}

fn merges(flow: &mut Flow<'_>, book: Book<'_>) {
    let (press, merging) = (book.press, book.wall.merging());
    flow.heading(press.say("wall-colours.merged"));
    let jars = [("before", &merging.jars_before as &dyn std::fmt::Display), ("after", &merging.jars_after)];
    let from = press.distance(book.wall.sight());
    flow.paragraph(&press.fill("wall-colours.jars", &[&jars[..], &[("from", &from)]].concat()));
    if merging.merges.is_empty() {
        flow.paragraph(press.say("wall-colours.none"));
        return;
    }
    flow.note(press.say("wall-colours.shows-how"));
    let columns = [
        Column::left(press.say("wall-colours.goes"), 60),
        Column::left("", 62),
        Column::left(press.say("wall-colours.stays"), 60),
        Column::left("", 62),
        Column::right(press.say("wall-colours.apart"), 70),
        Column::right(press.say("wall-colours.shows"), 70),
        Column::left("", 8),
        Column::left(press.say("wall-book.figures"), 128),
    ];
    let row = |merge: &Merged| {
        let names = merge.figures.iter().map(|&figure| &*book.wall.figures()[figure].name);
        vec![
            Entry::Swatch(merge.from),
            Entry::Words(merge.from.to_string()),
            Entry::Swatch(merge.into),
            Entry::Words(merge.into.to_string()),
            Entry::Words(press.decimal(merge.difference, 1)),
            Entry::Words(press.decimal(merge.shows, 1)),
            Entry::Words(String::new()),
            Entry::Words(names.collect::<Vec<_>>().join(", ")),
        ]
    };
    let rows: Vec<Vec<Entry>> = merging.merges.iter().map(row).collect();
    table(flow, &columns, Length::PT * 20, &rows);
}
