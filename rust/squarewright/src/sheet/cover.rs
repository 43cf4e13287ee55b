//! The cover: what the figure will look like, the facts, the road from here to the wall.

use super::caution::cautions;
use super::draw::Draw;
use super::figure;
use super::page::{Flow, HAIR, INK, Leaf, QUIET, RULE};
use super::palm;
use super::press::Press;
use super::seams;
use super::steps::span;
use super::text::Style;
use super::told::Told;
use crate::length::{Area, Length, Place, Ratio};
use crate::plan::{Ending, Plan};

/// Between the figure and the hand, on the wall.
const BESIDE: Length = Length::inches(1, 1);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("cover.title"));
    flow.lines(Style::Title, plan.name(), Length::ZERO, INK);
    flow.skip(Length::PT * 6);
    picture(&mut flow, plan);
    fact_lines(&mut flow, plan);
    if let Some(words) = seams::all(press, plan.fit()) {
        flow.skip(Length::PT * 4);
        flow.paragraph(&words);
    }
    flow.skip(Length::PT * 8);
    flow.tell(Told::Heading(press.say("cover.read").to_owned()));
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

/// Draws the figure, and a hand of the same scale beside it.
fn picture(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let fit = plan.fit();
    // Warnings and seams belong on the same page.
    let height = match (plan.warnings().is_empty(), fit.pieces.len()) {
        (true, 1) => Length::inches(31, 10),
        (true, _) => Length::inches(13, 5),
        (false, _) => Length::inches(9, 5),
    };
    let room = Area::new(Place::new(flow.area().left(), flow.y()), flow.area().width, height);
    let (wide, high) = (fit.width().nearest(), fit.height().nearest());
    let (all_wide, all_high) = (wide + palm::WIDE + BESIDE, high.max(palm::LONG));
    // What stands side by side is shrunk or enlarged until it fills the room one way.
    let scaled = |length: Length| {
        let by = |room: Length, all: Length| {
            Ratio::new(i128::from(length.units()) * i128::from(room.units()), all.units().into())
        };
        by(room.width, all_wide).min(by(room.height, all_high)).nearest()
    };
    let foot = room.top() + scaled(all_high);
    let left = room.left() + (room.width - scaled(all_wide)).half();
    let corner = Place::new(left, foot - scaled(high));
    flow.draws(figure::picture(plan, Area::new(corner, scaled(wide), scaled(high))).0);
    let wrist = Place::new(left + scaled(wide + BESIDE), foot);
    flow.draw(Draw::stroke(palm::palm(wrist, scaled(palm::LONG)), HAIR, QUIET));
    let small = press.set(Style::Small);
    let words = Place::new(wrist.x, foot + small.leading());
    flow.draw(Draw::Text(small.at(words, press.say("cover.hand"), QUIET)));
    flow.skip(foot - room.top() + small.leading() + Length::PT * 8);
}

fn fact_lines(flow: &mut Flow<'_>, plan: &Plan) {
    set_facts(flow, facts(flow.press(), plan));
}

/// Sets keys and values, each on its line, and a rule below them.
pub(super) fn set_facts(flow: &mut Flow<'_>, rows: Vec<(&'static str, String)>) {
    let press = flow.press();
    let told = rows.iter().map(|(key, value)| (press.say(key).to_owned(), value.clone()));
    flow.tell(Told::Facts(told.collect()));
    let label = press.set(Style::Table).size * 11;
    let (plain, strong, left) = (press.set(Style::Table), press.set(Style::TableHead), flow.area().left());
    for (key, value) in rows {
        let base = flow.y() + plain.size;
        flow.draw(Draw::Text(plain.at(Place::new(left, base), press.say(key), QUIET)));
        for line in strong.wrap(&value, flow.area().width - label) {
            let base = flow.y() + plain.size;
            flow.draw(Draw::Text(strong.at(Place::new(left + label, base), line, INK)));
            flow.skip(plain.leading());
        }
        flow.skip(Length::PT);
    }
    let y = flow.y() + Length::PT * 3;
    let (left, right) = (flow.area().left(), flow.area().right());
    flow.draw(Draw::line(Place::new(left, y), Place::new(right, y), HAIR, RULE));
    flow.skip(Length::PT * 4);
}

/// Lists what there is to know at a glance: keys and values.
pub(super) fn facts(press: &Press, plan: &Plan) -> Vec<(&'static str, String)> {
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
        ("cover.hours", hours(press, plan)),
    ];
    if let Some(thickness) = board.thickness() {
        rows.insert(4, ("cover.thickness", ruler.text(thickness)));
    }
    rows
}

fn hours(press: &Press, plan: &Plan) -> String {
    let total = plan.hours().total();
    press.fill("cover.hours-are", &[("work", &span(press, total.work)), ("wait", &span(press, total.wait))])
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
    let warnings = cautions(press, plan);
    if warnings.is_empty() {
        return;
    }
    flow.heading(press.say("warn.title"));
    for words in warnings {
        flow.item("!", &words);
    }
}
