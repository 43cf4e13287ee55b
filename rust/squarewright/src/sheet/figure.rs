//! Drawing a figure on a page: its cells, its grid lines, its boundaries, cut to a window.

use crate::colour::Rgb;
use crate::grid::Grid;
use crate::length::{Area, Length, Place, Ratio};
use crate::outline::{Arc, Corner};
use crate::plan::Plan;

use super::draw::{Draw, Line, Path};
use super::page::{HAIR, INK, QUIET, RULE};

/// Where the corners of cells lie on a page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lattice {
    /// The place of the top-left corner of the grid.
    pub(super) origin: Place,
    /// The side of a cell.
    pub(super) pitch: Ratio,
}

impl Lattice {
    pub(super) fn x(self, column: usize) -> Length {
        self.origin.x + self.pitch.times(column).nearest()
    }

    pub(super) fn y(self, row: usize) -> Length {
        self.origin.y + self.pitch.times(row).nearest()
    }

    pub(super) fn place(self, corner: Corner) -> Place {
        Place::new(self.x(corner.column), self.y(corner.row))
    }

    /// Gives the area of some cells of one row.
    pub(super) fn cells(self, row: usize, columns: (usize, usize)) -> Area {
        let corner = Place::new(self.x(columns.0), self.y(row));
        Area::new(corner, self.x(columns.1) - corner.x, self.y(row + 1) - corner.y)
    }
}

/// Draws the figure as large as a room allows, at its top and in the middle of its width; gives its height too.
pub(super) fn picture(plan: &Plan, room: Area) -> (Vec<Draw>, Length) {
    let grid = plan.grid();
    let across = room.width.ratio().over(grid.columns());
    let pitch = across.min(room.height.ratio().over(grid.rows()));
    let width = pitch.times(grid.columns()).nearest();
    let lattice = Lattice { origin: room.corner.moved((room.width - width).half(), Length::ZERO), pitch };
    let mut draws = fills(grid, lattice, room, Some);
    let path = boundaries(plan.outline().silhouette(), lattice, room);
    draws.push(Draw::stroke(path, HAIR, QUIET));
    (draws, pitch.times(grid.rows()).nearest())
}

/// Gives the part of an area that lies in a window, if any does.
pub(super) fn within(area: Area, window: Area) -> Option<Area> {
    let (left, top) = (area.left().max(window.left()), area.top().max(window.top()));
    let (right, bottom) = (area.right().min(window.right()), area.bottom().min(window.bottom()));
    (right > left && bottom > top).then(|| Area::new(Place::new(left, top), right - left, bottom - top))
}

/// Gives the part of a level or upright line that lies in a window.
pub(super) fn line_within(from: Place, to: Place, window: Area) -> Option<(Place, Place)> {
    let clamp = |place: Place| {
        Place::new(
            place.x.max(window.left()).min(window.right()),
            place.y.max(window.top()).min(window.bottom()),
        )
    };
    let (a, b) = (clamp(from), clamp(to));
    let beside = if from.x == to.x { a.x != from.x } else { a.y != from.y };
    (!beside && a != b).then_some((a, b))
}

/// Fills the cells whose colour has a shade, equal neighbours in a row as one block.
pub(super) fn fills(
    grid: &Grid,
    lattice: Lattice,
    window: Area,
    shade: impl Fn(Rgb) -> Option<Rgb>,
) -> Vec<Draw> {
    let mut draws = Vec::new();
    for (row, cells) in grid.cells().chunks(grid.columns()).enumerate() {
        let mut column = 0;
        for run in cells.chunk_by(|a, b| a == b) {
            let columns = (column, column + run.len());
            column += run.len();
            if let Some(rgb) = grid.colour(run[0]).and_then(&shade) {
                let area = within(lattice.cells(row, columns), window);
                draws.extend(area.map(|area| Draw::block(area, rgb)));
            }
        }
    }
    draws
}

/// Draws the grid lines through the whole window.
pub(super) fn grid_lines(grid: &Grid, lattice: Lattice, window: Area) -> Path {
    let (left, right) = (lattice.x(0), lattice.x(grid.columns()));
    let (top, bottom) = (lattice.y(0), lattice.y(grid.rows()));
    let upright = (0..=grid.columns()).map(|column| {
        let x = lattice.x(column);
        (Place::new(x, top), Place::new(x, bottom))
    });
    let level = (0..=grid.rows()).map(|row| {
        let y = lattice.y(row);
        (Place::new(left, y), Place::new(right, y))
    });
    Path(upright.chain(level).filter_map(|(from, to)| line_within(from, to, window)).map(straight).collect())
}

/// Draws boundaries, run by run.
pub(super) fn boundaries<'a>(arcs: impl Iterator<Item = &'a Arc>, lattice: Lattice, window: Area) -> Path {
    let mut lines = Vec::new();
    for arc in arcs {
        let corners = arc.corners();
        let runs = corners.iter().zip(&corners[1..]);
        let runs = runs.map(|(&from, &to)| (lattice.place(from), lattice.place(to)));
        lines.extend(runs.filter_map(|(from, to)| line_within(from, to, window)).map(straight));
    }
    Path(lines)
}

/// Draws what the full-size template shows: grid, inner lines, outline.
pub(super) fn template_lines(plan: &Plan, lattice: Lattice, window: Area) -> Vec<Draw> {
    let outline = plan.outline();
    vec![
        Draw::stroke(grid_lines(plan.grid(), lattice, window), Length::tenths_pt(3), RULE),
        Draw::stroke(boundaries(outline.inner_lines(), lattice, window), Length::tenths_pt(6), QUIET),
        Draw::stroke(boundaries(outline.silhouette(), lattice, window), Length::tenths_pt(14), INK),
    ]
}

fn straight((from, to): (Place, Place)) -> Line {
    Line { places: vec![from, to], closed: false }
}
