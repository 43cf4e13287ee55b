//! One buying list for the whole wall.

use super::Book;
use crate::length::Length;
use crate::paint::Brush;
use crate::plan::Stage;
use crate::sheet::buying::{brush, money};
use crate::sheet::hanging::grams;
use crate::sheet::page::{Flow, Leaf};
use crate::sheet::table::{Column, Entry, table};
use crate::sheet::words::kept;
use crate::wall::{Bottle, Cards, Fixings, Panels};

pub(super) fn leaves(book: Book<'_>) -> Vec<Leaf> {
    let press = book.press;
    let mut flow = Flow::new(press, press.say("buying.title"));
    flow.heading(press.say("buying.title"));
    flow.paragraph(press.say("wall-buy.how"));
    paints(&mut flow, book);
    rest(&mut flow, book);
    let cost = book.wall.buying().money();
    if cost.hundredths > 0 {
        let total = money(press, cost.hundredths, &cost.currency);
        flow.paragraph(&press.fill("wall-buy.total", &[("cost", &total)]));
    }
    if cost.unpriced > 0 {
        flow.note(&press.tell("wall-buy.unpriced", cost.unpriced, &[]));
    }
    flow.item("!", press.say("buying.care"));
    flow.leaves()
}

fn paints(flow: &mut Flow<'_>, book: Book<'_>) {
    let press = book.press;
    let bottles = &book.wall.buying().paints;
    if bottles.is_empty() {
        let ml = press.millilitres(book.wall.amounts().colour_ml());
        flow.paragraph(&press.fill("buying.no-paints", &[("ml", &ml)]));
        return;
    }
    if book.plan.mixes().typical {
        flow.paragraph(press.say("buying.typical"));
    }
    let columns = [
        Column::left(press.say("colours.swatch"), 50),
        Column::left(press.say("buying.paint"), 140),
        Column::right(press.say("buying.need"), 70),
        Column::right(press.say("wall-buy.at-hand"), 80),
        Column::right(press.say("buying.buy"), 110),
        Column::right(press.say("buying.cost"), 76),
    ];
    // Of a wall that was begun some paints are on it already.
    let wanted = bottles.iter().filter(|bottle| bottle.need.poured_ml > 0.0);
    let rows: Vec<Vec<Entry>> = wanted.map(|bottle| row(book, bottle)).collect();
    if !rows.is_empty() {
        table(flow, &columns, Length::PT * 20, &rows);
    }
}

fn row(book: Book<'_>, bottle: &Bottle) -> Vec<Entry> {
    let (press, need) = (book.press, &bottle.need);
    let size = format!("{} {}", press.number(need.bottle_ml, 2), press.say("unit.ml"));
    let guessed = if need.paint.ml.is_some() { "" } else { "?" };
    let buy = match bottle.to_buy {
        0 => Entry::Words(String::new()),
        count => Entry::Strong(format!("{count} × {}{guessed}", kept(&size))),
    };
    let currency = need.paint.price.as_ref().map_or("", |price| &*price.currency);
    let cost = bottle.cost().filter(|&cost| cost > 0);
    let at_hand = if bottle.at_hand_ml > 0.0 { press.millilitres(bottle.at_hand_ml) } else { String::new() };
    vec![
        Entry::Swatch(need.paint.colour),
        Entry::Words(press.paint(book.plan, &need.paint.name)),
        Entry::Words(press.millilitres(need.poured_ml)),
        Entry::Words(at_hand),
        buy,
        Entry::Words(cost.map_or_else(String::new, |cost| money(press, cost, currency))),
    ]
}

