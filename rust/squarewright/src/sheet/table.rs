//! Tables that repeat their head on each page, in one or several columns of rows.

use super::draw::Draw;
use super::page::{Flow, HAIR, INK, QUIET, RULE, WASH};
use super::text::{Style, Type};
use crate::colour::Rgb;
use crate::length::{Area, Length, Place};

/// A column: its head, its width in points, and whether its words stand at the right.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub(super) head: &'static str,
    pub(super) width: i64,
    pub(super) right: bool,
}

impl Column {
    pub(super) const fn left(head: &'static str, width: i64) -> Self {
        Self { head, width, right: false }
    }

    pub(super) const fn right(head: &'static str, width: i64) -> Self {
        Self { head, width, right: true }
    }
}

/// What a cell of a table shows.
#[derive(Debug, Clone)]
pub(super) enum Entry {
    Words(String),
    Strong(String),
    Swatch(Rgb),
    Box,
}

const PAD: Length = Length::from_units(Length::PT.units() * 4);

/// Sets a table whose rows are `height` high.
pub(super) fn table(flow: &mut Flow<'_>, columns: &[Column], height: Length, rows: &[Vec<Entry>]) {
    let press = flow.press();
    let head = press.set(Style::TableHead).leading() + PAD;
    flow.need(head + height * 2);
    let left = flow.area().left();
    set_head(flow, columns, left);
    flow.skip(head);
    for (index, row) in rows.iter().enumerate() {
        if flow.need(height) {
            set_head(flow, columns, left);
            flow.skip(head);
        }
        set_row(flow, columns, Place::new(left, flow.y()), (height, index, row));
        flow.skip(height);
    }
    flow.skip(PAD * 2);
}

/// Sets a narrow table in several stacks side by side, as many as fit.
pub(super) fn stacks(flow: &mut Flow<'_>, columns: &[Column], height: Length, rows: &[Vec<Entry>]) {
    let press = flow.press();
    let gap = Length::PT * 18;
    let width = Length::PT * columns.iter().map(|column| column.width).sum::<i64>();
    let head = press.set(Style::TableHead).leading() + PAD;
    let across =
        usize::try_from((flow.area().width + gap).units() / (width + gap).units()).unwrap_or(1).max(1);
    let mut rest = rows;
    while !rest.is_empty() {
        flow.need(head + height * i64::try_from(rest.len().div_ceil(across).min(6)).unwrap_or(6));
        let room = usize::try_from((flow.left_over() - head).units() / height.units()).unwrap_or(0).max(1);
        let deep = rest.len().div_ceil(across).min(room);
        let (now, later) = rest.split_at(rest.len().min(deep * across));
        for (stack, part) in now.chunks(deep).enumerate() {
            let left = flow.area().left() + (width + gap) * i64::try_from(stack).unwrap_or(0);
            set_head(flow, columns, left);
            for (index, row) in part.iter().enumerate() {
                let down = head + height * i64::try_from(index).unwrap_or(0);
                set_row(flow, columns, Place::new(left, flow.y() + down), (height, index, row));
            }
        }
        flow.skip(head + height * i64::try_from(deep).unwrap_or(0) + PAD * 2);
        rest = later;
    }
}

fn set_head(flow: &mut Flow<'_>, columns: &[Column], left: Length) {
    let press = flow.press();
    let mut x = left;
    let base = flow.y() + press.set(Style::TableHead).size;
    for column in columns {
        let width = Length::PT * column.width;
        flow.draw(words(press.set(Style::TableHead), column.head, (x, width, base), (column.right, QUIET)));
        x += width;
    }
    let y = base + PAD;
    flow.draw(Draw::line(Place::new(left, y), Place::new(x, y), HAIR, RULE));
}

fn set_row(
    flow: &mut Flow<'_>,
    columns: &[Column],
    corner: Place,
    (height, index, row): (Length, usize, &[Entry]),
) {
    let press = flow.press();
    let width = Length::PT * columns.iter().map(|column| column.width).sum::<i64>();
    if index % 2 == 1 {
        flow.draw(Draw::block(Area::new(corner, width, height), WASH));
    }
    let base = corner.y + (height + Length::PT * 7).half();
    let mut x = corner.x;
    for (column, entry) in columns.iter().zip(row) {
        let width = Length::PT * column.width;
        let inside = Area::new(Place::new(x, corner.y), width, height).inset(Length::PT * 2);
        match entry {
            Entry::Words(text) => {
                flow.draw(words(press.set(Style::Table), text, (x, width, base), (column.right, INK)));
            }
            Entry::Strong(text) => {
                flow.draw(words(press.set(Style::TableHead), text, (x, width, base), (column.right, INK)));
            }
            Entry::Swatch(rgb) => {
                let clear = Area::new(inside.corner, inside.width - PAD * 2, inside.height);
                flow.draw(Draw::block(clear, *rgb));
                flow.draw(Draw::frame(clear, HAIR, QUIET));
            }
            Entry::Box => {
                // A dab is judged on white, not on the wash of its row.
                flow.draw(Draw::block(inside, Rgb::WHITE));
                flow.draw(Draw::frame(inside, HAIR, QUIET));
            }
        }
        x += width;
    }
}

fn words(
    style: Type,
    text: &str,
    (x, width, base): (Length, Length, Length),
    (right, rgb): (bool, Rgb),
) -> Draw {
    let text = style.shortened(text, width - PAD);
    Draw::Text(if right {
        style.right(Place::new(x + width - PAD, base), &text, rgb)
    } else {
        style.at(Place::new(x, base), text, rgb)
    })
}
