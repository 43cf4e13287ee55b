//! Cuts in plain sentences.

use crate::cut::{Cut, CutPlan, Ends, Kind, PanelCuts, Remark};
use crate::length::{Length, Place};
use crate::panel::Fit;
use crate::sheet::words::{Language, Reader, kept};

/// Says what to do for a cut, by its number: where it begins and ends, as the maker's ruler shows it.
pub fn sentence(cut: &Cut, fit: &Fit, cuts: &CutPlan, language: Language) -> String {
    language
        .fill("cut.numbered", &[("number", &cut.number), ("words", &unnumbered(cut, fit, cuts, language))])
}

pub(in crate::sheet) fn unnumbered(cut: &Cut, fit: &Fit, cuts: &CutPlan, language: Language) -> String {
    let mut said = vec![match cut.kind {
        Kind::Coarse => straight("cut.coarse", cut, fit, cuts, language),
        Kind::Bay => straight("cut.bay", cut, fit, cuts, language),
        Kind::Hole | Kind::Stroke => stroke(cut, fit, language),
    }];
    let both = cut.edge.is_some_and(|edge| edge.ends == Ends::BothInside);
    let stab = cut.kind == Kind::Hole && cut.stabs > usize::from(both && cut.turns > 0);
    said.extend(stab.then(|| language.say("cut.stab").to_owned()));
    said.extend(cut.fresh_edge.then(|| language.say("cut.fresh").to_owned()));
    said.extend(cut.weak.then(|| language.say("cut.weak").to_owned()));
    said.join(" ")
}

/// Says why a panel has no list of cuts, if it has none.
pub fn remark(panel: &PanelCuts, fit: &Fit, language: Language) -> Option<String> {
    let totals = &panel.totals;
    Some(match panel.remark? {
        Remark::Bare => language.say("cutting.bare").to_owned(),
        Remark::Full => language.say("cutting.full").to_owned(),
        Remark::TooFine => {
            let outline = kept(&language.reader(fit.ruler).near(totals.outline));
            language.fill("cutting.too-fine", &[("strokes", &totals.strokes), ("outline", &outline)])
        }
    })
}

/// Writes a length on the panel to a line of the ruler, as long as that moves no cut out of its clearance.
pub(in crate::sheet) fn shown(length: Length, ruler: Reader, clearance: Length) -> String {
    let graduation = ruler.graduation();
    let rounded = length.ratio().rounded_to(graduation);
    kept(&ruler.text(if graduation <= clearance { rounded } else { length }))
}

fn straight(key: &str, cut: &Cut, fit: &Fit, cuts: &CutPlan, language: Language) -> String {
    let way = match (cut.from.x == cut.to.x, cut.from.y == cut.to.y) {
        (true, _) => language.say("cut.down"),
        (_, true) => language.say("cut.across"),
        _ => language.say("cut.slant"),
    };
    let at = |at: Place| end(at, fit, cuts.cutting.clearance, language);
    language.fill(key, &[("way", &way), ("from", &at(cut.from)), ("to", &at(cut.to))])
}

fn end(at: Place, fit: &Fit, clearance: Length, language: Language) -> String {
    let key = match at {
        Place { y: Length::ZERO, .. } => "cut.on-top",
        Place { x: Length::ZERO, .. } => "cut.on-left",
        Place { y, .. } if y == fit.panel.height() => "cut.on-bottom",
        Place { x, .. } if x == fit.panel.width() => "cut.on-right",
        _ => "cut.inside",
    };
    let shown = |length| shown(length, language.reader(fit.ruler), clearance);
    language.fill(key, &[("x", &shown(at.x)), ("y", &shown(at.y))])
}

fn stroke(cut: &Cut, fit: &Fit, language: Language) -> String {
    let Some(edge) = cut.edge else { return String::new() };
    let key = match edge.ends {
        Ends::Open => "cut.open",
        Ends::OneInside => "cut.one-inside",
        Ends::BothInside => "cut.both-inside",
    };
    let what = if cut.kind == Kind::Hole { language.say("cut.hole") } else { language.say("cut.stroke") };
    let pull = language.say(&format!("pull.{}", cut.pull.words().replace(' ', "-")));
    let length = kept(&language.reader(fit.ruler).text(cut.length));
    language.fill(
        key,
        &[
            ("what", &what),
            ("column", &edge.from.column),
            ("row", &edge.from.row),
            ("pull", &pull),
            ("length", &length),
        ],
    )
}
