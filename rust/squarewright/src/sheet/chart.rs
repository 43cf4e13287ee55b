//! The numbered chart: a code in every cell, heavy lines between colours, numbers on all four sides.

use std::ops::Range;

use super::draw::Draw;
use super::figure::{Lattice, boundaries, fills, grid_lines};
use super::page::{HAIR, INK, Leaf, QUIET, RULE, body};
use super::press::Press;
use super::text::{CODE, CODE_BOLD, Style};

use crate::colour::Rgb;
use crate::length::{Area, Length, Place};
use crate::plan::{Ending, Plan};

/// A cell must hold a code of two characters at 8 pt.
const LEAST: Length = Length::from_units(Length::PT.units() * 29 / 2);
const MOST: Length = Length::from_units(Length::PT.units() * 26);
/// Room for the numbers at each side.
const SIDE: Length = Length::from_units(Length::PT.units() * 18);
/// How much white is mixed into a cell, so that its code stays easy to read and little ink is used.
const PALE: f64 = 0.55;

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let grid = plan.grid();
    let area = body(press);
    let area = Area::new(
        area.corner.moved(Length::ZERO, Length::PT * 22),
        area.width,
        area.height - Length::PT * 22,
    );
    let room = area.inset(SIDE);
    let (across, down) = (parts(grid.columns(), room.width), parts(grid.rows(), room.height));
    let (columns, rows) = (shares(grid.columns(), across), shares(grid.rows(), down));
    let longest = |shares: &[Range<usize>]| shares.iter().map(ExactSizeIterator::len).max().unwrap_or(1);
    let side =
        |room: Length, cells: usize| Length::from_units(room.units() / i64::try_from(cells).unwrap_or(1));
    let cell = side(room.width, longest(&columns)).min(side(room.height, longest(&rows))).min(MOST);
    let count = columns.len() * rows.len();
    let mut leaves = Vec::new();
    for rows in &rows {
        for columns in &columns {
            let mut leaf = Leaf::new(press.say("chart.title"));
            let words = press.fill(
                "chart.part",
                &[
                    ("part", &(leaves.len() + 1)),
                    ("parts", &count),
                    ("from", &(columns.start + 1)),
                    ("to", &columns.end),
                    ("first", &(rows.start + 1)),
                    ("last", &rows.end),
                ],
            );
            let base = area.corner.moved(Length::ZERO, -Length::PT * 8);
            leaf.draws.push(Draw::Text(press.set(Style::Table).at(base, words, INK)));
            let chart = Chart::new(plan, (rows.clone(), columns.clone()), room, cell);
            leaf.draws.extend(chart.draws());
            leaves.push(leaf);
        }
    }
    leaves
}

fn parts(cells: usize, room: Length) -> usize {
    cells.div_ceil(usize::try_from(room.units() / LEAST.units()).unwrap_or(1).max(1))
}

fn shares(cells: usize, parts: usize) -> Vec<Range<usize>> {
    (0..parts).map(|part| cells * part / parts..cells * (part + 1) / parts).collect()
}

struct Chart<'a> {
    plan: &'a Plan,
    rows: Range<usize>,
    columns: Range<usize>,
    lattice: Lattice,
    window: Area,
    cell: Length,
}

impl<'a> Chart<'a> {
    fn new(plan: &'a Plan, (rows, columns): (Range<usize>, Range<usize>), room: Area, cell: Length) -> Self {
        let length = |count: usize| cell * i64::try_from(count).unwrap_or(0);
        let size = (length(columns.len()), length(rows.len()));
        let corner = Place::new(room.left() + (room.width - size.0).half(), room.top());
        let origin = corner.moved(-length(columns.start), -length(rows.start));
        let lattice = Lattice { origin, pitch: cell.ratio() };
        Self { plan, rows, columns, lattice, window: Area::new(corner, size.0, size.1), cell }
    }

    fn draws(&self) -> Vec<Draw> {
        let (grid, outline) = (self.plan.grid(), self.plan.outline());
        let mut draws = fills(grid, self.lattice, self.window, |rgb| Some(rgb.mixed(Rgb::WHITE, PALE)));
        draws.push(Draw::stroke(grid_lines(grid, self.lattice, self.window), Length::tenths_pt(3), RULE));
        let inner = boundaries(outline.inner_lines(), self.lattice, self.window);
        draws.push(Draw::stroke(inner, Length::PT, INK));
        let outer = boundaries(outline.silhouette(), self.lattice, self.window);
        draws.push(Draw::stroke(outer, Length::tenths_pt(18), INK));
        self.codes(&mut draws);
        self.numbers(&mut draws);
        draws.push(Draw::frame(self.window, HAIR, QUIET));
        draws
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
                        let ink =
                            grid.palette().colours()[usize::from(index)].mixed(Rgb::WHITE, PALE).ink().rgb();
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
        let few = self.cell < Length::PT * 15;
        let shown = |number: usize| !few || number.is_multiple_of(5) || number < 10;
        for column in self.columns.clone().filter(|column| shown(column + 1)) {
            let number = column + 1;
            let x = self.lattice.x(column) + self.cell.half();
            for y in [self.window.top() - Length::PT * 5, self.window.bottom() + Length::PT * 12] {
                draws.push(Draw::Text(style(number).centred(Place::new(x, y), &number.to_string(), INK)));
            }
        }
        for row in self.rows.clone() {
            let number = row + 1;
            let y = self.lattice.y(row) + (self.cell + Length::PT * 6).half();
            let (left, right) = (self.window.left() - Length::PT * 4, self.window.right() + Length::PT * 4);
            draws.push(Draw::Text(style(number).right(Place::new(left, y), &number.to_string(), INK)));
            draws.push(Draw::Text(style(number).at(Place::new(right, y), number.to_string(), INK)));
        }
    }
}
