//! The boards: which figures are cut out of which, and where they lie.

use super::Book;
use crate::length::{Area, Length, Place};
use crate::sheet::nesting::Drawing;
use crate::sheet::page::{Flow, Leaf};
use crate::sheet::table::{Column, Entry, table};
use crate::sheet::text::Style;
use crate::sheet::words::kept;
use crate::wall::{Laid, Nested, NestedPanel, Nesting, OffCut};

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
    if let Some(nesting) = &boards.nesting {
        for (number, panel) in nesting.panels.iter().enumerate() {
            shared(&mut flow, book, (nesting, &boards.laid), (number, panel));
        }
    }
    if !boards.own.is_empty() {
        own(&mut flow, book);
    }
    flow.leaves()
}

/// A panel that figures share: its drawing, and a table of where they lie.
fn shared(
    flow: &mut Flow<'_>,
    book: Book<'_>,
    (nesting, laid): (&Nesting, &[Laid]),
    (number, panel): (usize, &NestedPanel),
) {
    let press = book.press;
    let (wide, high) = (nesting.panel.width(), nesting.panel.height());
    let number_of = |figure: usize| {
        let Laid { figure, copy } = laid[figure];
        book.number(figure, copy).to_string()
    };
    let size = |offcut: &OffCut| {
        format!("{} × {}", book.ruler().near(offcut.width), book.ruler().near(offcut.height))
    };
    let drawing = Drawing { nesting, longer: wide.max(high), side: SIDE, number: &number_of, size: &size };
    let height = drawing.scaled(high);
    flow.heading(&press.fill("nesting.panel", &[("number", &(number + 1))]));
    flow.need(height + press.set(Style::Table).leading() * 5);
    let left = flow.area().left() + (flow.area().width - drawing.scaled(wide)).half();
    let area = Area::new(Place::new(left, flow.y()), drawing.scaled(wide), height);
    // Grids that were nested can be turned.
    flow.draws(drawing.panel(panel, area).unwrap_or_default());
    flow.skip(height + Length::PT * 8);
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
        let Laid { figure, copy } = laid[nested.figure];
        vec![
            Entry::Tick,
            Entry::Strong(number_of(nested.figure)),
            Entry::Words(String::new()),
            Entry::Words(book.name(figure, copy)),
            Entry::Words(near(nested.x)),
            Entry::Words(near(nested.y)),
            Entry::Words(String::new()),
            Entry::Words(press.say(TURNS[usize::from(nested.quarter_turns % 4)]).to_owned()),
        ]
    };
    table(flow, &columns, Length::PT * 16, &panel.figures.iter().map(row).collect::<Vec<_>>());
    let offcuts: Vec<String> = panel.offcuts.iter().map(|offcut| kept(&size(offcut))).collect();
    if !offcuts.is_empty() {
        flow.note(&press.fill("wall-boards.left", &[("sizes", &offcuts.join(", "))]));
    }
}

/// Figures on boards of their own.
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
