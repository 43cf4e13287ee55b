//! The numbered chart: a code or a symbol in every cell, heavy lines between colours, numbers on all four sides.

use std::ops::Range;

use super::colours::{alike_lines, pale};
use super::draw::{Draw, Line, Path};
use super::figure::{Lattice, boundaries, fills, grid_lines};
use super::page::{Flow, HAIR, INK, Leaf, QUIET, RULE, body};
use super::press::Press;
use super::symbol::{Symbol, symbols};
use super::text::{CODE, CODE_BOLD, Style};
use crate::length::{Area, Length, Place};
use crate::outline::Arc;
use crate::plan::{Ending, Plan};

/// A cell must hold a code of two characters at 8 pt.
const LEAST: Length = Length::from_units(Length::PT.units() * 29 / 2);
const MOST: Length = Length::from_units(Length::PT.units() * 26);
/// Room for the numbers at each side.
const SIDE: Length = Length::from_units(Length::PT.units() * 18);
/// What stands in the cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Signs {
    Codes,
    Symbols,
}

/// How a figure is shared out on pages: cells in equal parts, as large as the room allows.
#[derive(Debug)]
pub(super) struct Layout<'a> {
    plan: &'a Plan,
    signs: Signs,
    /// Borders between colours that some people cannot tell apart.
    alike: Vec<&'a Arc>,
    room: Area,
    columns: Vec<Range<usize>>,
    rows: Vec<Range<usize>>,
    cell: Length,
}

impl<'a> Layout<'a> {
    /// Shares a figure out on pages with the room that an area has for cells and numbers.
    pub(super) fn new(plan: &'a Plan, area: Area, signs: Signs) -> Self {
        let (grid, room) = (plan.grid(), area.inset(SIDE));
        let least = match signs {
            Signs::Codes => LEAST,
            Signs::Symbols => Symbol::LEAST,
        };
        let columns = shares(grid.columns(), room.width, least);
        let rows = shares(grid.rows(), room.height, least);
        let side =
            |room: Length, cells: usize| Length::from_units(room.units() / i64::try_from(cells).unwrap_or(1));
        let cell = side(room.width, longest(&columns)).min(side(room.height, longest(&rows))).min(MOST);
        Self { plan, signs, alike: alike_lines(plan), room, columns, rows, cell }
    }

    /// Counts the pages.
    pub(super) fn pages(&self) -> usize {
        self.columns.len() * self.rows.len()
    }

    /// Gives the height of a page's cells with their numbers.
    pub(super) fn height(&self) -> Length {
        self.cell * i64::try_from(longest(&self.rows)).unwrap_or(1) + SIDE * 2
    }

    /// Draws page by page, row by row.
    pub(super) fn charts(&self) -> impl Iterator<Item = Chart<'_>> {
        let parts = self.rows.iter().flat_map(|rows| self.columns.iter().map(move |columns| (rows, columns)));
        parts.map(|(rows, columns)| Chart::new(self, rows.clone(), columns.clone()))
    }

    /// Gives every page, with the lines that say what it shows.
    pub(super) fn leaves(&self, press: &Press, (title, part): (&str, &str)) -> Vec<Leaf> {
        let count = self.pages();
        let leaf = |(number, chart): (usize, Chart<'_>)| {
            let mut flow = Flow::new(press, press.say(title));
            let (rows, columns) = (&chart.rows, &chart.columns);
            let words = press.fill(
                part,
                &[
                    ("part", &number),
                    ("parts", &count),
                    ("from", &(columns.start + 1)),
                    ("to", &columns.end),
                    ("first", &(rows.start + 1)),
                    ("last", &rows.end),
                ],
            );
            flow.lines(Style::Table, &words, Length::ZERO, INK);
            flow.lines(Style::Table, &legend(press, self.plan, self.signs), Length::ZERO, QUIET);
            for draw in chart.draws() {
                flow.draw(draw);
            }
            flow.leaves()
        };
        (1..).zip(self.charts()).flat_map(leaf).collect()
    }
}

