//! Tables that repeat their head on each page, in one or several columns of rows.

use super::colours::pale;
use super::draw::Draw;
use super::page::{Flow, HAIR, INK, QUIET, RULE, WASH};
use super::press::Press;
use super::symbol::Symbol;
use super::text::{Style, Type};
use super::told::Told;
use crate::colour::Rgb;
use crate::length::{Area, Length, Place};

/// A column: its head, its width in points of ordinary print, and whether its words stand at the right.
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
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    /// Words.
    Words(String),
    /// Words that stand out.
    Strong(String),
    /// A colour.
    Swatch(Rgb),
    /// A cell with its symbol.
    Sign(Symbol, Rgb),
    /// An empty box to paint in.
    Box,
    /// A box to tick.
    Tick,
}

impl Entry {
    /// Gives its words and how they are set, if it has any.
    fn words(&self) -> Option<(Style, &str)> {
        match self {
            Self::Words(text) => Some((Style::Table, text)),
            Self::Strong(text) => Some((Style::TableHead, text)),
            Self::Swatch(_) | Self::Sign(..) | Self::Box | Self::Tick => None,
        }
    }
}

const PAD: Length = Length::from_units(Length::PT.units() * 4);

/// The height of a swatch at most.
const SWATCH: Length = Length::from_units(Length::PT.units() * 40);

/// Columns with the widths that they have on a page.
struct Columns<'a> {
    press: &'a Press,
    kinds: &'a [Column],
    widths: Vec<Length>,
}

impl<'a> Columns<'a> {
    /// Widens columns with the type, as far as the page has room: then those give way that have more than
    /// their longest word takes.
    fn new(press: &'a Press, columns: &'a [Column], rows: &[Vec<Entry>], most: Length) -> Self {
        let unit = press.set(Style::Table).size.units() / 10;
        let least: Vec<Length> =
            (0..columns.len()).map(|place| longest_word(press, columns, rows, place)).collect();
        let asked = columns.iter().map(|column| Length::from_units(unit * column.width));
        let mut widths: Vec<Length> = asked.zip(&least).map(|(asked, &least)| asked.max(least)).collect();
        let over = widths.iter().copied().sum::<Length>() - most;
        let spare: Vec<i64> =
            widths.iter().zip(&least).map(|(&width, &least)| (width - least).units()).collect();
        let all: i64 = spare.iter().sum();
        if over > Length::ZERO && all > 0 {
            let share = over.units().min(all);
            for (width, spare) in widths.iter_mut().zip(spare) {
                let less = i128::from(spare) * i128::from(share) / i128::from(all);
                *width = *width - Length::from_units(i64::try_from(less).unwrap_or(0));
            }
        }
        let all: Length = widths.iter().copied().sum();
        if all > most {
            // Even their longest words have no room: all give way alike, and words are broken.
            for width in &mut widths {
                let shrunk = i128::from(width.units()) * i128::from(most.units()) / i128::from(all.units());
                *width = Length::from_units(i64::try_from(shrunk).unwrap_or(0));
            }
        }
        Self { press, kinds: columns, widths }
    }

    fn width(&self) -> Length {
        self.widths.iter().copied().sum()
    }

    /// Gives each column with its left edge and its width.
    fn places(&self, left: Length) -> impl Iterator<Item = (&'a Column, Length, Length)> {
        self.kinds.iter().zip(&self.widths).scan(left, |x, (column, &width)| {
            let at = *x;
            *x += width;
            Some((column, at, width))
        })
    }

    fn head_height(&self) -> Length {
        let style = self.press.set(Style::TableHead);
        if self.kinds.iter().all(|column| column.head.is_empty()) {
            return PAD;
        }
        let lines = self.kinds.iter().zip(&self.widths);
        let lines = lines.map(|(column, &width)| style.wrap(column.head, width - PAD).len()).max();
        style.leading() * count(lines.unwrap_or(1)) + PAD
    }

