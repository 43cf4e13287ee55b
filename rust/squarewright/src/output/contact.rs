//! Contact sheets as PNG, and each of their pictures by itself.

use super::png::{encode, raster};
use crate::length::Length;
use crate::plan::Plan;
use crate::sheet::{Contact, Eye, Press, Tile, View, contact};

/// Pixels to a point: the sheet has 96 to the inch.
const SCALE: f64 = 96.0 / 72.0;

/// Draws a contact sheet as PNG.
pub fn contact_png(
    press: &Press,
    title: &str,
    tiles: &[Tile<'_>],
    abreast: usize,
    distance: Length,
) -> Vec<u8> {
    let Contact { page, pictures } = contact(press, title, tiles, abreast, distance);
    let pixmap = raster(&page, SCALE);
    let (width, height) = (pixmap.width(), pixmap.height());
    let mut pixels = pixmap.take_demultiplied();
    for ((left, top), view) in &pictures {
        for (row, line) in (*top..).zip(view.pixels.chunks(view.width as usize * 4)) {
            let start = (row * width + left) as usize * 4;
            for (under, over) in pixels[start..].chunks_mut(4).zip(line.chunks(4)) {
                lay(under, over);
            }
        }
    }
    encode(width, height, &pixels)
}

/// Draws what an eye sees of a plan as PNG, transparent where there is no figure.
pub fn view_png(plan: &Plan, eye: Eye) -> Vec<u8> {
    let View { width, height, pixels } = eye.sees(plan);
    encode(width, height, &pixels)
}

/// Lays a pixel over another, light over light.
fn lay(under: &mut [u8], over: &[u8]) {
    use crate::colour::{decode, encode};
    let share = f64::from(over[3]) / 255.0;
    for (under, &over) in under.iter_mut().zip(&over[..3]) {
        *under = encode(decode(over) * share + decode(*under) * (1.0 - share));
    }
}
