//! Tables for a spreadsheet.

use crate::cut::Ends;
use crate::length::{Length, Ratio};
use crate::paint::reads_as_formula;
use crate::plan::Plan;
use crate::wall::{Bottle, Cards, Fixings, WallPlan};

/// Lists the colours: code, name, screen colour, cells, patches, area in square centimetres; with recipes also
/// these, the colour that they make, how near that is and how far to trust it.
pub fn colours_csv(plan: &Plan) -> String {
    let mixed = !plan.mixes().recipes.is_empty();
    let more = if mixed { ",recipe,mixed,difference,trust" } else { "" };
    let mut table = format!("code,name,screen,cells,patches,area_cm2{more}\r\n");
    for colour in plan.tally() {
        let area = colour.cells as f64 * plan.cell_cm2();
        let mut fields = vec![
            colour.code.clone(),
            colour.name.clone(),
            colour.colour.to_string(),
            colour.cells.to_string(),
            colour.patches.to_string(),
            format!("{area:.3}"),
        ];
        if mixed {
            fields.extend(plan.mixes().recipe(colour.colour).map_or_else(<[String; 4]>::default, |recipe| {
                let words = recipe.blend.trust.words().to_owned();
                [
                    recipe.to_string(),
                    recipe.blend.colour.to_string(),
                    format!("{:.1}", recipe.difference),
                    words,
                ]
            }));
        }
        table.push_str(&line(&fields));
    }
    table
}

/// Lists the marks to make on every panel: exact and rounded distances from the start edge in millimetres, the
/// rounded one as the ruler shows it, and the marks across between which its line is drawn.
pub fn marks_csv(plan: &Plan) -> String {
    let mut table =
        String::from("panel_across,panel_down,edges,mark,exact_mm,rounded_mm,rounded,error_mm,from,to\r\n");
    let fit = plan.fit();
    let mm = |ratio: Ratio| format!("{:.5}", ratio.mm());
    for piece in &fit.pieces {
        let lines = plan.lines(piece);
        let edges = [
            ("top and bottom", plan.column_marks(piece), lines.columns),
            ("left and right", plan.row_marks(piece), lines.rows),
        ];
        for (edge, marks, lines) in edges {
            for (mark, drawn) in marks.into_iter().zip(lines) {
                let fields = [
                    (piece.across + 1).to_string(),
                    (piece.down + 1).to_string(),
                    edge.to_owned(),
                    mark.index.to_string(),
                    mm(mark.position),
                    mm(mark.rounded.ratio()),
                    fit.ruler.text(mark.rounded),
                    mm(mark.error),
                    drawn.from.to_string(),
                    drawn.to.to_string(),
                ];
                table.push_str(&line(&fields));
            }
        }
    }
    table
}

/// Lists the cuts of every panel in their order, in millimetres from its left and its top edge; no record when the
/// figure is not cut out.
pub fn cuts_csv(plan: &Plan) -> String {
    let mut table = String::from(
        "panel_across,panel_down,cut,kind,from_x_mm,from_y_mm,to_x_mm,to_y_mm,pull,length_mm,ends,stabs,turns,\
         light_cuts,fresh_edge,weak\r\n",
    );
    let mm = |length: Length| format!("{:.5}", length.mm());
    let flag = |flag: bool| if flag { "yes" } else { "no" }.to_owned();
    for panel in plan.cuts().map_or(&[][..], |cuts| &cuts.panels) {
        for cut in &panel.cuts {
            let fields = [
                (panel.across + 1).to_string(),
                (panel.down + 1).to_string(),
                cut.number.to_string(),
                cut.kind.word().to_owned(),
                mm(cut.from.x),
                mm(cut.from.y),
                mm(cut.to.x),
                mm(cut.to.y),
                cut.pull.words().to_owned(),
                mm(cut.length),
                cut.edge.map_or("", |edge| Ends::word(edge.ends)).to_owned(),
                cut.stabs.to_string(),
                cut.turns.to_string(),
                cut.light_cuts.map_or_else(String::new, |count| count.to_string()),
                flag(cut.fresh_edge),
                flag(cut.weak),
            ];
            table.push_str(&line(&fields));
        }
    }
    table
}