/// Gives the pages that show a code in every cell.
pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    coded(press, plan).leaves(press, ("chart.title", "chart.part"))
}

/// Shares the figure out with a code in every cell.
pub(super) fn coded<'a>(press: &Press, plan: &'a Plan) -> Layout<'a> {
    Layout::new(plan, below_head(press, plan, Signs::Codes), Signs::Codes)
}

/// Gives what is left of a page below the lines that say what it shows.
pub(super) fn below_head(press: &Press, plan: &Plan, signs: Signs) -> Area {
    let (area, style) = (body(press), press.set(Style::Table));
    let lines = 1 + style.wrap(&legend(press, plan, signs), area.width).len();
    let head = style.leading() * i64::try_from(lines).unwrap_or(1);
    Area::new(area.corner.moved(Length::ZERO, head), area.width, area.height - head)
}

/// Says what the lines of a chart mean.
pub(super) fn legend(press: &Press, plan: &Plan, signs: Signs) -> String {
    let lines = match signs {
        Signs::Codes => press.say("chart.lines"),
        Signs::Symbols => press.say("overview.lines"),
    };
    let alike = if alike_lines(plan).is_empty() { "" } else { press.say("chart.alike") };
    format!("{lines} {alike}")
}

fn shares(cells: usize, room: Length, least: Length) -> Vec<Range<usize>> {
    let parts = cells.div_ceil(usize::try_from(room.units() / least.units()).unwrap_or(1).max(1));
    (0..parts).map(|part| cells * part / parts..cells * (part + 1) / parts).collect()
}

fn longest(shares: &[Range<usize>]) -> usize {
    shares.iter().map(ExactSizeIterator::len).max().unwrap_or(1)
}

/// Some cells of a figure on a page.
pub(super) struct Chart<'a> {
    layout: &'a Layout<'a>,
    plan: &'a Plan,
    rows: Range<usize>,
    columns: Range<usize>,
    lattice: Lattice,
    window: Area,
    cell: Length,
}

impl<'a> Chart<'a> {
    fn new(layout: &'a Layout<'a>, rows: Range<usize>, columns: Range<usize>) -> Self {
        let (room, cell) = (layout.room, layout.cell);
        let length = |count: usize| cell * i64::try_from(count).unwrap_or(0);
        let size = (length(columns.len()), length(rows.len()));
        let corner = Place::new(room.left() + (room.width - size.0).half(), room.top());
        let origin = corner.moved(-length(columns.start), -length(rows.start));
        let lattice = Lattice { origin, pitch: cell.ratio() };
        let window = Area::new(corner, size.0, size.1);
        Self { layout, plan: layout.plan, rows, columns, lattice, window, cell }
    }

    pub(super) fn draws(&self) -> Vec<Draw> {
        let (grid, outline) = (self.plan.grid(), self.plan.outline());
        let mut draws = fills(grid, self.lattice, self.window, |rgb| Some(pale(rgb)));
        draws.push(Draw::stroke(grid_lines(grid, self.lattice, self.window), Length::tenths_pt(3), RULE));
        let (outer, thickest) = match self.layout.signs {
            Signs::Codes => {
                let inner = boundaries(outline.inner_lines(), self.lattice, self.window);
                draws.push(Draw::stroke(inner, Length::PT, INK));
                (Length::tenths_pt(18), Length::tenths_pt(26))
            }
            Signs::Symbols => {
                draws.extend(self.fives());
                (Length::tenths_pt(12), Length::tenths_pt(18))
            }
        };
        let silhouette = boundaries(outline.silhouette(), self.lattice, self.window);
        draws.push(Draw::stroke(silhouette, outer, INK));
        let alike = boundaries(self.layout.alike.iter().copied(), self.lattice, self.window);
        draws.push(Draw::stroke(alike, thickest, INK));
        match self.layout.signs {
            Signs::Codes => self.codes(&mut draws),
            Signs::Symbols => self.symbols(&mut draws),
        }
        self.numbers(&mut draws);
        draws.push(Draw::frame(self.window, HAIR, QUIET));
        draws
    }