    /// Gives the height of a row: what its words take, and `least` at the least.
    fn row_height(&self, row: &[Entry], least: Length) -> Length {
        let lines = row.iter().zip(&self.widths).filter_map(|(entry, &width)| {
            let (style, text) = entry.words()?;
            Some(self.press.set(style).wrap(text, width - PAD).len())
        });
        let leading = self.press.set(Style::Table).leading();
        let extra = count(lines.max().unwrap_or(1)) - 1;
        least.max(leading + Length::PT) + leading * extra
    }

    fn set_head(&self, left: Length, top: Length) -> Vec<Draw> {
        let style = self.press.set(Style::TableHead);
        let height = self.head_height();
        let mut draws = Vec::new();
        for (column, x, width) in self.places(left) {
            let lines = style.wrap(column.head, width - PAD);
            // Heads stand on the rule below them.
            let first = top + height - PAD * 2 - style.leading() * (count(lines.len()) - 1);
            draws.extend(words(style, &lines, (x, width, first), (column.right, QUIET)));
        }
        let y = top + height - PAD;
        draws.push(Draw::line(Place::new(left, y), Place::new(left + self.width(), y), HAIR, RULE));
        draws
    }

    fn set_row(&self, corner: Place, (height, index, row): (Length, usize, &[Entry])) -> Vec<Draw> {
        let mut draws = Vec::new();
        if index % 2 == 1 {
            draws.push(Draw::block(Area::new(corner, self.width(), height), WASH));
        }
        for ((column, x, width), entry) in self.places(corner.x).zip(row) {
            let room = Area::new(Place::new(x, corner.y), width, height);
            match entry.words() {
                Some((style, text)) => {
                    let style = self.press.set(style);
                    let lines = style.wrap(text, width - PAD);
                    let block = style.leading() * (count(lines.len()) - 1);
                    let first = corner.y + (height - block + style.rise()).half();
                    draws.extend(words(style, &lines, (x, width, first), (column.right, INK)));
                }
                None => draws.extend(shape(entry, room, self.press)),
            }
        }
        draws
    }
}

/// Sets a table whose rows are `height` high, or higher where words need it.
pub(super) fn table(flow: &mut Flow<'_>, columns: &[Column], height: Length, rows: &[Vec<Entry>]) {
    flow.tell(told(columns, rows));
    set(flow, columns, height, rows);
}

/// Sets a table that is told in other words.
pub(super) fn set(flow: &mut Flow<'_>, columns: &[Column], height: Length, rows: &[Vec<Entry>]) {
    let columns = Columns::new(flow.press(), columns, rows, flow.area().width);
    let head = columns.head_height();
    let left = flow.area().left();
    let heights: Vec<Length> = rows.iter().map(|row| columns.row_height(row, height)).collect();
    flow.need(head + heights.iter().take(2).copied().sum());
    set_head(flow, &columns, left);
    for (index, (row, &height)) in rows.iter().zip(&heights).enumerate() {
        if flow.need(height) {
            set_head(flow, &columns, left);
        }
        flow.draws(columns.set_row(Place::new(left, flow.y()), (height, index, row)));
        flow.skip(height);
    }
    flow.skip(PAD * 2);
}

fn set_head(flow: &mut Flow<'_>, columns: &Columns<'_>, left: Length) {
    flow.draws(columns.set_head(left, flow.y()));
    flow.skip(columns.head_height());
}

/// Sets a narrow table in several stacks side by side, as many as fit.
pub(super) fn stacks(flow: &mut Flow<'_>, columns: &[Column], height: Length, rows: &[Vec<Entry>]) {
    flow.tell(told(columns, rows));
    let gap = Length::PT * 18;
    let columns = Columns::new(flow.press(), columns, rows, flow.area().width);
    let heights = rows.iter().map(|row| columns.row_height(row, height));
    let height = heights.max().unwrap_or(height);
    let (width, head) = (columns.width(), columns.head_height());
    let across =
        usize::try_from((flow.area().width + gap).units() / (width + gap).units()).unwrap_or(1).max(1);
    let mut rest = rows;
    while !rest.is_empty() {
        flow.need(head + height * count(rest.len().div_ceil(across).min(6)));
        let room = usize::try_from((flow.left_over() - head).units() / height.units()).unwrap_or(0).max(1);
        let deep = rest.len().div_ceil(across).min(room);
        let (now, later) = rest.split_at(rest.len().min(deep * across));
        for (stack, part) in now.chunks(deep).enumerate() {
            let left = flow.area().left() + (width + gap) * count(stack);
            flow.draws(columns.set_head(left, flow.y()));
            for (index, row) in part.iter().enumerate() {
                let down = head + height * count(index);
                flow.draws(columns.set_row(Place::new(left, flow.y() + down), (height, index, row)));
            }
        }
        flow.skip(head + height * count(deep) + PAD * 2);
        rest = later;
    }
}

