//! All cuts of a figure in the order in which they are made.
//!
//! Holes come while the sheet is stiff, then the waste in coarse straight cuts, largest pieces first, then the
//! outline, and last the narrow slots and the weak parts, the weakest of all at the very end (common practice; inner
//! contours before outer ones also in Dewil and others, 2016, from memory).

use super::board::{Board, Point};
use super::cut::{Cut, CutPlan, Kind, PanelCuts, Pull, Remark, Totals};
use super::setting::Cutting;
use super::stroke::{Round, Stroke, is_pulled_back, strokes};
use super::{bay, convex, part, through};
use crate::fault::{Error, Result, Watch};
use crate::grid::Grid;
use crate::length::{Length, Place};
use crate::outline::Corner;
use crate::panel::Hand;
use crate::panel::{Fit, Piece};

/// More strokes than this on one panel are nothing to cut by hand.
const MOST_STROKES: usize = 4_000;

/// Plans the cuts of a figure that is cut out, panel by panel.
///
/// `weak` lists parts that could break, each as cells (row, column), the weakest first: their strokes come last.
///
/// # Errors
/// [`Error::Argument`] when the fit is not one of this grid or a weak cell lies outside it, those of
/// [`Cutting::checked`], a light cut too fine for the board, and [`Error::Stopped`] when the watcher asks to stop.
pub fn plan_cuts(
    grid: &Grid,
    fit: &Fit,
    cutting: &Cutting,
    weak: &[Vec<(usize, usize)>],
    watch: &dyn Watch,
) -> Result<CutPlan> {
    let thickness = cutting.thickness.or(fit.panel.thickness());
    let cutting = cutting.checked()?.through(thickness)?;
    let (rows, columns) = (grid.rows(), grid.columns());
    if (fit.rows, fit.columns) != (rows, columns) {
        let must = format!("a fit of {rows} rows × {columns} columns");
        let got = format!("{} rows × {} columns", fit.rows, fit.columns);
        return Err(Error::Argument { name: "fit", must, got });
    }
    let mut ranks = vec![None; rows * columns];
    for (rank, part) in weak.iter().enumerate().rev() {
        for &(row, column) in part {
            if row >= rows || column >= columns {
                let (must, got) = ("cells of the grid".into(), format!("row {row} column {column}"));
                return Err(Error::Argument { name: "weak", must, got });
            }
            ranks[row * columns + column] = Some(rank);
        }
    }
    let panels = fit.pieces.iter().map(|piece| {
        watch.check(0.0)?;
        let rank = |row: usize, column: usize| {
            ranks[(row + piece.rows.start) * columns + column + piece.columns.start]
        };
        Ok(Bench { piece, cutting, thickness }.cut(&Board::new(grid, fit, piece), &rank))
    });
    Ok(CutPlan { cutting, panels: panels.collect::<Result<_>>()? })
}

/// One panel and how it is cut.
struct Bench<'a> {
    piece: &'a Piece,
    cutting: Cutting,
    thickness: Option<Length>,
}

/// A cut that has its place in the order but no number yet.
struct Step {
    kind: Kind,
    from: Point,
    to: Point,
    stroke: Option<Stroke>,
    stabs: usize,
    /// Whether the work begins anew with it: outline, weak parts.
    begins: bool,
}

