//! The colour list: made for taking to the shop.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::table::{Column, Entry, table};

use crate::colour::Rgb;
use crate::grid::Tally;
use crate::length::{Length, System};
use crate::outline::Arc;
use crate::paint::{Manner, Part};
use crate::palette::{alike, shades};
use crate::plan::{Ending, Paints, Plan};

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("colours.title"));
    flow.heading(press.say("colours.title"));
    flow.paragraph(match plan.making().paints {
        Paints::Mixed => press.say("colours.mixed"),
        Paints::FromTheBottle => press.say("colours.bottle"),
    });
    let inch = plan.fit().ruler.system() == System::Inch;
    let columns = [
        Column::left(press.say("colours.swatch"), 54),
        Column::left(press.say("colours.code"), 40),
        Column::left(press.say("colours.name"), 108),
        Column::left(press.say("colours.hex"), 62),
        Column::right(press.say("colours.cells"), 58),
        Column::right(press.say("colours.patches"), 56),
        Column::right(if inch { press.say("colours.area-in") } else { press.say("colours.area-cm") }, 50),
        Column::left("", 8),
        Column::left(press.say("colours.dab"), 82),
    ];
    let rows: Vec<Vec<Entry>> = plan
        .tally()
        .iter()
        .map(|colour| {
            let cm2 = colour.cells as f64 * plan.cell_cm2();
            let area = if inch { cm2 / 6.4516 } else { cm2 };
            vec![
                Entry::Swatch(colour.colour),
                Entry::Strong(colour.code.clone()),
                Entry::Words(name(press, plan, colour)),
                Entry::Words(colour.colour.to_string()),
                Entry::Words(colour.cells.to_string()),
                Entry::Words(colour.patches.to_string()),
                Entry::Words(press.decimal(area, 2)),
                Entry::Words(String::new()),
                Entry::Box,
            ]
        })
        .collect();
    table(&mut flow, &columns, Length::PT * 26, &rows);
    let (cells, colours) = (plan.grid().figure_cells(), rows.len());
    let (cells, colours) = (press.counted("cells", cells), press.counted("colours", colours));
    flow.note(&press.fill("colours.total", &[("cells", &cells), ("colours", &colours)]));
    if let Some(raw) = plan.tally().iter().find(|colour| plan.is_raw(colour.colour)) {
        flow.paragraph(&press.fill("colours.raw", &[("code", &raw.code), ("name", &name(press, plan, raw))]));
    }
    ground(&mut flow, plan);
    if let Some(pairs) = alike_words(press, plan) {
        flow.paragraph(&press.fill("colours.alike", &[("pairs", &pairs)]));
    }
    flow.note(press.say("colours.screen"));
    flow.leaves()
}

/// Says what the bare cells of a whole square are painted in, or which colours are worth a try.
fn ground(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    if plan.making().ending != Ending::WholeSquare {
        return;
    }
    let bare = plan.grid().cells().len() - plan.grid().figure_cells();
    let ground = plan
        .making()
        .ground
        .map_or_else(|| press.say("colours.ground-open").to_owned(), |rgb| rgb.to_string());
    let what = if bare == 0 {
        String::new()
    } else {
        press.fill("colours.bare", &[("cells", &press.counted("cells", bare))])
    };
    flow.paragraph(&press.fill("colours.ground", &[("bare", &what), ("ground", &ground)]));
    for ground in &plan.mixes().grounds {
        let parts = parts(press, plan, &ground.parts);
        let key = match ground.manner {
            Manner::Light => "ground.light",
            Manner::Dark => "ground.dark",
            Manner::Opposite => "ground.opposite",
        };
        flow.item("•", &press.fill(key, &[("parts", &parts), ("hex", &ground.colour)]));
    }
}

/// Names a colour of the figure.
pub(super) fn name(press: &Press, plan: &Plan, tally: &Tally) -> String {
    press.language.shade(shades(plan.grid().palette().colours())[tally.index])
}

/// Gives code and name of a colour; the ground of a whole square has no code.
pub(super) fn called<'a>(press: &Press, plan: &'a Plan, colour: Rgb) -> (&'a str, String) {
    let tally = plan.tally().iter().find(|tally| tally.colour == colour);
    let ground = || ("·", press.say("mixing.ground").to_owned());
    tally.map_or_else(ground, |tally| (&*tally.code, name(press, plan, tally)))
}

/// Lists the paints of a mixture, each with its number.
pub(super) fn parts(press: &Press, plan: &Plan, parts: &[Part]) -> String {
    let part = |part: &Part| format!("{} {}", part.parts, press.paint(plan, &part.paint));
    parts.iter().map(part).collect::<Vec<_>>().join(" + ")
}

/// Gives the shade of a cell that bears a sign: it stays easy to read and takes little ink.
pub(super) fn pale(colour: Rgb) -> Rgb {
    colour.mixed(Rgb::WHITE, 0.55)
}

/// Lists the pairs of colours that look alike to some people, by their places in the tally.
fn alike_pairs(plan: &Plan) -> Vec<(usize, usize)> {
    let colours: Vec<Rgb> = plan.tally().iter().map(|tally| tally.colour).collect();
    alike(&colours).iter().map(|pair| (pair.one, pair.other)).collect()
}

/// Gives the borders between colours that look alike to some people.
pub(super) fn alike_lines(plan: &Plan) -> Vec<&Arc> {
    let label = |place: usize| u16::try_from(plan.tally()[place].index + 1).unwrap_or(0);
    let pairs: Vec<(u16, u16)> =
        alike_pairs(plan).into_iter().map(|(one, other)| (label(one), label(other))).collect();
    let parts = |arc: &&Arc| pairs.contains(&(arc.left, arc.right)) || pairs.contains(&(arc.right, arc.left));
    plan.outline().inner_lines().filter(parts).collect()
}

/// Names the pairs of colours that look alike to some people.
fn alike_words(press: &Press, plan: &Plan) -> Option<String> {
    let code = |place: usize| &plan.tally()[place].code;
    let both = |(one, other)| press.fill("colours.pair", &[("one", code(one)), ("other", code(other))]);
    let pairs: Vec<String> = alike_pairs(plan).into_iter().map(both).collect();
    if pairs.is_empty() { None } else { Some(pairs.join(", ")) }
}
