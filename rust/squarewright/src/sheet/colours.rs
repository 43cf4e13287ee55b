//! The colour list: made for taking to the shop.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::table::{Column, Entry, table};

use crate::colour::Rgb;
use crate::length::{Length, System};
use crate::paint::Manner;
use crate::palette::alike;
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
        Column::left(press.say("colours.swatch"), 62),
        Column::left(press.say("colours.code"), 40),
        Column::left(press.say("colours.name"), 108),
        Column::left(press.say("colours.hex"), 62),
        Column::right(press.say("colours.cells"), 42),
        Column::right(press.say("colours.patches"), 56),
        Column::right(if inch { press.say("colours.area-in") } else { press.say("colours.area-cm") }, 50),
        Column::left("", 8),
        Column::left(press.say("colours.dab"), 90),
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
                Entry::Words(colour.name.clone()),
                Entry::Words(colour.colour.to_string()),
                Entry::Words(colour.cells.to_string()),
                Entry::Words(colour.patches.to_string()),
                Entry::Words(format!("{area:.2}")),
                Entry::Words(String::new()),
                Entry::Box,
            ]
        })
        .collect();
    table(&mut flow, &columns, Length::PT * 26, &rows);
    let total = plan.grid().figure_cells();
    flow.note(&press.fill("colours.total", &[("cells", &total), ("colours", &rows.len())]));
    if let Some(raw) = plan.tally().iter().find(|colour| plan.is_raw(colour.colour)) {
        flow.paragraph(&press.fill("colours.raw", &[("code", &raw.code), ("name", &raw.name)]));
    }
    ground(&mut flow, plan);
    if let Some(pairs) = alike_pairs(plan) {
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
        let parts: Vec<String> =
            ground.parts.iter().map(|part| format!("{} {}", part.parts, part.paint)).collect();
        let key = match ground.manner {
            Manner::Light => "ground.light",
            Manner::Dark => "ground.dark",
            Manner::Opposite => "ground.opposite",
        };
        flow.item("•", &press.fill(key, &[("parts", &parts.join(" + ")), ("hex", &ground.colour)]));
    }
}

/// Gives code and name of a colour; the ground of a whole square has no code.
pub(super) fn called<'a>(press: &Press, plan: &'a Plan, colour: Rgb) -> (&'a str, &'a str) {
    let tally = plan.tally().iter().find(|tally| tally.colour == colour);
    tally.map_or(("·", press.say("mixing.ground")), |tally| (&*tally.code, &*tally.name))
}

/// Names the pairs of colours that look alike to some people.
fn alike_pairs(plan: &Plan) -> Option<String> {
    let colours: Vec<Rgb> = plan.tally().iter().map(|tally| tally.colour).collect();
    let code = |place: usize| &plan.tally()[place].code;
    let pairs: Vec<String> =
        alike(&colours).iter().map(|pair| format!("{} and {}", code(pair.one), code(pair.other))).collect();
    if pairs.is_empty() { None } else { Some(pairs.join(", ")) }
}
