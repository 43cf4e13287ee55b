//! The order of painting: every coat with a box to tick, and a small map of each jar's cells.

use super::colours::{called, name};
use super::draw::Draw;
use super::figure::{Lattice, boundaries, fills};
use super::page::{Flow, HAIR, INK, Leaf, QUIET, body, share};
use super::press::Press;
use super::text::Style;

use crate::colour::Rgb;
use crate::grid::Tally;
use crate::length::{Area, Length};
use crate::paint::{Pass, Set, Turn};
use crate::panel::Hand;
use crate::plan::Plan;

/// Maps side by side and one below the other on a page.
const MAPS: (usize, usize) = (2, 3);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("painting.title"));
    flow.heading(press.say("painting.title"));
    flow.paragraph(press.say("painting.how"));
    flow.paragraph(press.say(match plan.making().hand {
        Hand::Right => "painting.right",
        Hand::Left => "painting.left",
    }));
    let passes = plan.passes();
    if passes.iter().any(|pass| pass.set == Set::Outline) {
        flow.paragraph(press.say(match plan.painting().ordering.outline {
            Turn::First => "painting.outline-first",
            Turn::Last => "painting.outline-last",
        }));
    }
    for (number, pass) in (1..).zip(&passes) {
        step(&mut flow, plan, number, pass);
    }
    flow.heading(press.say("painting.then"));
    for key in ["painting.clean-up", "painting.keep", "painting.varnish"] {
        let needless = key == "painting.varnish" && plan.amounts().varnish.coats == 0;
        if !needless {
            flow.ticked(press.say(key));
        }
    }
    flow.item("!", press.say("painting.care"));
    let mut leaves = flow.leaves();
    leaves.extend(maps(press, plan));
    leaves
}

/// One coat: what, with which jars, how long to wait.
fn step(flow: &mut Flow<'_>, plan: &Plan, number: usize, pass: &Pass) {
    let press = flow.press();
    let jars: Vec<String> =
        pass.colours.iter().map(|&(colour, cells)| named(press, plan, colour, cells)).collect();
    let key = match pass.set {
        Set::Undercoat => "painting.undercoat",
        Set::Outline => "painting.outline",
        Set::Inside => "painting.inside",
    };
    let (least, most) = pass.wait;
    let words = press.fill(
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

fn named(press: &Press, plan: &Plan, colour: Rgb, cells: usize) -> String {
    let (code, name) = called(press, plan, colour);
    press.fill("painting.jar", &[("code", &code), ("name", &name), ("cells", &press.counted("cells", cells))])
}

/// What one map shows: the cells of some colours, all other cells left open.
struct Map {
    title: String,
    note: String,
    swatch: Rgb,
    colours: Vec<Rgb>,
}

/// Draws a map of the white undercoat, then of each colour in the order in which its jar is opened first.
fn maps(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let passes = plan.passes();
    let mut order: Vec<Rgb> = Vec::new();
    for &(colour, _) in passes.iter().filter(|pass| pass.set != Set::Undercoat).flat_map(|pass| &pass.colours)
    {
        if !order.contains(&colour) {
            order.push(colour);
        }
    }
    let under = passes.iter().find(|pass| pass.set == Set::Undercoat).map(|pass| Map {
        title: press.say("painting.map-undercoat").to_owned(),
        note: press.counted("cells", pass.cells()),
        swatch: Rgb::WHITE,
        colours: pass.colours.iter().map(|&(colour, _)| colour).collect(),
    });
    let tallies = order.iter().filter_map(|colour| plan.tally().iter().find(|tally| tally.colour == *colour));
    let maps: Vec<Map> = under.into_iter().chain(tallies.map(|tally| Map::of(press, plan, tally))).collect();
    let leaf = |maps: &[Map]| {
        let mut leaf = Leaf::new(press.say("painting.maps"));
        for (place, map) in maps.iter().enumerate() {
            let area = share(body(press), MAPS, place).inset(Length::PT * 6);
            leaf.draws.extend(map.draws(plan, area));
        }
        leaf
    };
    maps.chunks(MAPS.0 * MAPS.1).map(leaf).collect()
}

impl Map {
    fn of(press: &Press, plan: &Plan, tally: &Tally) -> Self {
        let (cells, patches) = (press.counted("cells", tally.cells), press.counted("patches", tally.patches));
        Self {
            title: format!("{}  {}", tally.code, name(press, plan, tally)),
            note: press.fill("painting.counts", &[("cells", &cells), ("patches", &patches)]),
            swatch: tally.colour,
            colours: vec![tally.colour],
        }
    }

    fn draws(&self, plan: &Plan, area: Area) -> Vec<Draw> {
        let grid = plan.grid();
        let title = Length::PT * 30;
        let swatch = Area::new(area.corner, Length::PT * 30, Length::PT * 22);
        let words = area.corner.moved(Length::PT * 36, Length::PT * 9);
        let note = words.moved(Length::ZERO, Length::PT * 12);
        let mut draws = vec![
            Draw::block(swatch, self.swatch),
            Draw::frame(swatch, HAIR, QUIET),
            Draw::Text(Style::TableHead.at_size(false).at(words, &*self.title, INK)),
            Draw::Text(Style::Table.at_size(false).at(note, &*self.note, QUIET)),
        ];
        let window = Area::new(area.corner.moved(Length::ZERO, title), area.width, area.height - title);
        let side = |length: Length, count: usize| length.units() / i64::try_from(count).unwrap_or(1);
        let side = side(window.width, grid.columns()).min(side(window.height, grid.rows()));
        let lattice = Lattice { origin: window.corner, pitch: Length::from_units(side).ratio() };
        draws.extend(fills(grid, lattice, window, |colour| self.colours.contains(&colour).then_some(INK)));
        let silhouette = boundaries(plan.outline().silhouette(), lattice, window);
        draws.push(Draw::stroke(silhouette, HAIR, QUIET));
        draws
    }
}
