//! Counting out: every row in runs of cells alike, a box to tick, and totals that catch a slip.

use super::colours::name;
use super::draw::Draw;
use super::page::{Flow, HAIR, INK, Leaf, RULE};
use super::press::Press;
use super::table::{Column, Entry, stacks};
use super::text::{Style, Type};
use super::told::Told;
use super::words::kept;
use crate::grid::Run;
use crate::length::{Area, Length, Place};
use crate::plan::Plan;

/// A box to tick.
const TICK: Length = Length::from_units(Length::PT.units() * 9);
/// The space between two columns of text.
const GAP: Length = Length::from_units(Length::PT.units() * 20);
/// The space below a row, and below every fifth.
const APART: Length = Length::from_units(Length::PT.units() * 3);
const FIFTH: Length = Length::from_units(Length::PT.units() * 9);
/// Columns of text on a page.
const COLUMNS: i64 = 2;

/// The runs of one row in lines.
struct Row {
    number: usize,
    lines: Vec<String>,
}

impl Row {
    fn height(&self, style: Type) -> Length {
        style.leading() * i64::try_from(self.lines.len()).unwrap_or(1)
            + if self.number.is_multiple_of(5) { FIFTH } else { APART }
    }
}

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("counting.title"));
    flow.heading(press.say("counting.title"));
    flow.paragraph(&press.fill("counting.how", &[("columns", &plan.grid().columns())]));
    let width = Length::from_units((flow.area().width - GAP).units() / COLUMNS);
    let rows: Vec<Row> = (0..plan.grid().rows()).map(|row| counted(press, plan, row, width)).collect();
    let mut rest = &rows[..];
    while !rest.is_empty() {
        rest = page(&mut flow, rest, width);
        if !rest.is_empty() {
            flow.need(flow.area().height);
        }
    }
    totals(&mut flow, plan);
    flow.leaves()
}

/// Fills the columns of a page, the last ones evenly; gives the rows that are left.
fn page<'a>(flow: &mut Flow<'_>, mut rest: &'a [Row], width: Length) -> &'a [Row] {
    let style = flow.press().set(Style::Table);
    let (top, bottom) = (flow.y(), flow.area().bottom());
    let all: Length = rest.iter().map(|row| row.height(style)).sum();
    let even = top + Length::from_units(all.units() / COLUMNS);
    let mut lowest = top;
    for column in 0..COLUMNS {
        let left = flow.area().left() + (width + GAP) * column;
        let mut y = top;
        while let Some((row, later)) = rest.split_first() {
            let height = row.height(style);
            // A row that is longer than a column is set all the same.
            if y > top && (y + height > bottom || y >= even && column + 1 < COLUMNS) {
                break;
            }
            set(flow, row, Area::new(Place::new(left, y), width, height));
            y += height;
            rest = later;
        }
        lowest = lowest.max(y);
    }
    flow.skip(lowest - top);
    rest
}

/// Gives where the runs of a row begin: behind a box and a number.
fn indent(style: Type) -> Length {
    TICK + style.width("8888") + Length::PT * 8
}

/// Counts out a row; no run is broken between its number and its code.
fn counted(press: &Press, plan: &Plan, row: usize, width: Length) -> Row {
    let (grid, style) = (plan.grid(), press.set(Style::Table));
    let codes = grid.codes();
    let run = |run: Run| {
        let what = run.cell.map_or(press.say("counting.bare"), |index| &*codes[usize::from(index)]);
        kept(&format!("{} {what}", run.cells))
    };
    // Every row is one of the grid.
    let runs = isize::try_from(row).ok().and_then(|row| grid.runs(row).ok()).unwrap_or_default();
    let total: usize = runs.iter().map(|run| run.cells).sum();
    let runs: Vec<String> = runs.into_iter().map(run).collect();
    let words = format!("{} {}", runs.join(", "), kept(&format!("= {total}")));
    Row { number: row + 1, lines: style.wrap(&words, width - indent(style)) }
}

fn set(flow: &mut Flow<'_>, row: &Row, area: Area) {
    let press = flow.press();
    let (style, strong) = (press.set(Style::Table), press.set(Style::TableHead));
    let fifth = row.number.is_multiple_of(5);
    flow.draw(Draw::frame(Area::new(area.corner.moved(Length::ZERO, Length::PT * 2), TICK, TICK), HAIR, INK));
    let runs = area.left() + indent(style);
    let mut base = Place::new(runs, area.top() + style.size);
    let number = if fifth { strong } else { style };
    let end = Place::new(runs - Length::PT * 6, base.y);
    flow.draw(Draw::Text(number.right(end, &row.number.to_string(), INK)));
    flow.tell(Told::Ticked(format!("{}: {}", row.number, row.lines.join(" "))));
    for line in &row.lines {
        flow.draw(Draw::Text(style.at(base, &**line, INK)));
        base = base.moved(Length::ZERO, style.leading());
    }
    if fifth {
        let y = area.bottom() - FIFTH.half() + Length::PT;
        flow.draw(Draw::line(Place::new(area.left(), y), Place::new(area.right(), y), HAIR, RULE));
    }
}

/// Adds up every colour over all rows.
fn totals(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let grid = plan.grid();
    let columns = [
        Column::left("", 30),
        Column::left(press.say("colours.code"), 40),
        Column::left(press.say("colours.name"), 140),
        Column::right(press.say("colours.cells"), 48),
    ];
    let rows: Vec<Vec<Entry>> = plan
        .tally()
        .iter()
        .map(|tally| {
            vec![
                Entry::Swatch(tally.colour),
                Entry::Strong(tally.code.clone()),
                Entry::Words(name(press, plan, tally)),
                Entry::Words(tally.cells.to_string()),
            ]
        })
        .collect();
    flow.heading(press.say("counting.totals"));
    stacks(flow, &columns, Length::PT * 15, &rows);
    let (all, figure) = (grid.cells().len(), grid.figure_cells());
    flow.paragraph(&press.fill(
        "counting.sum",
        &[
            ("figure", &figure),
            ("bare", &(all - figure)),
            ("all", &all),
            ("rows", &grid.rows()),
            ("columns", &grid.columns()),
        ],
    ));
}
