//! The order of painting: every coat with a box to tick, and a small map of each jar's cells.

use super::draw::Draw;
use super::figure::{Lattice, boundaries, fills};
use super::page::{Flow, HAIR, INK, Leaf, QUIET, body};
use super::paper::Paper;
use super::text::Style;
use super::words::{counted, fill, say};
use crate::colour::Rgb;
use crate::grid::{Grid, Tally};
use crate::length::{Area, Length};
use crate::paint::{Pass, Set, Turn};
use crate::panel::Hand;
use crate::plan::Plan;

/// Maps side by side and one below the other on a page.
const MAPS: (usize, usize) = (2, 3);

pub(super) fn leaves(plan: &Plan, paper: Paper) -> Vec<Leaf> {
    let mut flow = Flow::new(say("painting.title"), paper);
    flow.heading(say("painting.title"));
    flow.paragraph(say("painting.how"));
    flow.paragraph(say(match plan.making().hand {
        Hand::Right => "painting.right",
        Hand::Left => "painting.left",
    }));
    let passes = plan.passes();
    if passes.iter().any(|pass| pass.set == Set::Outline) {
        flow.paragraph(say(match plan.painting().ordering.outline {
            Turn::First => "painting.outline-first",
            Turn::Last => "painting.outline-last",
        }));
    }
    for (number, pass) in (1..).zip(&passes) {
        step(&mut flow, plan, number, pass);
    }
    flow.heading(say("painting.then"));
    for key in ["painting.clean-up", "painting.keep", "painting.varnish"] {
        let needless = key == "painting.varnish" && plan.amounts().varnish.coats == 0;
        if !needless {
            flow.ticked(say(key));
        }
    }
    flow.item("!", say("painting.care"));
    let mut leaves = flow.leaves();
    leaves.extend(maps(plan, paper));
    leaves
}

/// One coat: what, with which jars, how long to wait.
fn step(flow: &mut Flow, plan: &Plan, number: usize, pass: &Pass) {
    let jars: Vec<String> = pass.colours.iter().map(|&(colour, cells)| named(plan, colour, cells)).collect();
    let key = match pass.set {
        Set::Undercoat => "painting.undercoat",
        Set::Outline => "painting.outline",
        Set::Inside => "painting.inside",
    };
    let (least, most) = pass.wait;
    let words = fill(
        key,
        &[
            ("number", &number),
            ("coat", &pass.coat),
            ("jars", &jars.join(", ")),
            ("least", &least),
            ("most", &most),
        ],
    );
    flow.ticked(&words);
}

fn named(plan: &Plan, colour: Rgb, cells: usize) -> String {
    let tally = plan.tally().iter().find(|tally| tally.colour == colour);
    let (code, name) = tally.map_or(("·", say("mixing.ground")), |tally| (&*tally.code, &*tally.name));
    fill("painting.jar", &[("code", &code), ("name", &name), ("cells", &counted("cells", cells))])
}

/// Draws a map of each colour in the order in which its jar is opened first.
fn maps(plan: &Plan, paper: Paper) -> Vec<Leaf> {
    let mut order: Vec<Rgb> = Vec::new();
    for (colour, _) in
        plan.passes().iter().filter(|pass| pass.set != Set::Undercoat).flat_map(|pass| &pass.colours)
    {
        if !order.contains(colour) {
            order.push(*colour);
        }
    }
    let tallies: Vec<&Tally> =
        order.iter().filter_map(|colour| plan.tally().iter().find(|tally| tally.colour == *colour)).collect();
    let area = body(paper);
    let part =
        |length: Length, count: usize| Length::from_units(length.units() / i64::try_from(count).unwrap_or(1));
    let (width, height) = (part(area.width, MAPS.0), part(area.height, MAPS.1));
    let leaf = |tallies: &[&Tally]| {
        let mut leaf = Leaf::new(say("painting.maps"));
        for (place, tally) in tallies.iter().enumerate() {
            let across = i64::try_from(place % MAPS.0).unwrap_or(0);
            let down = i64::try_from(place / MAPS.0).unwrap_or(0);
            let corner = area.corner.moved(width * across, height * down);
            leaf.draws.extend(map(plan, tally, Area::new(corner, width, height).inset(Length::PT * 6)));
        }
        leaf
    };
    tallies.chunks(MAPS.0 * MAPS.1).map(leaf).collect()
}

fn map(plan: &Plan, tally: &Tally, area: Area) -> Vec<Draw> {
    let grid = plan.grid();
    let title = Length::PT * 30;
    let swatch = Area::new(area.corner, Length::PT * 30, Length::PT * 22);
    let words = area.corner.moved(Length::PT * 36, Length::PT * 9);
    let room = area.width - Length::PT * 36;
    let name = Style::TableHead.shortened(&format!("{}  {}", tally.code, tally.name), room);
    let counts = fill(
        "painting.counts",
        &[("cells", &counted("cells", tally.cells)), ("patches", &counted("patches", tally.patches))],
    );
    let mut draws = vec![
        Draw::block(swatch, tally.colour),
        Draw::frame(swatch, HAIR, QUIET),
        Draw::Text(Style::TableHead.at(words, name, INK)),
        Draw::Text(Style::Small.at(words.moved(Length::ZERO, Length::PT * 12), counts, QUIET)),
    ];
    let window = Area::new(area.corner.moved(Length::ZERO, title), area.width, area.height - title);
    let share = |length: Length, count: usize| length.units() / i64::try_from(count).unwrap_or(1);
    let side = share(window.width, grid.columns()).min(share(window.height, grid.rows()));
    let lattice = Lattice { origin: window.corner, pitch: Length::from_units(side).ratio() };
    draws.extend(fills(&alone(grid, tally.index), lattice, window, |_| INK));
    let silhouette = boundaries(plan.outline().silhouette(), lattice, window);
    draws.push(Draw::stroke(silhouette, HAIR, QUIET));
    draws
}

/// Gives a grid in which the cells of one colour alone are left.
fn alone(grid: &Grid, index: usize) -> Grid {
    let own = |cell: &Option<u8>| cell.filter(|&cell| usize::from(cell) == index);
    let cells = grid.cells().iter().map(own).collect();
    Grid::new(grid.rows(), grid.columns(), cells, grid.palette().clone()).unwrap_or_else(|_| grid.clone())
}
