//! The outline alone at true size, from the front and from the back, to be traced, rubbed through or pricked; and
//! the same outline in counted runs.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use super::colours::name;
use super::draw::{Draw, Line, Path};
use super::face::Face;
use super::figure::line_within;
use super::marks::panel_name;
use super::page::{Flow, INK, Leaf, QUIET};
use super::press::Press;
use super::tiled::Tiled;
use super::words::kept;
use crate::colour::Lab;
use crate::length::{Area, Length, Place};
use crate::outline::{Corner, Heading, Run, Walk, walk};
use crate::panel::Piece;
use crate::plan::{Plan, Transfer};

/// Under colours of this lightness and above a line of graphite shows (common practice: whites, creams, yellows,
/// light greys and pastels).
const PALE: f64 = 75.0;
/// Dots are about so far apart, and never farther than the most (common practice, 2 to 4 mm).
const APART: Length = Length::from_units(Length::MM.units() * 3);
const MOST_APART: Length = Length::from_units(Length::MM.units() * 4);
const LEAST_APART: Length = Length::from_units(Length::MM.units() * 2);
/// The side of a dot.
const DOT: Length = Length::from_units(Length::PT.units() * 2);
/// Runs in a line of the counted walk.
const IN_LINE: usize = 6;
/// Nobody counts out more runs than these.
const MOST_RUNS: usize = 2_000;

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let Some(transfer) = plan.making().transfer else { return Vec::new() };
    let mut leaves = words(press, plan, transfer);
    for piece in &plan.fit().pieces {
        for face in [Face::Front, Face::Back] {
            leaves.extend(pages(press, plan, piece, (face, transfer)));
        }
    }
    leaves
}

fn pages(press: &Press, plan: &Plan, piece: &Piece, (face, transfer): (Face, Transfer)) -> Vec<Leaf> {
    let pitch = plan.fit().pitch;
    let line = |count: usize| pitch.times(count).nearest();
    let (left, top) = (line(piece.columns.start), line(piece.rows.start));
    let width = line(piece.columns.end) - left;
    let draw = |corner: Place, window: Area| {
        let at = |at: Place| {
            let at = face.turned(at.moved(-left, -top), width);
            corner.moved(at.x, at.y)
        };
        let rings = rings(plan);
        let mut sides = Vec::new();
        for ring in &rings {
            let next = ring.iter().cycle().skip(1);
            let inside = ring.iter().zip(next).filter_map(|(&a, &b)| line_within(at(a), at(b), window));
            sides.extend(inside.map(|(a, b)| Line { places: vec![a, b], closed: false }));
        }
        let (thick, ink) = match transfer {
            Transfer::Outline => (Length::tenths_pt(14), INK),
            Transfer::Dots => (Length::tenths_pt(4), QUIET),
        };
        let mut draws = vec![Draw::stroke(Path(sides), thick, ink)];
        if transfer == Transfer::Dots {
            draws.extend(dots(&rings).into_iter().map(at).filter_map(|at| dot(at, window)));
        }
        draws
    };
    let seen = match face {
        Face::Front => "transfer.front",
        Face::Back => "transfer.back",
    };
    let tiled = Tiled {
        title: press.say("transfer.title"),
        face,
        stamp: format!("{} {}", press.say(seen), panel_name(press, plan, piece)),
        note: press.fill("template.page", &[("pitch", &kept(&press.ruler(plan).text(pitch)))]),
        first: (face == Face::Front).then_some((piece.columns.start, piece.rows.start)),
        cells: (piece.columns.len(), piece.rows.len()),
        pitch,
        draw: &draw,
    };
    tiled.leaves(press)
}

/// Gives the turning points of every contour, from the top-left corner of the grid.
fn rings(plan: &Plan) -> Vec<Vec<Place>> {
    let line = |count: usize| plan.fit().pitch.times(count).nearest();
    let place = |at: &Corner| Place::new(line(at.column), line(at.row));
    plan.outline().rings.iter().map(|ring| ring.corners.iter().map(place).collect()).collect()
}

