//! Tables for a spreadsheet.

use crate::length::Ratio;
use crate::plan::Plan;

/// Lists the colours: code, name, screen colour, cells, patches, area in square centimetres.
pub fn colours_csv(plan: &Plan) -> String {
    let mut table = String::from("code,name,screen,cells,patches,area_cm2\r\n");
    for colour in plan.tally() {
        let area = colour.cells as f64 * plan.cell_cm2();
        let fields = [
            colour.code.clone(),
            colour.name.clone(),
            colour.colour.to_string(),
            colour.cells.to_string(),
            colour.patches.to_string(),
            format!("{area:.3}"),
        ];
        table.push_str(&line(&fields));
    }
    table
}

/// Lists the marks of every panel: exact and rounded distances from the start edge in millimetres, and the
/// rounded one as the ruler shows it.
pub fn marks_csv(plan: &Plan) -> String {
    let mut table =
        String::from("panel_across,panel_down,edges,mark,exact_mm,rounded_mm,rounded,error_mm\r\n");
    let fit = plan.fit();
    let mm = |ratio: Ratio| format!("{:.5}", ratio.mm());
    for piece in &fit.pieces {
        let edges = [("top and bottom", fit.column_marks(piece)), ("left and right", fit.row_marks(piece))];
        for (edge, marks) in edges {
            for mark in marks {
                let fields = [
                    (piece.across + 1).to_string(),
                    (piece.down + 1).to_string(),
                    edge.to_owned(),
                    mark.index.to_string(),
                    mm(mark.position),
                    mm(mark.rounded.ratio()),
                    fit.ruler.text(mark.rounded),
                    mm(mark.error),
                ];
                table.push_str(&line(&fields));
            }
        }
    }
    table
}

/// Writes one record after RFC 4180; a field that a spreadsheet could take for a formula is made text.
fn line(fields: &[String]) -> String {
    let quoted: Vec<String> = fields
        .iter()
        .map(|field| {
            let formula = field.starts_with(['=', '+', '@', '\t', '\r'])
                || (field.starts_with('-') && field.parse::<f64>().is_err());
            let field = if formula { format!("'{field}") } else { field.clone() };
            let plain = !field.contains([',', '"', '\r', '\n']);
            if plain { field } else { format!("\"{}\"", field.replace('"', "\"\"")) }
        })
        .collect();
    format!("{}\r\n", quoted.join(","))
}
