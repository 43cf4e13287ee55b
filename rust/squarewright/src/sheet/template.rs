//! The full-size template, page by page.

use super::draw::Draw;
use super::figure::{Lattice, layers};
use super::marks::panel_name;
use super::page::Leaf;
use super::press::Press;
use super::tiled::Tiled;

use crate::length::{Area, Place};
use crate::panel::Piece;
use crate::plan::Plan;

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    plan.fit().pieces.iter().flat_map(|piece| template(press, plan, piece)).collect()
}

fn template(press: &Press, plan: &Plan, piece: &Piece) -> Vec<Leaf> {
    let pitch = plan.fit().pitch;
    let before = |cells: usize| pitch.times(cells).nearest();
    let draw = |corner: Place, window: Area| -> Vec<Draw> {
        let origin = corner.moved(-before(piece.columns.start), -before(piece.rows.start));
        layers(plan, Lattice { origin, pitch }, window)
    };
    let tiled = Tiled {
        title: press.say("template.title"),
        stamp: format!("{} · {}", press.say("template.front"), panel_name(press, plan, piece)),
        note: ("template.page", press.ruler(plan).text(pitch)),
        cells: (piece.columns.len(), piece.rows.len()),
        pitch,
        draw: &draw,
    };
    tiled.leaves(press)
}
