//! The boards: which figures are cut out of which, and where they lie.

use super::Book;
use crate::length::{Area, Length, Place};
use crate::sheet::nesting::Drawing;
use crate::sheet::page::{Flow, Leaf};
use crate::sheet::table::{Column, Entry, table};
use crate::sheet::text::Style;
use crate::sheet::words::kept;
use crate::wall::{Laid, Nested, NestedPanel, Nesting, OffCut, Origin};

/// The longer side of a panel as it is drawn.
const SIDE: Length = Length::inches(13, 5);

/// The words for no quarter turn clockwise, for one, two and three.
const TURNS: [&str; 4] =
    ["wall-boards.turn-0", "wall-boards.turn-1", "wall-boards.turn-2", "wall-boards.turn-3"];

pub(super) fn leaves(book: Book<'_>) -> Vec<Leaf> {
    let (press, boards) = (book.press, book.wall.boards());
    let mut flow = Flow::new(press, press.say("nesting.title"));
    flow.heading(press.say("nesting.title"));
    flow.paragraph(press.say("wall-boards.how"));
    if boards.laid.iter().any(|laid| book.pieces(laid.figure) > 1) {
        flow.paragraph(press.say("wall-boards.pieces-how"));
    }
    if let Some(nesting) = &boards.nesting {
        for (number, panel) in nesting.panels.iter().enumerate() {
            shared(&mut flow, book, nesting, (number + 1, panel));
        }
    }
    if !boards.own.is_empty() {
        own(&mut flow, book);
    }
    flow.leaves()
}

fn size(book: Book<'_>, width: Length, height: Length) -> String {
    format!("{} × {}", book.ruler().near(width), book.ruler().near(height))
}

/// A panel that figures share: its drawing, and a table of where they lie.
fn shared(flow: &mut Flow<'_>, book: Book<'_>, nesting: &Nesting, (number, panel): (usize, &NestedPanel)) {
    let press = book.press;
    let (wide, high) = panel.size(nesting.panel);
    let number_of = |figure: usize| {
        let laid = book.wall.boards().laid.get(figure);
        laid.map_or_else(|| "–".to_owned(), |laid| book.number(laid.figure, laid.copy).to_string())
    };
    let left_over = |offcut: &OffCut| size(book, offcut.width, offcut.height);
    let longer = nesting.panel.width().max(nesting.panel.height());
    let drawing = Drawing { nesting, longer, side: SIDE, number: &number_of, size: &left_over };
    let height = drawing.scaled(high);
    let (heading, how) = match panel.origin {
        Origin::New => ("nesting.panel", None),
        Origin::InUse => ("wall-boards.in-use", Some("wall-boards.in-use-how")),
        Origin::OffCut(..) => ("wall-boards.off-cut", Some("wall-boards.off-cut-how")),
    };
    flow.heading(&press.fill(heading, &[("number", &number), ("size", &kept(&size(book, wide, high)))]));
    flow.need(height + press.set(Style::Table).leading() * 5);
    if let Some(how) = how {
        flow.note(press.say(how));
    }
    let left = flow.area().left() + (flow.area().width - drawing.scaled(wide)).half();
    let area = Area::new(Place::new(left, flow.y()), drawing.scaled(wide), height);
    // Grids that were nested can be turned.
    flow.draws(drawing.panel(panel, area).unwrap_or_default());
    flow.skip(height + Length::PT * 8);
    lying(flow, book, panel, &number_of);
    let offcuts: Vec<String> = panel.offcuts.iter().map(|offcut| kept(&left_over(offcut))).collect();
    if !offcuts.is_empty() {
        flow.note(&press.fill("wall-boards.left", &[("sizes", &offcuts.join(", "))]));
    }
}

/// Lists what lies on a panel, and where.
fn lying(flow: &mut Flow<'_>, book: Book<'_>, panel: &NestedPanel, number_of: &dyn Fn(usize) -> String) {
    let press = book.press;
    let columns = [
        Column::left("", 18),
        Column::right(press.say("wall-book.number"), 34),
        Column::left("", 6),
        Column::left(press.say("wall-book.figure"), 150),
        Column::right(press.say("wall-map.left"), 84),
        Column::right(press.say("wall-map.top"), 84),
        Column::left("", 10),
        Column::left(press.say("wall-boards.turn"), 130),
    ];
    let near = |length| kept(&book.ruler().near(length));
    let row = |nested: &Nested| {
        let laid = book.wall.boards().laid.get(nested.figure);
        let is_there = laid.is_none_or(|laid| book.wall.is_begun(laid.figure, laid.copy));
        vec![
            if is_there { Entry::Words("✓".into()) } else { Entry::Tick },
            Entry::Strong(number_of(nested.figure)),
            Entry::Words(String::new()),
            Entry::Words(
                laid.map_or_else(|| press.say("wall-boards.gone").to_owned(), |&laid| name(book, laid)),
            ),
            Entry::Words(near(nested.x)),
            Entry::Words(near(nested.y)),
            Entry::Words(String::new()),
            Entry::Words(press.say(TURNS[usize::from(nested.quarter_turns % 4)]).to_owned()),
        ]
    };
    table(flow, &columns, Length::PT * 16, &panel.figures.iter().map(row).collect::<Vec<_>>());
}

/// Names a figure or a piece of it.
fn name(book: Book<'_>, Laid { figure, copy, piece }: Laid) -> String {
    let (name, count) = (book.name(figure, copy), book.pieces(figure));
    let piece = piece + 1;
    match count {
        1 => name,
        _ => book.press.fill("wall-boards.piece", &[("name", &name), ("piece", &piece), ("count", &count)]),
    }
}

/// Whole squares, on boards of their own.
fn own(flow: &mut Flow<'_>, book: Book<'_>) {
    let press = book.press;
    flow.heading(press.say("wall-boards.own"));
    for &(figure, boards) in &book.wall.boards().own {
        let words = press.tell(
            "wall-boards.own-is",
            boards,
            &[("number", &book.numbers(figure)), ("name", &book.wall.figures()[figure].name)],
        );
        flow.ticked(&words);
    }
}
