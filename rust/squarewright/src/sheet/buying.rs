//! The buying list: paints in bottles, what is brushed on all over, panels, brushes and small things.

use super::hanging::grams;
use super::page::{Flow, Leaf};
use super::press::Press;
use super::table::{Column, Entry, table};

use super::words::kept;
use crate::length::Length;
use crate::paint::{Brush, Layer, Need, Weighed, whitest};
use crate::plan::{Bought, Plan};

/// Cork squares are sold four to a pack (common practice).
const PACK: usize = 4;

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("buying.title"));
    flow.heading(press.say("buying.title"));
    flow.paragraph(press.say("buying.how"));
    paints(&mut flow, plan);
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

/// A thing to buy besides paints: the key of its name, and how much of it in words.
type Thing = (&'static str, String);

/// Lists all that is no paint, each with a box to tick and room for its price.
fn rest(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    flow.need(Length::PT * 120);
    flow.heading(press.say("buying.rest"));
    flow.note(press.say("buying.tick"));
    let columns = [
        Column::left("", 18),
        Column::left(press.say("buying.what"), 76),
        Column::left(press.say("buying.amount"), 354),
        Column::right(press.say("buying.cost"), 76),
    ];
    let things = layers(press, plan).into_iter().chain(materials(press, plan)).chain(mounting(press, plan));
    let rows: Vec<Vec<Entry>> = things
        .map(|(what, amount)| {
            let what = Entry::Strong(press.say(what).to_owned());
            vec![Entry::Tick, what, Entry::Words(amount), Entry::Words(String::new())]
        })
        .collect();
    table(flow, &columns, Length::PT * 18, &rows);
    flow.item("!", press.say("buying.care"));
}

fn layers(press: &Press, plan: &Plan) -> Vec<Thing> {
    let amounts = plan.amounts();
    let is_counted = amounts.stock().is_some_and(|stock| whitest(&stock).is_some());
    let undercoat = if is_counted { "buying.undercoat-is" } else { "buying.undercoat-alone-is" };
    let kinds = [
        ("buying.primer", "buying.primer-is", amounts.primer),
        ("buying.undercoat", undercoat, amounts.undercoat),
        ("buying.varnish", "buying.varnish-is", amounts.varnish),
    ];
    let kinds = kinds.into_iter().filter(|(.., layer)| layer.coats > 0);
    let said = kinds.map(|(what, amount, Layer { coats, ml, .. })| {
        let coats = press.counted("coats", coats as usize);
        (what, press.fill(amount, &[("ml", &press.millilitres(ml)), ("coats", &coats)]))
    });
    said.collect()
}

fn materials(press: &Press, plan: &Plan) -> Vec<Thing> {
    let fit = plan.fit();
    let panels = fit.across * fit.down;
    let ruler = press.ruler(plan);
    let size = format!("{} × {}", ruler.text(fit.panel.width()), ruler.text(fit.panel.height()));
    let packs = press.counted("packs", panels.div_ceil(PACK));
    let brush = brush(Brush::for_pitch(fit.pitch));
    let boards = [("count", &panels as &dyn std::fmt::Display), ("size", &kept(&size)), ("packs", &packs)];
    let jars = plan.amounts().jars.len();
    let mut things = vec![
        ("buying.boards", press.fill("buying.boards-are", &boards)),
        ("buying.brushes", press.fill("buying.brushes-are", &[("brush", &press.say(brush))])),
        ("buying.jars", press.fill("buying.jars-are", &[("jars", &jars)])),
        ("buying.marking", press.say("buying.marking-is").to_owned()),
    ];
    things.extend(plan.cuts().map(|cuts| {
        let edges: usize = cuts.panels.iter().map(|panel| panel.totals.fresh_edges).sum();
        let edges = press.counted("edges", edges.max(1));
        ("buying.cutting", press.fill("buying.cutting-is", &[("edges", &edges)]))
    }));
    things
}

/// Gives the key of the words for a brush.
pub(super) fn brush(brush: Brush) -> &'static str {
    match brush {
        Brush::Finest => "buying.brush.finest",
        Brush::Fine => "buying.brush.fine",
        Brush::Small => "buying.brush.small",
        Brush::Middle => "buying.brush.middle",
        Brush::Flat => "buying.brush.flat",
        Brush::Wide => "buying.brush.wide",
    }
}

fn mounting(press: &Press, plan: &Plan) -> Vec<Thing> {
    let ruler = press.ruler(plan);
    let mut things = Vec::new();
    if let Some(backing) = plan.backing() {
        let (width, height) = backing.card.sheet;
        let sheet = kept(&format!("{} × {}", ruler.text(width), ruler.text(height)));
        let card = press.fill("buying.card-is", &[("count", &backing.sheets), ("sheet", &sheet)]);
        let ml = press.millilitres(backing.glue_ml().high);
        things.push(("buying.card", card));
        things.push(("buying.glue", press.fill("buying.glue-is", &[("ml", &ml)])));
    }
    let each = grams(press, plan, plan.mounting().fixing);
    let fixings = press.fill("buying.fixings-are", &[("count", &plan.hanging().fixings), ("each", &each)]);
    things.push(("buying.fixings", fixings));
    things
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

/// Writes an amount of money.
pub(super) fn money(press: &Press, hundredths: u64, currency: &str) -> String {
    let amount = press.decimal(hundredths as f64 / 100.0, 2);
    if currency.is_empty() { amount } else { kept(&format!("{amount} {currency}")) }
}
