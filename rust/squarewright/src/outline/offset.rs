//! Growing and shrinking a figure: the backing that stands out all round, the line that glue keeps to.
//!
//! With square corners everything stays on upright and level lines, so the figure is laid out anew on a lattice
//! of its shifted grid lines, and the boundary is traced there: exact, with no geometry but comparing lengths.
//! Round corners are made by `i_overlay` in whole units.

use i_overlay::i_float::int::angle::Angle;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::mesh::int::arc::ArcOptions;
use i_overlay::mesh::int::outline::offset::IntOutlineOffset;
use i_overlay::mesh::int::style::{IntLineJoin, IntOutlineStyle};
use serde::{Deserialize, Serialize};

use super::trace::trace_labels;
use super::{Outline, Ring};
use crate::fault::{Error, Result};
use crate::grid::Grid;
use crate::length::{Length, Place, Ratio};

/// The corners of a grown figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Corners {
    /// Square, for cutting along a ruler.
    #[default]
    Square,
    /// Round.
    Round,
}

/// A closed line; places are measured from the top-left corner of the grid.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Contour {
    /// Its turning points.
    pub places: Vec<Place>,
    /// Whether it goes round a hole.
    pub hole: bool,
}

impl Contour {
    /// Gives the area inside in square millimetres (shoelace formula).
    pub fn mm2(&self) -> f64 {
        let next = self.places.iter().cycle().skip(1);
        let twice = self.places.iter().zip(next).map(|(a, b)| a.x.mm() * b.y.mm() - b.x.mm() * a.y.mm());
        libm::fabs(twice.sum::<f64>()) / 2.0
    }

    /// Gives the length in millimetres.
    pub fn mm(&self) -> f64 {
        let next = self.places.iter().cycle().skip(1);
        self.places.iter().zip(next).map(|(a, b)| libm::hypot(b.x.mm() - a.x.mm(), b.y.mm() - a.y.mm())).sum()
    }
}

/// Adds up what contours enclose, in square millimetres; holes are taken away.
pub fn enclosed_mm2(contours: &[Contour]) -> f64 {
    contours.iter().map(|contour| if contour.hole { -contour.mm2() } else { contour.mm2() }).sum()
}

/// Gives the figure with `by` more on every side.
///
/// # Errors
/// [`Error::Argument`] when `by` is below zero.
pub fn grown(grid: &Grid, pitch: Ratio, by: Length, corners: Corners) -> Result<Vec<Contour>> {
    if by < Length::ZERO {
        return Err(Error::Argument { name: "margin", must: "zero or more".into(), got: by.to_string() });
    }
    let lines = Lines::of(grid, pitch);
    match corners {
        Corners::Square => {
            let figure = |row: usize, column: usize| is_figure(grid, row, column);
            Ok(lines.shifted(by).contours(&lines.spread(by, figure)))
        }
        Corners::Round => round(&grown(grid, pitch, Length::ZERO, Corners::Square)?, by),
    }
}

/// Gives the figure with `by` less on every side; parts that are thinner than twice that vanish.
///
/// # Errors
/// [`Error::Argument`] when `by` is below zero.
pub fn shrunk(grid: &Grid, pitch: Ratio, by: Length) -> Result<Vec<Contour>> {
    if by < Length::ZERO {
        return Err(Error::Argument { name: "margin", must: "zero or more".into(), got: by.to_string() });
    }
    let lines = Lines::of(grid, pitch);
    let bare = lines.spread(by, |row, column| !is_figure(grid, row, column));
    let shifted = lines.shifted(by);
    let left: Vec<bool> = bare.iter().map(|&bare| !bare).collect();
    Ok(shifted.contours(&left))
}

/// The lines of a lattice, with a cell of room around the grid.
struct Lines {
    across: Vec<Length>,
    down: Vec<Length>,
}

/// Tells whether a cell of the lattice with room around is one of the figure.
fn is_figure(grid: &Grid, row: usize, column: usize) -> bool {
    let inside = (1..=grid.rows()).contains(&row) && (1..=grid.columns()).contains(&column);
    inside && grid.cells()[(row - 1) * grid.columns() + column - 1].is_some()
}

impl Lines {
    fn of(grid: &Grid, pitch: Ratio) -> Self {
        let lines = |count: usize| {
            let before = -pitch.times(1).nearest();
            std::iter::once(before).chain((0..=count + 1).map(|line| pitch.times(line).nearest())).collect()
        };
        Self { across: lines(grid.columns()), down: lines(grid.rows()) }
    }

