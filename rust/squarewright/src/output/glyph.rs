//! Words as outlines, for what has no type of its own.

use tiny_skia::PathBuilder;
use ttf_parser::OutlineBuilder;

use crate::sheet::Text;

/// Gives the outlines of a line of text at `scale` pixels a point; none when nothing of it shows.
pub(super) fn outlines(text: &Text, scale: f64) -> Option<tiny_skia::Path> {
    let face = text.font.face();
    let em = text.size.pt() * scale / f64::from(face.units_per_em());
    let mut pen =
        Pen { builder: PathBuilder::new(), x: text.at.x.pt() * scale, y: text.at.y.pt() * scale, em };
    for letter in text.words.chars() {
        let glyph = face.glyph_index(letter).unwrap_or_default();
        face.outline_glyph(glyph, &mut pen);
        pen.x += f64::from(face.glyph_hor_advance(glyph).unwrap_or(0)) * em;
    }
    pen.builder.finish()
}

/// Draws at a place, in pixels; `em` pixels make a unit of the font.
struct Pen {
    builder: PathBuilder,
    x: f64,
    y: f64,
    em: f64,
}

impl Pen {
    /// Gives a place of the font, where y points up, in pixels.
    #[expect(clippy::cast_possible_truncation, reason = "the rasteriser works in f32")]
    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        ((self.x + f64::from(x) * self.em) as f32, (self.y - f64::from(y) * self.em) as f32)
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.line_to(x, y);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let ((x1, y1), (x, y)) = (self.at(x1, y1), self.at(x, y));
        self.builder.quad_to(x1, y1, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2), (x, y)) = (self.at(x1, y1), self.at(x2, y2), self.at(x, y));
        self.builder.cubic_to(x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        self.builder.close();
    }
}
