//! The buying list: paints in bottles, what is brushed on all over, panels, brushes and small things.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::table::{Column, Entry, table};

use crate::length::Length;
use crate::paint::{Brush, Layer, Need, Weighed, whitest};
use crate::plan::{Bought, Ending, Plan};

/// Cork squares are sold four to a pack (common practice).
const PACK: usize = 4;

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("buying.title"));
    flow.heading(press.say("buying.title"));
    flow.paragraph(press.say("buying.how"));
    paints(&mut flow, plan);
    layers(&mut flow, plan);
    rest(&mut flow, plan);
    basis(&mut flow, plan);
    flow.leaves()
}

fn paints(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let needs = &plan.amounts().paints;
    if needs.is_empty() {
        let ml = press.millilitres(plan.amounts().colour_ml());
        flow.paragraph(&press.fill("buying.no-paints", &[("ml", &ml)]));
        return;
    }
    if plan.mixes().typical {
        flow.paragraph(press.say("buying.typical"));
    }
    let columns = [
        Column::left(press.say("colours.swatch"), 56),
        Column::left(press.say("buying.paint"), 148),
        Column::right(press.say("buying.need"), 70),
        Column::right(press.say("buying.bottles"), 96),
        Column::left("", 10),
        Column::left(press.say("buying.have"), 72),
        Column::right(press.say("buying.cost"), 66),
    ];
    let rows: Vec<Vec<Entry>> = needs.iter().map(|need| row(press, plan, need)).collect();
    table(flow, &columns, Length::PT * 20, &rows);
    if let Some(Bought { proven, weighed }) = plan.mixes().bought {
        flow.note(press.say(match (proven, weighed) {
            (false, _) => "buying.unproven",
            (true, Weighed::Price) => "buying.cheapest",
            (true, Weighed::Bottles) => "buying.fewest",
        }));
    }
    let bought = || needs.iter().filter(|need| !need.paint.owned);
    if bought().next().is_none() {
        return;
    }
    match bought().map(Need::cost).sum::<Option<u64>>() {
        Some(cost) => {
            let currency =
                bought().find_map(|need| need.paint.price.as_ref()).map_or("", |price| &*price.currency);
            flow.paragraph(&press.fill("buying.total", &[("cost", &money(press, cost, currency))]));
        }
        None => flow.note(press.say("buying.no-price")),
    }
}

fn row(press: &Press, plan: &Plan, need: &Need) -> Vec<Entry> {
    let bottle = format!("{} {}", press.number(need.bottle_ml, 2), press.say("unit.ml"));
    let guessed = if need.paint.ml.is_some() { "" } else { "?" };
    // One bottle that is at hand is no news.
    let enough = need.paint.owned && need.bottles == 1;
    let bottles = if enough { String::new() } else { format!("{} × {bottle}{guessed}", need.bottles) };
    let currency = need.paint.price.as_ref().map_or("", |price| &*price.currency);
    let cost = need
        .cost()
        .filter(|_| !need.paint.owned)
        .map_or_else(String::new, |cost| money(press, cost, currency));
    let have = press.say(if need.paint.owned { "buying.owned" } else { "buying.buy" });
    vec![
        Entry::Swatch(need.paint.colour),
        Entry::Words(press.paint(plan, &need.paint.name)),
        Entry::Words(press.millilitres(need.poured_ml)),
        Entry::Words(bottles),
        Entry::Words(String::new()),
        if need.paint.owned { Entry::Words(have.into()) } else { Entry::Strong(have.into()) },
        Entry::Words(cost),
    ]
}

fn layers(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let amounts = plan.amounts();
    let is_counted = amounts.stock().is_some_and(|stock| whitest(&stock).is_some());
    let undercoat = if is_counted { "buying.undercoat" } else { "buying.undercoat-alone" };
    let kinds = [
        ("buying.primer", amounts.primer),
        (undercoat, amounts.undercoat),
        ("buying.varnish", amounts.varnish),
    ];
    for (key, Layer { coats, ml, .. }) in kinds.into_iter().filter(|(_, layer)| layer.coats > 0) {
        flow.item(
            "•",
            &press.fill(
                key,
                &[("ml", &press.millilitres(ml)), ("coats", &press.counted("coats", coats as usize))],
            ),
        );
    }
}

fn rest(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    flow.heading(press.say("buying.rest"));
    let fit = plan.fit();
    let panels = fit.across * fit.down;
    let ruler = press.ruler(plan);
    let size = format!("{} × {}", ruler.text(fit.panel.width()), ruler.text(fit.panel.height()));
    let packs = press.counted("packs", panels.div_ceil(PACK));
    flow.item("•", &press.fill("buying.panels", &[("count", &panels), ("size", &size), ("packs", &packs)]));
    let brush = match Brush::for_pitch(fit.pitch) {
        Brush::Finest => "buying.brush.finest",
        Brush::Fine => "buying.brush.fine",
        Brush::Small => "buying.brush.small",
        Brush::Middle => "buying.brush.middle",
        Brush::Flat => "buying.brush.flat",
        Brush::Wide => "buying.brush.wide",
    };
    flow.item("•", &press.fill("buying.brushes", &[("brush", &press.say(brush))]));
    let jars = plan.amounts().jars.len();
    flow.item("•", &press.fill("buying.jars", &[("jars", &jars)]));
    flow.item("•", press.say("buying.marking"));
    if plan.making().ending == Ending::CutOut {
        flow.item("•", press.say("buying.cutting"));
    }
    if plan.making().backing {
        flow.item("•", press.say("buying.backing"));
    }
    flow.item("!", press.say("buying.care"));
}

/// Says with which numbers the amounts were reckoned, and what is usual.
fn basis(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    // The heading stays with the head of its table.
    flow.need(Length::PT * 120);
    flow.heading(press.say("buying.basis"));
    flow.note(press.say("buying.basis-how"));
    let columns = [
        Column::left("", 300),
        Column::right(press.say("buying.basis-value"), 70),
        Column::right(press.say("buying.basis-usual"), 100),
    ];
    let settings = plan.painting().amounting.settings();
    let rows: Vec<Vec<Entry>> = settings
        .iter()
        .map(|set| {
            let usual = format!("{} – {}", press.number(set.low, 2), press.number(set.high, 2));
            vec![
                Entry::Words(press.say(&format!("amount.{}", set.name)).into()),
                Entry::Words(press.number(set.value, 2)),
                Entry::Words(usual),
            ]
        })
        .collect();
    table(flow, &columns, Length::PT * 16, &rows);
}

fn money(press: &Press, hundredths: u64, currency: &str) -> String {
    let amount = press.decimal(hundredths as f64 / 100.0, 2);
    if currency.is_empty() { amount } else { format!("{amount} {currency}") }
}