impl Bench<'_> {
    fn cut(&self, board: &Board, weak: &dyn Fn(usize, usize) -> Option<usize>) -> PanelCuts {
        let left = self.cutting.hand == Hand::Left;
        let columns = board.figure.columns();
        let mirrored = |row: usize, column: usize| weak(row, columns - 1 - column);
        // The left hand works as the right one does in a mirror.
        let turned = left.then(|| board.mirrored());
        let seen = turned.as_ref().unwrap_or(board);
        let (rounds, on_edge) = if left { strokes(seen, &mirrored) } else { strokes(seen, weak) };
        let strokes: usize = rounds.iter().map(|round| round.strokes.len()).sum();
        let remark = match strokes {
            _ if !board.figure.solid.contains(&true) => Some(Remark::Bare),
            0 => Some(Remark::Full),
            count if count > MOST_STROKES => Some(Remark::TooFine),
            _ => None,
        };
        let steps = match remark {
            None => self.steps(seen, &rounds),
            _ => stroke_steps(&rounds),
        };
        let mut cuts: Vec<Cut> = self.numbered(steps);
        if left {
            for cut in &mut cuts {
                self.turn_over(cut, board.width);
            }
        }
        let mut totals = Totals { on_edge: Length::from_units(on_edge), ..Totals::default() };
        for cut in &cuts {
            totals.add(cut);
        }
        if remark.is_some() {
            cuts.clear();
        }
        PanelCuts { across: self.piece.across, down: self.piece.down, cuts, totals, remark }
    }

    /// Lists all cuts in order.
    fn steps(&self, board: &Board, rounds: &[Round]) -> Vec<Step> {
        let (coarse, bays) = self.coarse(board);
        let straight = |kind, ends: [Point; 2]| Step {
            kind,
            from: ends[0],
            to: ends[1],
            stroke: None,
            stabs: 0,
            begins: false,
        };
        let mut steps = stroke_steps(rounds);
        let holes = steps.iter().take_while(|step| step.kind == Kind::Hole).count();
        let outline = steps.split_off(holes);
        steps.extend(coarse.into_iter().map(|ends| straight(Kind::Coarse, forward(ends))));
        steps.extend(bays.into_iter().map(|ends| straight(Kind::Bay, ends)));
        steps.extend(outline);
        steps
    }

    /// Finds the straight cuts through the sheet, and those across bays.
    fn coarse(&self, board: &Board) -> (Vec<[Point; 2]>, Vec<[Point; 2]>) {
        let mask = board.grown(self.cutting.clearance.units());
        let (labels, parts) = mask.parts();
        let (groups, mut coarse) = part::separate(&mask, &parts, [0, 0, board.width, board.height]);
        let side = self.cutting.smallest_piece.units() as f64;
        let mut bays = Vec::new();
        for group in groups {
            let shape = mask.joined(&labels, &group.members, group.bounds);
            let ring = shape.ring();
            let points: Vec<Point> = ring.iter().map(|&corner| shape.point(corner)).collect();
            let through = through::through(&convex::rectangle(group.sheet), &points, side * side);
            coarse.extend(through.cuts.iter().map(|ends| ends.map(whole)));
            bays.extend(bay::bays(&shape, &ring, &through, group.sheet, &bay::Price::default()));
        }
        bays.sort_by(bay::Bay::sooner);
        (coarse, bays.iter().flat_map(|bay| pulls(&bay.way)).collect())
    }

    /// Gives each cut its number, its light cuts and the stops for a fresh edge.
    fn numbered(&self, steps: Vec<Step>) -> Vec<Cut> {
        let light_cuts = self.thickness.map(|thickness| self.cutting.light_cuts(thickness));
        let times = i64::try_from(light_cuts.unwrap_or(1)).unwrap_or(1);
        let mut travel = self.cutting.fresh_edge;
        let cut = |(number, step): (usize, Step)| {
            let (from, to) = (place(step.from), place(step.to));
            let length = Length::from_units(length(step.from, step.to));
            let fresh_edge = step.begins || travel >= self.cutting.fresh_edge;
            travel = if fresh_edge { length * times } else { travel + length * times };
            Cut {
                number,
                kind: step.kind,
                from,
                to,
                pull: Pull::between(from, to),
                length,
                edge: step.stroke.map(|stroke| stroke.edge).map(|mut edge| {
                    edge.from = self.on_grid(edge.from);
                    edge.to = self.on_grid(edge.to);
                    edge
                }),
                stabs: step.stabs,
                turns: usize::from(step.stroke.is_some_and(|stroke| stroke.turn)),
                light_cuts,
                fresh_edge,
                weak: step.stroke.is_some_and(|stroke| stroke.weak.is_some()),
            }
        };
        (1..).zip(steps).map(cut).collect()
    }

    /// Counts a corner of the panel's own cells from the corner of the grid.
    fn on_grid(&self, Corner { row, column }: Corner) -> Corner {
        Corner { row: row + self.piece.rows.start, column: column + self.piece.columns.start }
    }

    /// Turns a cut of the mirrored panel back.
    fn turn_over(&self, cut: &mut Cut, width: i64) {
        let flip = |place: Place| Place::new(Length::from_units(width) - place.x, place.y);
        (cut.from, cut.to) = (flip(cut.from), flip(cut.to));
        cut.pull = Pull::between(cut.from, cut.to);
        let (first, end) = (self.piece.columns.start, self.piece.columns.end);
        if let Some(edge) = &mut cut.edge {
            edge.from.column = first + end - edge.from.column;
            edge.to.column = first + end - edge.to.column;
        }
    }
}