/// Lists what to buy for a wall: what, which one, how much is needed and at hand, how many to buy, and what that
/// costs where it has a price. Needs are before any rounding; what is sold by the piece is rounded up.
pub fn buying_csv(wall: &WallPlan) -> String {
    let buying = wall.buying();
    let money = |hundredths: Option<u64>| {
        hundredths.map_or_else(String::new, |sum| format!("{}.{:02}", sum / 100, sum % 100))
    };
    let mut rows = Vec::new();
    let mut row = |what: &str, which: String, amounts: [String; 4], cost: String, currency: &str| {
        let [needed, unit, at_hand, to_buy] = amounts;
        rows.push([what.to_owned(), which, needed, unit, at_hand, to_buy, cost, currency.to_owned()]);
    };
    let panels = &buying.panels;
    let amounts =
        [panels.needed.to_string(), "panel".into(), panels.owned.to_string(), panels.packs.to_string()];
    let which = format!("{} in packs of {}", wall.panel(), panels.pack.panels);
    row("panels", which, amounts, money(panels.cost()), &panels.pack.currency);
    for bottle in &buying.paints {
        let Bottle { need, at_hand_ml, to_buy } = bottle;
        let amounts =
            [format!("{:.2}", need.poured_ml), "ml".into(), format!("{at_hand_ml:.2}"), to_buy.to_string()];
        let which = format!("{} ({} ml)", need.paint.name, need.bottle_ml);
        let currency = need.paint.price.as_ref().map_or("", |price| &*price.currency);
        row("paint", which, amounts, money(bottle.cost()), currency);
    }
    let by_volume = [
        ("primer", buying.primer_ml),
        ("white under colours", buying.undercoat_ml),
        ("varnish", buying.varnish_ml),
        ("white glue", buying.glue_ml),
    ];
    let none = String::new;
    for (what, ml) in by_volume.into_iter().filter(|&(_, ml)| ml > 0.0) {
        row(what, none(), [format!("{ml:.2}"), "ml".into(), none(), none()], none(), "");
    }
    let mut pieces: Vec<(&str, String, usize)> = Vec::new();
    pieces.extend(
        buying
            .cards
            .iter()
            .map(|Cards { sheet: (width, height), sheets }| ("card", format!("{width} x {height}"), *sheets)),
    );
    pieces.push(("blade edges", String::new(), buying.edges));
    pieces.extend(
        buying.fixings.iter().map(|&Fixings { grams, count }| ("fixings", format!("{grams} g"), count)),
    );
    pieces.push(("jars with lids", String::new(), buying.jars));
    for (what, which, count) in pieces.into_iter().filter(|&(_, _, count)| count > 0) {
        row(what, which, [count.to_string(), "piece".into(), none(), count.to_string()], none(), "");
    }
    let mut table = String::from("what,which,needed,unit,at_hand,to_buy,cost,currency\r\n");
    for fields in &rows {
        table.push_str(&line(fields));
    }
    table
}

/// Writes one record after RFC 4180.
fn line(fields: &[String]) -> String {
    let quoted: Vec<String> = fields
        .iter()
        .map(|field| {
            let field = if formula(field) { format!("'{field}") } else { field.clone() };
            let plain = !field.contains([',', '"', '\r', '\n']);
            if plain { field } else { format!("\"{}\"", field.replace('"', "\"\"")) }
        })
        .collect();
    format!("{}\r\n", quoted.join(","))
}

/// Tells whether a spreadsheet could take a field for a formula: it begins with one of the characters that
/// OWASP's page on CSV injection lists, and is no number.
fn formula(field: &str) -> bool {
    let number = field.strip_prefix('-').is_some_and(|digits| {
        digits.starts_with(|first: char| first.is_ascii_digit())
            && digits.chars().all(|letter| letter.is_ascii_digit() || letter == '.')
    });
    !number && reads_as_formula(field)
}

#[cfg(test)]
mod tests {
    use super::line;

    fn one(field: &str) -> String {
        line(&[field.to_owned()])
    }

    /// Source: OWASP, "CSV Injection": the characters that begin a formula.
    #[test]
    fn a_field_that_could_be_a_formula_is_made_text() {
        assert_eq!(one("=cmd|' /C calc'!A0"), "'=cmd|' /C calc'!A0\r\n");
        assert_eq!(one("+1+1"), "'+1+1\r\n");
        assert_eq!(one("@SUM(A1)"), "'@SUM(A1)\r\n");
        assert_eq!(one("-2+3"), "'-2+3\r\n");
        assert_eq!(one("-inf"), "'-inf\r\n");
        assert_eq!(one("-"), "'-\r\n");
        assert_eq!(one("\t=1"), "'\t=1\r\n");
        assert_eq!(one("\r=1"), "\"'\r=1\"\r\n");
        assert_eq!(one("＝1"), "'＝1\r\n");
        assert_eq!(one("=a,b\"c"), "\"'=a,b\"\"c\"\r\n");
    }

    /// Source: RFC 4180, section 2, for the quotes; `common practice` for numbers.
    #[test]
    fn a_number_stays_a_number_and_plain_words_stay_plain() {
        assert_eq!(
            line(&["-0.00012".into(), "12".into(), "dark green".into()]),
            "-0.00012,12,dark green\r\n"
        );
        assert_eq!(one("a = b"), "a = b\r\n");
    }
}
