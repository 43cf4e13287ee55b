//! The swatch page: a dab of every mix, wet and dry, and the test that tells how strong the white is.

use super::colours::called;
use super::page::{Flow, Leaf};
use super::paper::Paper;
use super::table::{Column, Entry, table};
use super::words::say;
use crate::length::Length;
use crate::plan::Plan;

pub(super) fn leaves(plan: &Plan, paper: Paper) -> Vec<Leaf> {
    if plan.mixes().recipes.is_empty() {
        return Vec::new();
    }
    let mut flow = Flow::new(say("swatch.title"), paper);
    flow.heading(say("swatch.title"));
    flow.paragraph(say("swatch.how"));
    let columns = [
        Column::left(say("colours.swatch"), 62),
        Column::left(say("colours.code"), 40),
        Column::left(say("colours.name"), 130),
        Column::left(say("swatch.wet"), 110),
        Column::left(say("swatch.dry"), 110),
        Column::left(say("swatch.ok"), 44),
    ];
    let rows: Vec<Vec<Entry>> = plan
        .mixes()
        .recipes
        .iter()
        .map(|recipe| {
            let (code, name) = called(plan, recipe.target);
            vec![
                Entry::Swatch(recipe.target),
                Entry::Strong(code.into()),
                Entry::Words(name.into()),
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
fn strength(flow: &mut Flow) {
    flow.need(Length::PT * 190);
    flow.heading(say("strength.title"));
    flow.paragraph(say("strength.how"));
    let columns = [
        Column::left(say("strength.mix"), 160),
        Column::left(say("swatch.wet"), 110),
        Column::left(say("swatch.dry"), 110),
        Column::left(say("strength.read"), 110),
    ];
    let row = |key: &str| vec![Entry::Words(say(key).into()), Entry::Box, Entry::Box, Entry::Box];
    table(flow, &columns, Length::PT * 40, &[row("strength.white"), row("strength.grey")]);
    flow.note(say("strength.then"));
}