/// Lists the strokes: holes, outline, slots, weak parts.
fn stroke_steps(rounds: &[Round]) -> Vec<Step> {
    let mut holes: Vec<&Round> = rounds.iter().filter(|round| round.hole).collect();
    let mut outer: Vec<&Round> = rounds.iter().filter(|round| !round.hole).collect();
    // The sort is stable: rings of one size stay in reading order.
    holes.sort_by_key(|round| std::cmp::Reverse(round.cells));
    outer.sort_by_key(|round| std::cmp::Reverse(round.cells));
    let mut steps = Vec::new();
    for round in holes {
        for (place, stroke) in round.strokes.iter().enumerate() {
            steps.push(step(Kind::Hole, stroke, usize::from(place == 0), steps.is_empty()));
        }
    }
    let mut outline: Vec<&Stroke> = outer.iter().flat_map(|round| &round.strokes).collect();
    outline.sort_by_key(|stroke| lateness(stroke));
    let mut stage = None;
    for stroke in outline {
        let begins = stage != Some(stroke.weak.is_some());
        stage = Some(stroke.weak.is_some());
        steps.push(step(Kind::Stroke, stroke, 0, begins));
    }
    steps
}

fn step(kind: Kind, stroke: &Stroke, stabs: usize, begins: bool) -> Step {
    let stabs = stabs + usize::from(stroke.stab);
    Step { kind, from: stroke.from, to: stroke.to, stroke: Some(*stroke), stabs, begins }
}

/// Sorts strokes: wide parts, slots, weak parts with the weakest last.
fn lateness(stroke: &Stroke) -> (bool, std::cmp::Reverse<usize>, bool) {
    (stroke.weak.is_some(), std::cmp::Reverse(stroke.weak.unwrap_or(usize::MAX)), stroke.slot)
}

/// Gives the cuts of a way across a bay: the first and the last are pulled out of the bay, the others towards the
/// maker.
fn pulls(way: &[Point]) -> Vec<[Point; 2]> {
    let count = way.len().saturating_sub(1);
    let cut = |(place, pair): (usize, &[Point])| match place {
        0 if count > 1 => [pair[1], pair[0]],
        _ if count > 1 && place + 1 == count => [pair[0], pair[1]],
        _ => forward([pair[0], pair[1]]),
    };
    way.windows(2).enumerate().map(cut).collect()
}

fn forward([from, to]: [Point; 2]) -> [Point; 2] {
    if is_pulled_back(from, to) { [to, from] } else { [from, to] }
}

#[expect(clippy::cast_possible_truncation, reason = "places on a panel are far below the limit")]
fn whole([x, y]: [f64; 2]) -> Point {
    (libm::round(x) as i64, libm::round(y) as i64)
}

#[expect(clippy::cast_possible_truncation, reason = "lengths on a panel are far below the limit")]
fn length(from: Point, to: Point) -> i64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    if dx == 0 || dy == 0 {
        dx.abs() + dy.abs()
    } else {
        libm::round(libm::hypot(dx as f64, dy as f64)) as i64
    }
}

fn place((x, y): Point) -> Place {
    Place::new(Length::from_units(x), Length::from_units(y))
}