    /// Draws every fifth line heavier, and every tenth heavier still.
    fn fives(&self) -> [Draw; 2] {
        let every = |step: usize| {
            let (left, top) = (self.window.left(), self.window.top());
            let upright = (self.columns.start..self.columns.end).filter(move |line| line % step == 0);
            let level = (self.rows.start..self.rows.end).filter(move |line| line % step == 0);
            let upright = upright.map(|line| self.lattice.x(line));
            let upright = upright.map(|x| (Place::new(x, top), Place::new(x, self.window.bottom())));
            let level = level.map(|line| self.lattice.y(line));
            let level = level.map(|y| (Place::new(left, y), Place::new(self.window.right(), y)));
            let lines = upright.chain(level).map(|(from, to)| Line { places: vec![from, to], closed: false });
            Path(lines.collect())
        };
        [(5, 6), (10, 12)].map(|(step, width)| Draw::stroke(every(step), Length::tenths_pt(width), QUIET))
    }

    /// Draws the symbols, all of one colour in one mark.
    fn symbols(&self, draws: &mut Vec<Draw>) {
        let grid = self.plan.grid();
        for (symbol, tally) in symbols(self.plan) {
            let mut path = Path::default();
            for row in self.rows.clone() {
                for column in self.columns.clone() {
                    let cell = grid.cells()[row * grid.columns() + column];
                    if cell.is_some_and(|index| usize::from(index) == tally.index) {
                        path.0.extend(symbol.path(self.lattice.cells(row, (column, column + 1))).0);
                    }
                }
            }
            if !path.0.is_empty() {
                draws.push(Draw::Fill { path, rgb: pale(tally.colour).ink().rgb() });
            }
        }
    }

    fn codes(&self, draws: &mut Vec<Draw>) {
        let grid = self.plan.grid();
        let codes = grid.codes();
        let whole = self.plan.making().ending == Ending::WholeSquare;
        let base = (self.cell + Length::PT * 6).half();
        for row in self.rows.clone() {
            for column in self.columns.clone() {
                let middle =
                    Place::new(self.lattice.x(column) + self.cell.half(), self.lattice.y(row) + base);
                match grid.cells()[row * grid.columns() + column] {
                    Some(index) => {
                        let ink = pale(grid.palette().colours()[usize::from(index)]).ink().rgb();
                        let code = &codes[usize::from(index)];
                        draws.push(Draw::Text(CODE.centred(middle, code, ink)));
                    }
                    None if whole => draws.push(Draw::Text(CODE.centred(middle, "·", QUIET))),
                    None => {}
                }
            }
        }
    }

    fn numbers(&self, draws: &mut Vec<Draw>) {
        let style = |number: usize| if number.is_multiple_of(5) { CODE_BOLD } else { CODE };
        // Side by side, two numbers of two digits need 15 points, and two of one digit 9.
        let (few, fewer) = (self.cell < Length::PT * 15, self.cell < Length::PT * 10);
        let shown =
            |number: usize| number.is_multiple_of(5) || number == 1 || !fewer && (!few || number < 10);
        for column in self.columns.clone().filter(|column| shown(column + 1)) {
            let number = column + 1;
            let x = self.lattice.x(column) + self.cell.half();
            for y in [self.window.top() - Length::PT * 5, self.window.bottom() + Length::PT * 12] {
                draws.push(Draw::Text(style(number).centred(Place::new(x, y), &number.to_string(), INK)));
            }
        }
        for row in self.rows.clone().filter(|row| !fewer || shown(row + 1)) {
            let number = row + 1;
            let y = self.lattice.y(row) + (self.cell + Length::PT * 6).half();
            let (left, right) = (self.window.left() - Length::PT * 4, self.window.right() + Length::PT * 4);
            draws.push(Draw::Text(style(number).right(Place::new(left, y), &number.to_string(), INK)));
            draws.push(Draw::Text(style(number).at(Place::new(right, y), number.to_string(), INK)));
        }
    }
}
