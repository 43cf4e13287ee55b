//! Pages and grids as PNG (ISO/IEC 15948).

use tiny_skia::{FillRule, LineCap, Paint, PathBuilder, Pixmap, Stroke, Transform};

use super::glyph::outlines;
use crate::colour::Rgb;
use crate::fault::Result;
use crate::grid::Grid;
use crate::length::Length;
use crate::outline::WeakSpots;
use crate::plan::Plan;
use crate::sheet::{Draw, Page, Path, Press, Screen, marked, preview, projector, wall_view};
use crate::wall::WallPlan;

/// The longer side of a preview, in pixels.
const PREVIEW: f64 = 1600.0;

/// The screen of a common projector, in pixels.
const PROJECTED: (f64, f64) = (1920.0, 1080.0);

/// Draws the finished figure on its panels as PNG, 1600 pixels on its longer side, and says how large that is.
pub fn preview_png(plan: &Plan) -> Vec<u8> {
    sized_png(&preview(plan), PREVIEW)
}

/// Draws the finished figure on its panels as PNG, so many pixels on its longer side.
pub(super) fn sized_png(page: &Page, side: f64) -> Vec<u8> {
    let scale = side / page.width.max(page.height).pt();
    let pixmap = raster(page, scale);
    let per_metre = scale * 72.0 / 0.0254;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "pixels of a figure")]
    let per_metre = per_metre.round().clamp(1.0, f64::from(u32::MAX)) as u32;
    encoded((pixmap.width(), pixmap.height()), &pixmap.take_demultiplied(), Some(per_metre))
}

/// Draws outline and inner lines for a projector as PNG that fits into 1920 × 1080 pixels.
pub fn projector_png(press: &Press, plan: &Plan, screen: Screen) -> Vec<u8> {
    let page = projector(press, plan, screen);
    let scale = (PROJECTED.0 / page.width.pt()).min(PROJECTED.1 / page.height.pt());
    let pixmap = raster(&page, scale);
    encode(pixmap.width(), pixmap.height(), &pixmap.take_demultiplied())
}

/// Draws a grid with its weak spots ringed as PNG, 1600 pixels on its longer side.
pub fn weak_spots_png(grid: &Grid, spots: &WeakSpots) -> Vec<u8> {
    page_png(&marked(grid, spots), PREVIEW)
}

/// Draws a wall as it is seen from afar as PNG; none when its figures have no places.
pub fn wall_png(wall: &WallPlan) -> Option<Vec<u8>> {
    let view = wall_view(wall)?.view;
    Some(encode(view.width, view.height, &view.pixels))
}

/// Draws a page whose lengths mean nothing, so many pixels on its longer side.
pub(super) fn page_png(page: &Page, side: f64) -> Vec<u8> {
    let pixmap = raster(page, side / page.width.max(page.height).pt());
    encode(pixmap.width(), pixmap.height(), &pixmap.take_demultiplied())
}

/// Draws a grid at `scale` pixels a cell as PNG, bare cells transparent.
///
/// # Errors
/// As [`Grid::rgba`].
pub fn grid_png(grid: &Grid, scale: usize) -> Result<Vec<u8>> {
    let (width, height, pixels) = grid.rgba(scale)?;
    let side = |length: usize| u32::try_from(length).unwrap_or(u32::MAX);
    Ok(encode(side(width), side(height), &pixels))
}

pub(super) fn encode(width: u32, height: u32, pixels: &[u8]) -> Vec<u8> {
    encoded((width, height), pixels, None)
}

/// Writes pixels, and how many of them a metre has where they have a size (PNG, chunk `pHYs`).
fn encoded((width, height): (u32, u32), pixels: &[u8], per_metre: Option<u32>) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fast);
    encoder.set_pixel_dims(per_metre.map(|count| png::PixelDimensions {
        xppu: count,
        yppu: count,
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header().expect("a PNG header can be written to memory");
    writer.write_image_data(pixels).expect("the pixels fill the stated size");
    writer.finish().expect("a PNG can be finished in memory");
    bytes
}

/// The most pixels along a side.
const MOST: f64 = 8000.0;

pub(super) fn raster(page: &Page, scale: f64) -> Pixmap {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let side = |length: Length| (length.pt() * scale).round().clamp(1.0, MOST) as u32;
    let mut pixmap = Pixmap::new(side(page.width), side(page.height)).unwrap_or_else(blank);
    draw_all(&mut pixmap, &page.draws, scale, Transform::identity());
    pixmap
}

/// Draws marks at `scale` pixels a point, and then moved and stretched.
pub(super) fn draw_all(pixmap: &mut Pixmap, draws: &[Draw], scale: f64, then: Transform) {
    for draw in draws {
        match draw {
            Draw::Fill { path, rgb } => {
                if let Some(path) = outline(path, scale) {
                    let paint = paint(*rgb);
                    pixmap.fill_path(&path, &paint, FillRule::EvenOdd, then, None);
                }
            }
            Draw::Stroke { path, width, rgb, .. } => {
                if let Some(path) = outline(path, scale) {
                    let stroke = Stroke {
                        width: to_f32(width.pt() * scale).max(1.0),
                        line_cap: LineCap::Square,
                        ..Stroke::default()
                    };
                    pixmap.stroke_path(&path, &paint(*rgb), &stroke, then, None);
                }
            }
            Draw::Text(text) => {
                if let Some(path) = outlines(text, scale) {
                    let paint = paint(text.rgb);
                    pixmap.fill_path(&path, &paint, FillRule::Winding, then, None);
                }
            }
            // A picture knows no layers.
            Draw::Layer(_) | Draw::EndLayer => {}
        }
    }
}

fn blank() -> Pixmap {
    Pixmap::new(1, 1).expect("a picture of one pixel can be made")
}

fn paint(rgb: Rgb) -> Paint<'static> {
    let [r, g, b] = rgb.0;
    let mut paint = Paint::default();
    paint.set_color_rgba8(r, g, b, 255);
    paint
}

fn outline(path: &Path, scale: f64) -> Option<tiny_skia::Path> {
    let mut builder = PathBuilder::new();
    for line in &path.0 {
        for (index, place) in line.places.iter().enumerate() {
            let (x, y) = (to_f32(place.x.pt() * scale), to_f32(place.y.pt() * scale));
            if index == 0 { builder.move_to(x, y) } else { builder.line_to(x, y) }
        }
        if line.closed {
            builder.close();
        }
    }
    builder.finish()
}

#[expect(clippy::cast_possible_truncation, reason = "the rasteriser works in f32")]
fn to_f32(value: f64) -> f32 {
    value as f32
}
