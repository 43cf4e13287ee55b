//! The marks of all four edges as a table, and how to set them with the maker's ruler.

use super::page::{Flow, Leaf};
use super::press::Press;
use super::steps::span;
use super::table::{Column, Entry, stacks};
use super::words::{Reader, kept};
use crate::length::{Length, Ratio, System};
use crate::outline::{GridLine, Marking};
use crate::panel::{Mark, Piece};
use crate::plan::{Marked, Plan};

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let (fit, ruler) = (plan.fit(), press.ruler(plan));
    let mut flow = Flow::new(press, press.say("marks.title"));
    flow.heading(press.say("marks.title"));
    flow.paragraph(press.say("marks.how"));
    let sparse = plan.making().marking == Marking::Sparse;
    if sparse {
        saving(&mut flow, plan);
    }
    scale_ruler(&mut flow, plan);
    for piece in &fit.pieces {
        if fit.pieces.len() > 1 {
            flow.heading(&panel_name(press, plan, piece));
            let (right, bottom) = fit.trim(piece);
            if right.is_positive() || bottom.is_positive() {
                let text = |ratio| kept(&ruler.text(ratio));
                flow.paragraph(
                    &press.fill("marks.trim", &[("right", &text(right)), ("bottom", &text(bottom))]),
                );
            }
        }
        let lines = plan.lines(piece);
        let edges = [
            ("marks.columns", plan.column_marks(piece), lines.columns, piece.left),
            ("marks.rows", plan.row_marks(piece), lines.rows, piece.top),
        ];
        for (key, marks, lines, start) in edges {
            let start = kept(&ruler.near(start));
            // Words and the head of their table stay together.
            flow.need(Length::PT * 150);
            flow.paragraph(&press.fill(key, &[("start", &start), ("count", &marks.len())]));
            table(&mut flow, ruler, &marks, sparse.then_some(&lines));
        }
    }
    flow.leaves()
}

/// Names a panel: "panel 2 of 2".
pub(super) fn panel_name(press: &Press, plan: &Plan, piece: &Piece) -> String {
    let fit = plan.fit();
    let number = piece.down * fit.across + piece.across + 1;
    press.fill(
        "panel.name",
        &[
            ("number", &number),
            ("count", &fit.pieces.len()),
            ("from", &(piece.columns.start + 1)),
            ("to", &piece.columns.end),
            ("first", &(piece.rows.start + 1)),
            ("last", &piece.rows.end),
        ],
    )
}

/// Says what sparse marking saves.
fn saving(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let Marked { lines, lines_saved, saved_mm, saved, .. } = plan.marked();
    // So much line is read in feet or metres.
    let length = match plan.fit().ruler.system() {
        System::Inch => press.fill("marks.feet", &[("feet", &press.decimal(saved_mm / 304.8, 0))]),
        System::Metric => press.fill("marks.metres", &[("metres", &press.decimal(saved_mm / 1e3, 1))]),
    };
    flow.paragraph(&press.fill(
        "marks.sparse",
        &[
            ("lines", &lines),
            ("all", &(lines + lines_saved)),
            ("length", &kept(&length)),
            ("minutes", &span(press, saved)),
        ],
    ));
}

/// Sets the marks, and with sparse marking how far to draw the line of each.
fn table(flow: &mut Flow<'_>, ruler: Reader, marks: &[Mark], lines: Option<&Vec<GridLine>>) {
    let press = flow.press();
    let worst = marks.iter().map(|mark| mark.error.abs()).max();
    let worst = worst.filter(|worst| worst.is_positive());
    // What is rounded nowhere needs no column for it.
    let mut columns =
        vec![Column::right(press.say("marks.index"), 36), Column::right(press.say("marks.position"), 76)];
    columns.extend(worst.map(|_| Column::right(press.say("marks.error"), 56)));
    columns.extend(lines.map(|_| Column::right(press.say("marks.draw"), 64)));
    let row = |place: usize, mark: &Mark| {
        let strong = mark.index.is_multiple_of(5);
        let entry = |text: String| if strong { Entry::Strong(text) } else { Entry::Words(text) };
        let mut row = vec![entry(mark.index.to_string()), entry(ruler.text(mark.rounded))];
        row.extend(worst.map(|_| Entry::Words(signed(ruler, mark.error))));
        row.extend(lines.map(|lines| entry(format!("{} – {}", lines[place].from, lines[place].to))));
        row
    };
    let rows: Vec<Vec<Entry>> = marks.iter().enumerate().map(|(place, mark)| row(place, mark)).collect();
    stacks(flow, &columns, Length::PT * 15, &rows);
    if let Some(worst) = worst {
        flow.note(&press.fill("marks.worst", &[("worst", &kept(&ruler.text(worst)))]));
    } else {
        flow.note(press.say("marks.exact"));
    }
}

/// Writes by how much a mark was rounded, with its sign.
fn signed(ruler: Reader, error: Ratio) -> String {
    match error.numerator() {
        0 => "–".into(),
        1.. => format!("+{}", ruler.number(error)),
        _ => format!("−{}", ruler.number(error.abs())),
    }
}

fn scale_ruler(flow: &mut Flow<'_>, plan: &Plan) {
    let press = flow.press();
    let (fit, ruler) = (plan.fit(), press.ruler(plan));
    let Some(face) = fit.ruler.face(fit.pitch) else { return };
    let most = fit.pieces.iter().map(|piece| piece.columns.len().max(piece.rows.len())).max().unwrap_or(0);
    flow.heading(press.say("scale.title"));
    flow.paragraph(&press.fill(
        "scale.face",
        &[
            ("face", &face.unit().to_string().trim_end_matches(" in")),
            ("twin", &face.twin().to_string().trim_end_matches(" in")),
            ("start", &kept(&ruler.text(fit.pieces[0].left))),
            ("top", &kept(&ruler.text(fit.pieces[0].top))),
        ],
    ));
    let resets = face.resets(most);
    flow.paragraph(&if resets == 0 {
        press.say("scale.once").to_owned()
    } else {
        press.fill("scale.resets", &[("divisions", &face.divisions()), ("resets", &resets)])
    });
}