/// Sets dots along contours, one on every corner and the rest evenly between two; where sides are too short for
/// that, evenly along the whole contour. Where two corners touch there is one dot.
fn dots(rings: &[Vec<Place>]) -> Vec<Place> {
    let mut found = BTreeSet::new();
    for ring in rings {
        let next = ring.iter().cycle().skip(1);
        let sides: Vec<(Place, Place)> = ring.iter().copied().zip(next.copied()).collect();
        let length = |&(a, b): &(Place, Place)| (b.x - a.x).abs() + (b.y - a.y).abs();
        let lengths: Vec<Length> = sides.iter().map(length).collect();
        let whole = lengths.iter().fold(Length::ZERO, |sum, &side| sum + side);
        let short = lengths.iter().any(|&side| side < LEAST_APART);
        let sections = if short { vec![whole] } else { lengths.clone() };
        let mut begin = Length::ZERO;
        for section in sections {
            let parts = parts(section);
            let along = (0..parts).map(|part| begin + Length::from_units(section.units() * part / parts));
            found.extend(along.map(|along| on(&sides, &lengths, along)).map(|at| (at.y, at.x)));
            begin += section;
        }
    }
    found.into_iter().map(|(y, x)| Place::new(x, y)).collect()
}

/// Says into how many parts dots cut a length.
fn parts(length: Length) -> i64 {
    let (units, most) = (length.units(), MOST_APART.units());
    let near = (units + APART.units() / 2) / APART.units();
    near.max((units + most - 1) / most).max(1)
}

/// Gives the place so far along a contour.
fn on(sides: &[(Place, Place)], lengths: &[Length], along: Length) -> Place {
    let mut left = along;
    for (&(from, to), &length) in sides.iter().zip(lengths) {
        if left < length {
            let step = |a: Length, b: Length| match a.cmp(&b) {
                Ordering::Less => left,
                Ordering::Greater => -left,
                Ordering::Equal => Length::ZERO,
            };
            return from.moved(step(from.x, to.x), step(from.y, to.y));
        }
        left = left - length;
    }
    sides[0].0
}

fn dot(at: Place, window: Area) -> Option<Draw> {
    let inside = window.contains(Area::new(at, Length::ZERO, Length::ZERO));
    let half = DOT.half();
    inside.then(|| Draw::block(Area::new(at.moved(-half, -half), DOT, DOT), INK))
}

/// Says how to transfer it, where graphite will not do, and how to count it out.
fn words(press: &Press, plan: &Plan, transfer: Transfer) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("transfer.title"));
    flow.heading(press.say("transfer.how"));
    let ways: &[&str] = match transfer {
        Transfer::Outline => &["transfer.rub", "transfer.graphite"],
        Transfer::Dots => &["transfer.prick", "transfer.pounce", "transfer.join"],
    };
    for key in ["transfer.which", "transfer.tape"].iter().chain(ways) {
        flow.item("·", press.say(key));
    }
    if transfer == Transfer::Dots {
        flow.item("!", press.say("transfer.safe-needle"));
    }
    let pale = pale(press, plan);
    if !pale.is_empty() {
        flow.heading(press.say("transfer.pale"));
        flow.item("!", &press.fill("transfer.pale-list", &[("colours", &pale.join(", "))]));
    }
    counted(&mut flow, plan);
    flow.leaves()
}

/// Names the colours that graphite shows under, and the one that stays raw board.
fn pale(press: &Press, plan: &Plan) -> Vec<String> {
    let shows =
        plan.tally().iter().filter(|tally| Lab::from(tally.colour).l >= PALE || plan.is_raw(tally.colour));
    shows.map(|tally| kept(&format!("{} {}", tally.code, name(press, plan, tally)))).collect()
}

fn counted(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let walks = walk(plan.outline(), None);
    flow.heading(press.say("walk.title"));
    let runs: usize = walks.iter().map(|walk| walk.runs.len()).sum();
    if runs > MOST_RUNS {
        flow.paragraph(&press.fill("walk.too-many", &[("count", &runs)]));
        return;
    }
    flow.paragraph(press.say("walk.how"));
    for (number, walk) in walks.iter().enumerate() {
        let key = if walk.hole { "walk.hole" } else { "walk.outer" };
        let Corner { row, column } = walk.start;
        flow.heading(&press.fill(key, &[("number", &(number + 1)), ("column", &column), ("row", &row)]));
        contour(flow, walk);
    }
}

fn contour(flow: &mut Flow<'_>, walk: &Walk) {
    let press = flow.press();
    let mut at = walk.start;
    for line in walk.runs.chunks(IN_LINE) {
        for run in line {
            at = run.end(at);
        }
        let said: Vec<String> = line.iter().map(|run| said(press, *run)).collect();
        let words =
            [("runs", &said.join(", ") as &dyn std::fmt::Display), ("column", &at.column), ("row", &at.row)];
        flow.ticked(&press.fill("walk.line", &words));
    }
}

fn said(press: &Press, run: Run) -> String {
    let key = match run.heading {
        Heading::East => "walk.right",
        Heading::South => "walk.down",
        Heading::West => "walk.left",
        Heading::North => "walk.up",
    };
    kept(&press.fill(key, &[("count", &run.length)]))
}