    /// Gives the lines moved by so much either way.
    fn shifted(&self, by: Length) -> Self {
        let both = |lines: &[Length]| {
            let mut all: Vec<Length> = lines.iter().flat_map(|&line| [line - by, line + by]).collect();
            all.sort_unstable();
            all.dedup();
            all
        };
        Self { across: both(&self.across), down: both(&self.down) }
    }

    /// Marks the cells of the shifted lattice that lie within `by` of a marked cell, row by row.
    fn spread(&self, by: Length, marked: impl Fn(usize, usize) -> bool) -> Vec<bool> {
        let shifted = self.shifted(by);
        let (rows, columns) = (shifted.down.len() - 1, shifted.across.len() - 1);
        let place = |lines: &[Length], line: Length| lines.partition_point(|&other| other < line);
        // Each rectangle adds one at its corners with alternating sign; running sums fill it (summed areas).
        let mut sums = vec![0i32; (rows + 1) * (columns + 1)];
        for row in 0..self.down.len() - 1 {
            for column in (0..self.across.len() - 1).filter(|&column| marked(row, column)) {
                let (top, bottom) = (self.down[row] - by, self.down[row + 1] + by);
                let (left, right) = (self.across[column] - by, self.across[column + 1] + by);
                let (top, bottom) = (place(&shifted.down, top), place(&shifted.down, bottom));
                let (left, right) = (place(&shifted.across, left), place(&shifted.across, right));
                for (row, column, sign) in
                    [(top, left, 1), (top, right, -1), (bottom, left, -1), (bottom, right, 1)]
                {
                    sums[row * (columns + 1) + column] += sign;
                }
            }
        }
        for row in 0..=rows {
            for column in 1..=columns {
                sums[row * (columns + 1) + column] += sums[row * (columns + 1) + column - 1];
            }
        }
        for place in columns + 1..sums.len() {
            sums[place] += sums[place - columns - 1];
        }
        let cells = (0..rows).flat_map(|row| (0..columns).map(move |column| row * (columns + 1) + column));
        cells.map(|place| sums[place] > 0).collect()
    }

    /// Traces the marked cells.
    fn contours(&self, marked: &[bool]) -> Vec<Contour> {
        let labels: Vec<u16> = marked.iter().map(|&marked| u16::from(marked)).collect();
        let Outline { rings, .. } = trace_labels(self.down.len() - 1, self.across.len() - 1, &labels);
        let contour = |Ring { corners, hole }: Ring| Contour {
            places: corners.iter().map(|at| Place::new(self.across[at.column], self.down[at.row])).collect(),
            hole,
        };
        rings.into_iter().map(contour).map(Contour::straightened).collect()
    }
}

impl Contour {
    /// Leaves out places that lie on a line with both neighbours.
    fn straightened(self) -> Self {
        let count = self.places.len();
        let level = |at: usize| {
            let (before, here, after) =
                (self.places[(at + count - 1) % count], self.places[at], self.places[(at + 1) % count]);
            (before.x == here.x && here.x == after.x) || (before.y == here.y && here.y == after.y)
        };
        let places = (0..count).filter(|&at| !level(at)).map(|at| self.places[at]).collect();
        Self { places, hole: self.hole }
    }
}

/// A step of the round corners, 1/128 turn: chords stay within a thousandth of the margin of the arc.
const STEP: Angle = Angle::from_bits(1 << 25);

fn round(figure: &[Contour], by: Length) -> Result<Vec<Contour>> {
    let point = |place: &Place| IntPoint::new(place.x.units(), -place.y.units());
    let paths: Vec<Vec<IntPoint<i64>>> =
        figure.iter().map(|contour| contour.places.iter().map(point).collect()).collect();
    let arcs = ArcOptions { max_step: STEP, ..ArcOptions::default() };
    let style = IntOutlineStyle::new(by.units()).line_join(IntLineJoin::Round(arcs));
    let bad = |error: &dyn std::fmt::Debug| Error::Argument {
        name: "margin",
        must: "a few inches at the most".into(),
        got: format!("{by} ({error:?})"),
    };
    let shapes = paths.outline(&style).map_err(|error| bad(&error))?;
    let place = |point: &IntPoint<i64>| Place::new(Length::from_units(point.x), Length::from_units(-point.y));
    let contour = |(number, path): (usize, &Vec<IntPoint<i64>>)| Contour {
        places: path.iter().map(place).collect(),
        hole: number > 0,
    };
    Ok(shapes.iter().flat_map(|shape| shape.iter().enumerate().map(contour)).collect())
}
