//! The cut plan: which cuts in which order, panel by panel, with its cautions.

use super::cutting_plan::{coarse_plan, stroke_plan};
use super::marks::panel_name;
use super::page::{Flow, Leaf};
use super::press::Press;
use super::sentence::{remark, shown, unnumbered};
use super::words::kept;
use crate::cut::{Cut, CutPlan, Kind, PanelCuts};
use crate::length::Length;
use crate::panel::Piece;
use crate::plan::Plan;

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let Some(cuts) = plan.cuts() else { return Vec::new() };
    let mut leaves = Vec::new();
    for (number, (panel, piece)) in cuts.panels.iter().zip(&plan.fit().pieces).enumerate() {
        let mut flow = Flow::new(press, press.say("cutting.title"));
        flow.heading(press.say("cutting.title"));
        if cuts.panels.len() > 1 {
            flow.paragraph(&panel_name(press, plan, piece));
        }
        if let Some(words) = remark(panel, plan.fit(), press.language) {
            flow.paragraph(&words);
            leaves.extend(flow.leaves());
            continue;
        }
        if number == 0 {
            manner(&mut flow, plan, cuts);
        }
        coarse_plan(&mut flow, plan, piece, panel);
        list(&mut flow, plan, cuts, panel);
        leaves.extend(flow.leaves());
        leaves.extend(outline(press, plan, piece, panel));
    }
    leaves
}

/// How to cut, and how not to get hurt.
fn manner(flow: &mut Flow<'_>, plan: &Plan, cuts: &CutPlan) {
    let press = flow.press();
    let ruler = press.ruler(plan);
    let text = |length: Length| kept(&ruler.text(length));
    flow.paragraph(&press.fill("cutting.how", &[("clearance", &kept(&ruler.near(cuts.cutting.clearance)))]));
    let thickness = cuts.cutting.thickness.or(plan.fit().panel.thickness());
    flow.paragraph(&thickness.map_or_else(
        || press.say("cutting.depth-open").to_owned(),
        |thickness| {
            let count = cuts.cutting.light_cuts(thickness);
            press.fill("cutting.depth", &[("thickness", &text(thickness)), ("count", &count)])
        },
    ));
    for key in ["cutting.safe-hand", "cutting.safe-help", "cutting.safe-blade"] {
        flow.item("!", press.say(key));
    }
    flow.skip(Length::PT * 6);
}

fn list(flow: &mut Flow<'_>, plan: &Plan, cuts: &CutPlan, panel: &PanelCuts) {
    let press = flow.press();
    flow.heading(press.say("cutting.list"));
    let alike = |a: &Cut, b: &Cut| a.edge.is_some() && (a.kind, a.weak) == (b.kind, b.weak);
    for group in panel.cuts.chunk_by(alike) {
        let (first, last) = (&group[0], &group[group.len() - 1]);
        let key = match (first.kind, first.weak) {
            (Kind::Hole, _) => "cutting.holes",
            (Kind::Stroke, false) => "cutting.strokes",
            (Kind::Stroke, true) => "cutting.weak",
            (Kind::Coarse | Kind::Bay, _) => {
                flow.item(
                    &format!("{}.", first.number),
                    &capital(&unnumbered(first, plan.fit(), cuts, press.language)),
                );
                continue;
            }
        };
        let mut words = vec![press.fill(key, &[("to", &last.number)])];
        let fresh: Vec<String> =
            group.iter().filter(|cut| cut.fresh_edge).map(|cut| cut.number.to_string()).collect();
        if !fresh.is_empty() {
            words.push(press.fill("cutting.fresh", &[("numbers", &fresh.join(", "))]));
        }
        flow.item(&format!("{}.", first.number), &words.join(" "));
    }
    totals(flow, plan, cuts, panel);
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters.clone()).collect()
}

fn totals(flow: &mut Flow<'_>, plan: &Plan, cuts: &CutPlan, panel: &PanelCuts) {
    let press = flow.press();
    let (totals, ruler) = (&panel.totals, press.ruler(plan));
    let text = |length| shown(length, ruler, cuts.cutting.clearance);
    flow.paragraph(&press.fill(
        "cutting.totals",
        &[
            ("coarse", &text(totals.coarse)),
            ("bays", &text(totals.bays)),
            ("outline", &text(totals.outline)),
            ("strokes", &totals.strokes),
            ("turns", &totals.turns),
            ("stabs", &totals.stabs),
            ("fresh", &totals.fresh_edges),
        ],
    ));
    if totals.on_edge > Length::ZERO {
        flow.paragraph(&press.fill("cutting.joint", &[("length", &text(totals.on_edge))]));
    }
}

/// The page of the outline: every stroke as an arrow.
fn outline(press: &Press, plan: &Plan, piece: &Piece, panel: &PanelCuts) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("outline.title"));
    flow.heading(press.say("outline.title"));
    if plan.fit().pieces.len() > 1 {
        flow.paragraph(&panel_name(press, plan, piece));
    }
    let first = panel.cuts.iter().find(|cut| cut.edge.is_some()).map_or(1, |cut| cut.number);
    flow.paragraph(&press.fill("outline.how", &[("first", &first)]));
    stroke_plan(&mut flow, plan, piece, panel);
    flow.leaves()
}