/// Gives a table without its layout; columns that only keep others apart are left out.
pub(super) fn told(columns: &[Column], rows: &[Vec<Entry>]) -> Told {
    let is_gap = |place: usize| {
        columns[place].head.is_empty()
            && rows.iter().all(|row| row.get(place) == Some(&Entry::Words(String::new())))
    };
    let kept: Vec<usize> = (0..columns.len()).filter(|&place| !is_gap(place)).collect();
    let heads = kept.iter().map(|&place| (columns[place].head.to_owned(), columns[place].right)).collect();
    let row = |row: &Vec<Entry>| kept.iter().filter_map(|&place| row.get(place).cloned()).collect();
    Told::Table { heads, rows: rows.iter().map(row).collect() }
}

/// Gives the width that the longest word of a column takes.
fn longest_word(press: &Press, columns: &[Column], rows: &[Vec<Entry>], place: usize) -> Length {
    let head = (Style::TableHead, columns[place].head);
    let entries = rows.iter().filter_map(|row| row.get(place)?.words());
    let words = entries.chain([head]).flat_map(|(style, text)| {
        let style = press.set(style);
        text.split(' ').map(move |word| style.width(word))
    });
    words.max().unwrap_or(Length::ZERO) + PAD + Length::PT
}

/// Draws what is no words.
fn shape(entry: &Entry, room: Area, press: &Press) -> Vec<Draw> {
    let inside = room.inset(Length::PT * 2);
    match entry {
        Entry::Swatch(rgb) => {
            // A tall row has no taller swatch.
            let height = inside.height.min(SWATCH);
            let corner = inside.corner.moved(Length::ZERO, (inside.height - height).half());
            let clear = Area::new(corner, inside.width - PAD * 2, height);
            vec![Draw::block(clear, *rgb), Draw::frame(clear, HAIR, QUIET)]
        }
        Entry::Sign(symbol, colour) => {
            let cell = Area::new(inside.corner, inside.height, inside.height);
            let rgb = pale(*colour);
            vec![
                Draw::block(cell, rgb),
                Draw::Fill { path: symbol.path(cell), rgb: rgb.ink().rgb() },
                Draw::frame(cell, HAIR, QUIET),
            ]
        }
        Entry::Tick => {
            let side = press.set(Style::Table).size;
            let corner = Place::new(room.left(), room.top() + (room.height - side).half());
            let tick = Area::new(corner, side, side).inset(Length::PT.half());
            vec![Draw::block(tick, Rgb::WHITE), Draw::frame(tick, HAIR, INK)]
        }
        // A dab is judged on white, not on the wash of its row.
        _ => vec![Draw::block(inside, Rgb::WHITE), Draw::frame(inside, HAIR, QUIET)],
    }
}

/// Sets lines in a column, the first with its base line at `base`.
fn words(
    style: Type,
    lines: &[String],
    (x, width, base): (Length, Length, Length),
    (right, rgb): (bool, Rgb),
) -> Vec<Draw> {
    let line = |(index, text): (usize, &String)| {
        let base = base + style.leading() * count(index);
        Draw::Text(if right {
            style.right(Place::new(x + width - PAD, base), text, rgb)
        } else {
            style.at(Place::new(x, base), &**text, rgb)
        })
    };
    lines.iter().enumerate().map(line).collect()
}

fn count(number: usize) -> i64 {
    i64::try_from(number).unwrap_or(i64::from(i32::MAX))
}
