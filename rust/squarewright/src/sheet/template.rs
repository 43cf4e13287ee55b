//! The full-size template, page by page.

use super::draw::Draw;
use super::face::Face;
use super::figure::{Lattice, template_lines};
use super::marks::panel_name;
use super::page::Leaf;
use super::press::Press;
use super::seams;
use super::tiled::Tiled;
use super::words::kept;

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
        template_lines(plan, Lattice { origin, pitch }, window)
    };
    let mut note = vec![press.fill("template.page", &[("pitch", &kept(&press.ruler(plan).text(pitch)))])];
    note.extend(seams::beside(press, plan.fit(), piece));
    let tiled = Tiled {
        title: press.say("template.title"),
        face: Face::Front,
        stamp: panel_name(press, plan, piece),
        note: note.join(" "),
        first: Some((piece.columns.start, piece.rows.start)),
        cells: (piece.columns.len(), piece.rows.len()),
        pitch,
        draw: &draw,
    };
    tiled.leaves(press)
}
