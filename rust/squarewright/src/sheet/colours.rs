//! The colour list: made for taking to the shop.

use super::page::{Flow, Leaf};
use super::paper::Paper;
use super::table::{Column, Entry, table};
use super::words::{counted, fill, say};
use crate::colour::Rgb;
use crate::length::{Length, System};
use crate::paint::Manner;
use crate::palette::alike;
use crate::plan::{Ending, Paints, Plan};

pub(super) fn leaves(plan: &Plan, paper: Paper) -> Vec<Leaf> {
    let mut flow = Flow::new(say("colours.title"), paper);
    flow.heading(say("colours.title"));
    flow.paragraph(match plan.making().paints {
        Paints::Mixed => say("colours.mixed"),
        Paints::FromTheBottle => say("colours.bottle"),
    });
    let inch = plan.fit().ruler.system() == System::Inch;
    let columns = [
        Column::left(say("colours.swatch"), 62),
        Column::left(say("colours.code"), 40),
        Column::left(say("colours.name"), 108),
        Column::left(say("colours.hex"), 62),
        Column::right(say("colours.cells"), 42),
        Column::right(say("colours.patches"), 56),
        Column::right(if inch { say("colours.area-in") } else { say("colours.area-cm") }, 50),
        Column::left("", 8),
        Column::left(say("colours.dab"), 90),
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
    flow.note(&fill("colours.total", &[("cells", &total), ("colours", &rows.len())]));
    if let Some(raw) = plan.tally().iter().find(|colour| plan.is_raw(colour.colour)) {
        flow.paragraph(&fill("colours.raw", &[("code", &raw.code), ("name", &raw.name)]));
    }
    ground(&mut flow, plan);
    if let Some(pairs) = alike_pairs(plan) {
        flow.paragraph(&fill("colours.alike", &[("pairs", &pairs)]));
    }
    flow.note(say("colours.screen"));
    flow.leaves()
}

/// Says what the bare cells of a whole square are painted in, or which colours are worth a try.
fn ground(flow: &mut Flow, plan: &Plan) {
    if plan.making().ending != Ending::WholeSquare {
        return;
    }
    let bare = plan.grid().cells().len() - plan.grid().figure_cells();
    let ground =
        plan.making().ground.map_or_else(|| say("colours.ground-open").to_owned(), |rgb| rgb.to_string());
    let what =
        if bare == 0 { String::new() } else { fill("colours.bare", &[("cells", &counted("cells", bare))]) };
    flow.paragraph(&fill("colours.ground", &[("bare", &what), ("ground", &ground)]));
    for ground in &plan.mixes().grounds {
        let parts: Vec<String> =
            ground.parts.iter().map(|part| format!("{} {}", part.parts, part.paint)).collect();
        let key = match ground.manner {
            Manner::Light => "ground.light",
            Manner::Dark => "ground.dark",
            Manner::Opposite => "ground.opposite",
        };
        flow.item("•", &fill(key, &[("parts", &parts.join(" + ")), ("hex", &ground.colour)]));
    }
}

/// Gives code and name of a colour; the ground of a whole square has no code.
pub(super) fn called(plan: &Plan, colour: Rgb) -> (&str, &str) {
    let tally = plan.tally().iter().find(|tally| tally.colour == colour);
    tally.map_or(("·", say("mixing.ground")), |tally| (&*tally.code, &*tally.name))
}

/// Names the pairs of colours that look alike to some people.
fn alike_pairs(plan: &Plan) -> Option<String> {
    let colours: Vec<Rgb> = plan.tally().iter().map(|tally| tally.colour).collect();
    let code = |place: usize| &plan.tally()[place].code;
    let pairs: Vec<String> =
        alike(&colours).iter().map(|pair| format!("{} and {}", code(pair.one), code(pair.other))).collect();
    if pairs.is_empty() { None } else { Some(pairs.join(", ")) }
}
