//! The layers that lie over a picture in an image editor, as pixels.

use tiny_skia::{Pixmap, Transform};

use super::png::draw_all;
use crate::fault::{Error, PictureFault, Result};
use crate::grid::Grid;
use crate::picture::limits::check_size;
use crate::plan::Plan;
use crate::sheet::{Draw, Overlay, Press, overlay};

/// The smallest type that can be read on a screen, in pixels.
const SMALLEST: f64 = 5.0;

/// Where the cells of a figure lie on a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Canvas {
    width: u32,
    height: u32,
    /// The top-left corner of the first cell, in pixels.
    corner: (f64, f64),
    /// The size of all cells together, in pixels.
    size: (f64, f64),
}

impl Canvas {
    /// Lays cells over a picture: `cells` is (left, top, right, bottom) in its pixels.
    ///
    /// # Errors
    /// As [`check_size`], and [`Error::Argument`] when the cells have no size or lie far outside.
    pub fn new(width: u32, height: u32, cells: (f64, f64, f64, f64)) -> Result<Self> {
        check_size(width, height).map_err(|fault: PictureFault| Error::from(fault))?;
        let (left, top, right, bottom) = cells;
        let is_near = |low: f64, high: f64, side: u32| {
            let side = f64::from(side);
            low >= -side && high <= 2.0 * side && high - low > 0.0
        };
        if is_near(left, right, width) && is_near(top, bottom, height) {
            return Ok(Self { width, height, corner: (left, top), size: (right - left, bottom - top) });
        }
        Err(Error::Argument {
            name: "cells",
            must: format!("(left, top, right, bottom) in pixels of {width} × {height}"),
            got: format!("({left}, {top}, {right}, {bottom})"),
        })
    }
}

/// Gives the cells of a grid as pixels, red, green, blue and opacity: each pixel has the colour of the cell in which
/// its middle lies.
pub fn cells_rgba(grid: &Grid, canvas: Canvas) -> Vec<u8> {
    let columns = places(canvas.width, canvas.corner.0, canvas.size.0, grid.columns());
    let rows = places(canvas.height, canvas.corner.1, canvas.size.1, grid.rows());
    let mut pixels = Vec::with_capacity(columns.len() * rows.len() * 4);
    for row in rows {
        for column in &columns {
            let cell = row.zip(*column).map(|(row, column)| grid.cells()[row * grid.columns() + column]);
            let colour = cell.flatten().map(|index| grid.palette().colours()[usize::from(index)].0);
            pixels.extend(colour.map_or([0; 4], |[r, g, b]| [r, g, b, 255]));
        }
    }
    pixels
}

/// Gives the cell in which the middle of each pixel along a side lies.
fn places(side: u32, start: f64, length: f64, cells: usize) -> Vec<Option<usize>> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 or more, and few")]
    let cell = |pixel: u32| {
        let place = (f64::from(pixel) + 0.5 - start) * cells as f64 / length;
        (place >= 0.0 && place < cells as f64).then_some(place as usize)
    };
    (0..side).map(cell).collect()
}

/// Draws a layer of lines or words as pixels, red, green, blue and opacity; words too small to read are left out.
pub fn overlay_rgba(press: &Press, plan: &Plan, layer: Overlay, canvas: Canvas) -> Vec<u8> {
    let mut page = overlay(press, plan, layer);
    let (across, down) = (canvas.size.0 / page.width.pt(), canvas.size.1 / page.height.pt());
    let scale = across.min(down);
    page.draws.retain(|draw| match draw {
        Draw::Text(text) => text.size.pt() * scale >= SMALLEST,
        // What lies behind words goes with them.
        Draw::Fill { .. } => SMALLEST <= 8.0 * scale,
        _ => true,
    });
    let Some(mut pixmap) = Pixmap::new(canvas.width, canvas.height) else { return Vec::new() };
    #[expect(clippy::cast_possible_truncation, reason = "the rasteriser works in f32")]
    let f32 = |value: f64| value as f32;
    let (x, y) = (f32(canvas.corner.0), f32(canvas.corner.1));
    let then = Transform::from_row(f32(across / scale), 0.0, 0.0, f32(down / scale), x, y);
    draw_all(&mut pixmap, &page.draws, scale, then);
    pixmap.take_demultiplied()
}
