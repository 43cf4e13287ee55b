//! The cover: what the figure will look like, the facts, the road from here to the wall.

use super::draw::Draw;
use super::figure::{Lattice, boundaries, fills};
use super::page::{Flow, HAIR, INK, Leaf, QUIET, RULE};
use super::press::Press;
use super::text::Style;

use crate::length::{Area, Length, Place, Ratio};
use crate::plan::{Ending, Plan, Warning};

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("cover.title"));
    flow.lines(Style::Title, plan.name(), Length::ZERO, INK);
    flow.skip(Length::PT * 6);
    picture(&mut flow, plan);
    facts(&mut flow, plan);
    flow.skip(Length::PT * 8);
    flow.lines(Style::Heading, press.say("cover.read"), Length::ZERO, INK);
    flow.skip(Length::PT * 4);
    for (number, stage) in plan.stages().into_iter().enumerate() {
        flow.item(
            &format!("{}.", number + 1),
            press.say(&format!("stage.{}", stage.word().replace(' ', "-"))),
        );
    }
    warnings(&mut flow, plan);
    flow.leaves()
}

fn picture(flow: &mut Flow<'_>, plan: &Plan) {
    let grid = plan.grid();
    // Warnings belong on the same page.
    let height = if plan.warnings().is_empty() { Length::inches(31, 10) } else { Length::inches(9, 5) };
    let room = Area::new(Place::new(flow.area().left(), flow.y()), flow.area().width, height);
    let across = room.width.ratio().over(grid.columns());
    let pitch: Ratio = across.min(room.height.ratio().over(grid.rows()));
    let width = pitch.times(grid.columns()).nearest();
    let lattice = Lattice { origin: room.corner.moved((room.width - width).half(), Length::ZERO), pitch };
    for draw in fills(grid, lattice, room, Some) {
        flow.draw(draw);
    }
    let path = boundaries(plan.outline().silhouette(), lattice, room);
    flow.draw(Draw::stroke(path, HAIR, QUIET));
    flow.skip(pitch.times(grid.rows()).nearest() + Length::PT * 12);
}

fn facts(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let (fit, grid) = (plan.fit(), plan.grid());
    let ruler = press.ruler(plan);
    let panels = fit.pieces.len();
    let size = format!("{} × {}", ruler.text(fit.width()), ruler.text(fit.height()));
    let board = fit.panel;
    let mut rows = vec![
        (
            "cover.cells",
            press.fill(
                "cover.cells-are",
                &[("cells", &grid.figure_cells()), ("columns", &grid.columns()), ("rows", &grid.rows())],
            ),
        ),
        ("cover.pitch", ruler.text(fit.pitch)),
        ("cover.size", size),
        (
            "cover.panels",
            format!("{panels} × ({} × {})", ruler.text(board.width()), ruler.text(board.height())),
        ),
        ("cover.colours", plan.tally().len().to_string()),
        ("cover.ruler", ruler.name()),
        ("cover.ending", ending(press, plan)),
    ];
    if let Some(thickness) = board.thickness() {
        rows.insert(4, ("cover.thickness", ruler.text(thickness)));
    }
    let label = Length::PT * 110;
    for (key, value) in rows {
        let base = flow.y() + press.set(Style::Table).size;
        let left = flow.area().left();
        flow.draw(Draw::Text(press.set(Style::Table).at(Place::new(left, base), press.say(key), QUIET)));
        flow.draw(Draw::Text(press.set(Style::TableHead).at(Place::new(left + label, base), value, INK)));
        flow.skip(press.set(Style::Table).leading() + Length::PT);
    }
    let y = flow.y() + Length::PT * 3;
    let (left, right) = (flow.area().left(), flow.area().right());
    flow.draw(Draw::line(Place::new(left, y), Place::new(right, y), HAIR, RULE));
    flow.skip(Length::PT * 4);
}

fn ending(press: &Press, plan: &Plan) -> String {
    let making = plan.making();
    let first = match making.ending {
        Ending::CutOut => press.say("ending.cut-out"),
        Ending::WholeSquare => press.say("ending.whole-square"),
    };
    let backing = if making.backing { press.say("ending.backing") } else { press.say("ending.no-backing") };
    let edges = if making.edges { press.say("ending.edges") } else { press.say("ending.no-edges") };
    format!("{first}, {backing}, {edges}")
}

/// Says what makes the figure fragile or the board doubtful.
fn warnings(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let warnings = plan.warnings();
    if warnings.is_empty() {
        return;
    }
    flow.heading(press.say("warn.title"));
    for warning in warnings {
        let words = match warning {
            Warning::CornerJoints(count) => press.tell("warn.joints", count, &[]),
            Warning::Islands(count) => press.fill("warn.islands", &[("count", &count)]),
            Warning::ThinParts(count) => press.fill("warn.thin", &[("count", &count)]),
            Warning::OutOfSquare(lean) => press.fill("warn.lean", &[("lean", &press.decimal(lean, 1))]),
        };
        flow.item("!", &words);
    }
}
