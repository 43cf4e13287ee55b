//! The swatch page: a dab of every mix, wet and dry, and the test that tells how strong the white is.

use super::colours::called;
use super::page::{Flow, Leaf};
use super::press::Press;
use super::table::{Column, Entry, table};

use crate::length::Length;
use crate::plan::Plan;

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    if plan.mixes().recipes.is_empty() {
        return Vec::new();
    }
    let mut flow = Flow::new(press, press.say("swatch.title"));
    flow.heading(press.say("swatch.title"));
    flow.paragraph(press.say("swatch.how"));
    let columns = [
        Column::left(press.say("colours.swatch"), 62),
        Column::left(press.say("colours.code"), 40),
        Column::left(press.say("colours.name"), 130),
        Column::left(press.say("swatch.wet"), 110),
        Column::left(press.say("swatch.dry"), 110),
        Column::left(press.say("swatch.ok"), 44),
    ];
    let rows: Vec<Vec<Entry>> = plan
        .mixes()
        .recipes
        .iter()
        .map(|recipe| {
            let (code, name) = called(press, plan, recipe.target);
            vec![
                Entry::Swatch(recipe.target),
                Entry::Strong(code.into()),
                Entry::Words(name),
                Entry::Box,
                Entry::Box,
                Entry::Box,
            ]
        })
        .collect();
    table(&mut flow, &columns, Length::PT * 40, &rows);
    strength(&mut flow);
    flow.leaves()
}

/// The one test that is worth most: white enters most mixes, and whites differ.
fn strength(flow: &mut Flow<'_>) {
    let press = flow.press();
    flow.need(Length::PT * 190);
    flow.heading(press.say("strength.title"));
    flow.paragraph(press.say("strength.how"));
    let columns = [
        Column::left(press.say("strength.mix"), 160),
        Column::left(press.say("swatch.wet"), 110),
        Column::left(press.say("swatch.dry"), 110),
        Column::left(press.say("strength.read"), 110),
    ];
    let row = |key: &str| vec![Entry::Words(press.say(key).into()), Entry::Box, Entry::Box, Entry::Box];
    table(flow, &columns, Length::PT * 40, &[row("strength.white"), row("strength.grey")]);
    flow.note(press.say("strength.then"));
}