/// A thing to buy besides paints: what it is, how much of it, and what it costs when that is known.
type Thing = (&'static str, String, Option<String>);

fn rest(flow: &mut Flow<'_>, book: Book<'_>) {
    let press = book.press;
    flow.heading(press.say("buying.rest"));
    let columns = [
        Column::left("", 18),
        Column::left(press.say("buying.what"), 90),
        Column::left(press.say("buying.amount"), 340),
        Column::right(press.say("buying.cost"), 76),
    ];
    let things = [panels(book), poured(book), materials(book), mounting(book)].concat();
    let row = |(what, amount, cost): &Thing| {
        let cost = cost.clone().unwrap_or_default();
        vec![
            Entry::Tick,
            Entry::Strong(press.say(what).to_owned()),
            Entry::Words(amount.clone()),
            Entry::Words(cost),
        ]
    };
    table(flow, &columns, Length::PT * 18, &things.iter().map(row).collect::<Vec<_>>());
}

/// The panels; none when all are in use.
fn panels(book: Book<'_>) -> Vec<Thing> {
    let (press, ruler, board) = (book.press, book.ruler(), book.wall.panel());
    let Panels { needed, owned, packs, spare, pack } = &book.wall.buying().panels;
    if *needed == 0 {
        return Vec::new();
    }
    let size = kept(&format!("{} × {}", ruler.text(board.width()), ruler.text(board.height())));
    let packed = press.tell("wall-buy.packs", *packs, &[("each", &pack.panels)]);
    let amount = press.fill(
        "wall-buy.panels",
        &[("needed", needed), ("size", &size), ("owned", owned), ("packs", &packed), ("spare", spare)],
    );
    let cost = book.wall.buying().panels.cost().filter(|&cost| cost > 0);
    vec![("buying.boards", amount, cost.map(|cost| money(press, cost, &pack.currency)))]
}

/// What is brushed on all over, and the glue.
fn poured(book: Book<'_>) -> Vec<Thing> {
    let (press, buying) = (book.press, book.wall.buying());
    let kinds = [
        ("buying.primer", buying.primer_ml),
        ("buying.undercoat", buying.undercoat_ml),
        ("buying.varnish", buying.varnish_ml),
        ("buying.glue", buying.glue_ml),
    ];
    let kinds = kinds.into_iter().filter(|&(_, ml)| ml > 0.0);
    kinds
        .map(|(what, ml)| (what, press.fill("wall-buy.ml", &[("ml", &press.millilitres(ml))]), None))
        .collect()
}

/// What is used up or worn, as far as any step that is left takes it.
fn materials(book: Book<'_>) -> Vec<Thing> {
    let (press, buying, left) = (book.press, book.wall.buying(), book.wall.remaining());
    let is_left = |stages: &[Stage]| left.iter().any(|each| stages.contains(&each.step.what.stage()));
    let brushes: Vec<&str> = buying.brushes.iter().map(|&kind: &Brush| press.say(brush(kind))).collect();
    let edges = press.counted("edges", buying.edges.max(1));
    let things = [
        (
            !brushes.is_empty(),
            "buying.brushes",
            press.fill("buying.brushes-are", &[("brush", &brushes.join("; "))]),
        ),
        (buying.jars > 0, "buying.jars", press.fill("buying.jars-are", &[("jars", &buying.jars)])),
        (is_left(&[Stage::Mark, Stage::Trace]), "buying.marking", press.say("buying.marking-is").to_owned()),
        (
            is_left(&[Stage::Cut, Stage::Back, Stage::Frame]),
            "buying.cutting",
            press.fill("buying.cutting-is", &[("edges", &edges)]),
        ),
    ];
    things.into_iter().filter(|thing| thing.0).map(|(_, what, amount)| (what, amount, None)).collect()
}

fn mounting(book: Book<'_>) -> Vec<Thing> {
    let (press, ruler, buying) = (book.press, book.ruler(), book.wall.buying());
    let card = |cards: &Cards| {
        let sheet = kept(&format!("{} × {}", ruler.text(cards.sheet.0), ruler.text(cards.sheet.1)));
        let words = press.fill("buying.card-is", &[("count", &cards.sheets), ("sheet", &sheet)]);
        ("buying.card", words, None)
    };
    let fixing = |fixings: &Fixings| {
        let each = grams(press, book.plan, fixings.grams);
        let words = press.fill("buying.fixings-are", &[("count", &fixings.count), ("each", &each)]);
        ("buying.fixings", words, None)
    };
    buying.cards.iter().map(card).chain(buying.fixings.iter().map(fixing)).collect()
}
