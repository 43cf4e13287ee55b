//! The cover of a wall: what hangs where at a glance, what it comes to, and the figures.

use super::{Book, map};
use crate::length::{Area, Length, Place};
use crate::plan::Minutes;
use crate::sheet::buying::money;
use crate::sheet::cover::set_facts;
use crate::sheet::page::{Flow, INK, Leaf};
use crate::sheet::steps::span;
use crate::sheet::table::{Column, Entry, table};
use crate::sheet::text::Style;
use crate::sheet::words::kept;
use crate::wall::{OddSize, Totals};

/// The height of the map.
const MAP: Length = Length::inches(12, 5);

pub(super) fn leaves(book: Book<'_>) -> Vec<Leaf> {
    let press = book.press;
    let mut flow = Flow::new(press, press.say("wall-book.title"));
    flow.lines(Style::Title, book.wall.name(), Length::ZERO, INK);
    flow.skip(Length::PT * 6);
    if let Some(placing) = book.wall.placing() {
        let corner = Place::new(flow.area().left(), flow.y());
        let (draws, high) = map::drawing(book, placing, (Area::new(corner, flow.area().width, MAP), false));
        flow.draws(draws);
        flow.skip(high + Length::PT * 10);
    }
    set_facts(&mut flow, facts(book));
    figures(&mut flow, book);
    faults(&mut flow, book);
    flow.leaves()
}

/// Lists what the wall comes to: keys and values.
fn facts(book: Book<'_>) -> Vec<(&'static str, String)> {
    let (press, wall, ruler) = (book.press, book.wall, book.ruler());
    let Totals { figures, minutes, grams, panels, money: cost } = wall.totals();
    let (merging, buying) = (wall.merging(), wall.buying());
    let weighs = |weight: f64| crate::sheet::hanging::grams(press, book.plan, weight);
    let range = [("likely", weighs(grams.likely)), ("low", weighs(grams.low)), ("high", weighs(grams.high))];
    let range: Vec<(&str, &dyn std::fmt::Display)> =
        range.iter().map(|(name, words)| (*name, words as &dyn std::fmt::Display)).collect();
    let hours = press.fill(
        "cover.hours-are",
        &[("work", &span(press, minutes.work)), ("wait", &span(press, minutes.wait))],
    );
    let board = wall.panel();
    let size = format!("{} × {}", ruler.text(board.width()), ruler.text(board.height()));
    let packs = press.counted("packs", buying.panels.packs);
    let (before, after) = (merging.jars_before, merging.jars_after);
    let mut rows = vec![
        ("wall-book.figures", figures.to_string()),
        (
            "cover.panels",
            press.fill("wall-book.panels-are", &[("count", &panels), ("size", &size), ("packs", &packs)]),
        ),
        ("wall-book.jars", press.fill("wall-book.jars-are", &[("after", &after), ("before", &before)])),
        ("cover.hours", hours),
        ("wall-book.days", days(book)),
        ("wall-book.weight", press.fill("wall-book.weight-is", &range)),
    ];
    if !wall.done().0.is_empty() {
        let left = wall.remaining();
        let left = left.iter().fold(Minutes::default(), |sum, each| sum.and(each.step.work));
        rows.push(("wall-left.title", span(press, left)));
    }
    if cost.hundredths > 0 {
        rows.push(("wall-book.money", money(press, cost.hundredths, &cost.currency)));
    }
    if let Some(placing) = wall.placing() {
        let (width, height) = (ruler.near(placing.room.width), ruler.near(placing.room.height));
        rows.insert(0, ("wall-book.wall", format!("{width} × {height}")));
    }
    rows
}

fn days(book: Book<'_>) -> String {
    let (press, days) = (book.press, book.wall.days());
    let most = Minutes { low: days.hours * 60.0, high: days.hours * 60.0 };
    press.fill("wall-book.days-are", &[("count", &days.days.len()), ("hours", &span(press, most))])
}

fn figures(flow: &mut Flow<'_>, book: Book<'_>) {
    let press = book.press;
    flow.heading(press.say("wall-book.figures"));
    // Above the table, so that it never stands alone on a page of its own.
    flow.note(press.say("wall-book.each"));
    let columns = [
        Column::right(press.say("wall-book.number"), 44),
        Column::left("", 6),
        Column::left(press.say("wall-book.figure"), 130),
        Column::right(press.say("wall-book.cell"), 66),
        Column::right(press.say("wall-hang.size"), 130),
        Column::right(press.say("wall-book.colours"), 60),
        Column::right(press.say("wall-book.work"), 90),
    ];
    let row = |figure: usize| {
        let each = &book.wall.figures()[figure];
        let plan = press.measured(&each.plan);
        let (hung, ruler) = (plan.hung(), press.ruler(&plan));
        vec![
            Entry::Strong(book.numbers(figure)),
            Entry::Words(String::new()),
            Entry::Words(each.name.clone()),
            Entry::Words(kept(&ruler.text(plan.fit().pitch))),
            Entry::Words(kept(&ruler.near(hung.width)) + " × " + &kept(&ruler.near(hung.height))),
            Entry::Words(plan.tally().len().to_string()),
            Entry::Words(span(press, plan.hours().total().work)),
        ]
    };
    let rows: Vec<Vec<Entry>> = (0..book.wall.figures().len()).map(row).collect();
    table(flow, &columns, Length::PT * 15, &rows);
    for OddSize { figure, error, .. } in book.wall.odd_sizes() {
        flow.note(&odd(book, figure, error));
    }
}

/// Names a figure that breaks the rule of one pitch, with how far it is off.
fn odd(book: Book<'_>, figure: usize, error: f64) -> String {
    let (press, each) = (book.press, &book.wall.figures()[figure]);
    let plan = press.measured(&each.plan);
    let text = |pitch| kept(&press.ruler(&plan).text(pitch));
    let pitch = text(plan.fit().pitch);
    let common = book.wall.pitch().map_or_else(String::new, text);
    let percent = press.decimal(error.abs() * 100.0, 0);
    let key = if error > 0.0 { "wall-book.larger" } else { "wall-book.smaller" };
    let values: [(&str, &dyn std::fmt::Display); 4] =
        [("name", &each.name), ("pitch", &pitch), ("common", &common), ("percent", &percent)];
    press.fill(key, &values)
}

/// Names the figures that could not be planned.
fn faults(flow: &mut Flow<'_>, book: Book<'_>) {
    let faults = book.wall.faults();
    if faults.is_empty() {
        return;
    }
    flow.heading(book.press.say("wall-book.faults"));
    for fault in faults {
        flow.item("!", &format!("{}: {} ({}). {}", fault.name, fault.what, fault.code, fault.hint));
    }
}
