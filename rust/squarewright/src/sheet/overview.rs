//! The whole figure in symbols, for cells too small for a code: on one page where that can be read.

use super::chart::{Layout, Signs, below_head, coded, legend};
use super::colours::name;
use super::page::{Flow, Leaf, QUIET};
use super::press::Press;
use super::symbol::{Symbol, symbols};
use super::table::{Column, Entry, stacks};
use super::text::Style;
use crate::grid::Tally;
use crate::length::{Area, Length, Place};
use crate::plan::Plan;

/// The height of a row of the key, and the rows side by side.
const ROW: Length = Length::from_units(Length::PT.units() * 15);
const SIDE_BY_SIDE: usize = 2;

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    // Where one page shows every code, symbols would only say the same again.
    if coded(press, plan).pages() == 1 {
        return Vec::new();
    }
    let title = press.say("overview.title");
    let mut flow = Flow::new(press, title);
    flow.paragraph(press.say("overview.how"));
    if symbols(plan).any(|(symbol, _)| symbol.is_reversed()) {
        flow.paragraph(press.say("overview.cut"));
    }
    let legend = legend(press, plan, Signs::Symbols);
    let style = press.set(Style::Table);
    let lines = style.wrap(&legend, flow.area().width).len();
    let head = style.leading() * i64::try_from(lines).unwrap_or(1);
    let keys = ROW * i64::try_from(plan.tally().len().div_ceil(SIDE_BY_SIDE)).unwrap_or(1);
    let key = press.set(Style::TableHead).leading() + Length::PT * 12 + keys;
    let corner = Place::new(flow.area().left(), flow.y() + head);
    let room = Area::new(corner, flow.area().width, flow.left_over() - head - key);
    let whole = Layout::new(plan, room, Signs::Symbols);
    if whole.pages() == 1 {
        flow.lines(Style::Table, &legend, Length::ZERO, QUIET);
        for draw in whole.charts().flat_map(|chart| chart.draws()) {
            flow.draw(draw);
        }
        flow.skip(whole.height());
        set_key(&mut flow, plan);
        return flow.leaves();
    }
    set_key(&mut flow, plan);
    let mut leaves = flow.leaves();
    let layout = Layout::new(plan, below_head(press, plan, Signs::Symbols), Signs::Symbols);
    leaves.extend(layout.leaves(press, ("overview.title", "overview.part")));
    leaves
}

fn set_key(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let columns = [
        Column::left("", 20),
        Column::left(press.say("overview.symbol"), 86),
        Column::left(press.say("colours.code"), 32),
        Column::left(press.say("colours.name"), 91),
        Column::right(press.say("colours.cells"), 32),
    ];
    let row = |(symbol, tally): (Symbol, &Tally)| {
        vec![
            Entry::Sign(symbol, tally.colour),
            Entry::Words(symbol.name(press)),
            Entry::Strong(tally.code.clone()),
            Entry::Words(name(press, plan, tally)),
            Entry::Words(tally.cells.to_string()),
        ]
    };
    let rows: Vec<Vec<Entry>> = symbols(plan).map(row).collect();
    stacks(flow, &columns, ROW, &rows);
}
