//! What the maker should know before the start, in words.

use super::press::Press;
use super::words::kept;
use crate::cut::Joints;
use crate::grid;
use crate::plan::{Plan, Warning};

/// Says what makes the figure fragile or the board doubtful.
pub fn cautions(press: &Press, plan: &Plan) -> Vec<String> {
    let said = |warning| match warning {
        Warning::CornerJoints(count) => press.tell("warn.joints", count, &[]),
        Warning::Islands(count) => press.fill("warn.islands", &[("count", &count)]),
        Warning::ThinParts(count) => press.fill("warn.thin", &[("count", &count)]),
        Warning::SeamsOverWeak(count) => press.tell("warn.seams", count, &[]),
        Warning::JointsNearSeams(count) => {
            let clear = press.ruler(plan).text(Joints::CLEAR);
            press.tell("warn.card-joints", count, &[("clear", &kept(&clear))])
        }
        Warning::OutOfSquare(lean) => press.fill("warn.lean", &[("lean", &press.decimal(lean, 1))]),
    };
    plan.warnings().into_iter().map(said).collect()
}

/// Says what was taken for granted when the cells were found in a picture.
pub fn doubts(press: &Press, warnings: &[grid::Warning]) -> Vec<String> {
    let said = |warning| match warning {
        grid::Warning::Ground(colour) => press.fill("reading.ground", &[("colour", &colour)]),
        grid::Warning::Merged(count) => press.fill("reading.merged", &[("count", &count)]),
        grid::Warning::FewEdges => press.say("reading.few-edges").to_owned(),
        grid::Warning::Soft(count) => press.tell("reading.soft", count, &[]),
        grid::Warning::OneColour => press.say("reading.one-colour").to_owned(),
        grid::Warning::Blended => press.say("reading.blended").to_owned(),
        grid::Warning::Checkerboard => press.say("reading.checkerboard").to_owned(),
    };
    warnings.iter().copied().map(said).collect()
}
