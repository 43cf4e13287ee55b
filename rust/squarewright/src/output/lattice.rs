//! A picture with the lattice of its cells over it, so that a person sees at once whether it is right.

use super::png::encode;
use crate::fault::{Result, Watch};
use crate::grid::{Reading, Region};
use crate::picture::Picture;

/// The sides between which the drawing is kept, in pixels.
const SIDES: (u32, u32) = (800, 1600);
/// Lines are dashes of black and white, so that they are seen on any colour.
const DASH: u32 = 4;

/// Draws a picture with the cells of a reading as PNG, 800 to 1600 pixels on its longer side.
///
/// Four corners show the picture that was brought upright.
///
/// # Errors
/// As [`Region::cut`].
pub fn lattice_png(
    picture: &Picture,
    region: Option<Region>,
    reading: &Reading,
    watch: &dyn Watch,
) -> Result<Vec<u8>> {
    let upright = match region {
        Some(corners @ Region::Corners(_)) => Some(corners.cut(picture, watch)?),
        _ => None,
    };
    let picture = upright.as_ref().unwrap_or(picture);
    let side = picture.width().max(picture.height());
    let (up, down) = (SIDES.0.div_ceil(side).max(1), side.div_ceil(SIDES.1).max(1));
    let up = if down > 1 { 1 } else { up.min(SIDES.1 / side).max(1) };
    let (width, height) = (picture.width() / down * up, picture.height() / down * up);
    let mut pixels = Vec::with_capacity((width * height) as usize * 4);
    for y in 0..height {
        for x in 0..width {
            pixels.extend(picture.pixel(x / up * down, y / up * down));
        }
    }
    let scale = f64::from(up) / f64::from(down);
    let (rows, columns) = (reading.grid.rows(), reading.grid.columns());
    let xs = lines(reading.offset_px.0, reading.pitch_px.0, columns, (scale, width));
    let ys = lines(reading.offset_px.1, reading.pitch_px.1, rows, (scale, height));
    let (Some((&left, &right)), Some((&top, &bottom))) =
        (xs.first().zip(xs.last()), ys.first().zip(ys.last()))
    else {
        return Ok(encode(width, height, &pixels));
    };
    let mut ink = |x: u32, y: u32, along: u32| {
        let place = (y * width + x) as usize * 4;
        let level = if (along / DASH).is_multiple_of(2) { 0 } else { 255 };
        pixels[place..place + 4].copy_from_slice(&[level, level, level, 255]);
    };
    for &x in &xs {
        (top..=bottom).for_each(|y| ink(x, y, y));
    }
    for &y in &ys {
        (left..=right).for_each(|x| ink(x, y, x));
    }
    Ok(encode(width, height, &pixels))
}

/// Gives the pixels of all boundaries along one axis.
fn lines(offset: f64, pitch: f64, cells: usize, (scale, length): (f64, u32)) -> Vec<u32> {
    let last = f64::from(length.max(1) - 1);
    let place = |cell: usize| ((offset + cell as f64 * pitch) * scale).round().clamp(0.0, last);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the picture")]
    let pixel = |cell: usize| place(cell) as u32;
    (0..=cells).map(pixel).collect()
}
