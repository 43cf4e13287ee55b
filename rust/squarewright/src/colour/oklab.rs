//! Oklab (B. Ottosson, "A perceptual color space for image processing", 2020).

use palette::{FromColor, LinSrgb};

use super::Rgb;

/// An Oklab colour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oklab {
    /// Lightness, 0 to 1.
    pub l: f64,
    /// Green (below 0) to red.
    pub a: f64,
    /// Blue (below 0) to yellow.
    pub b: f64,
}

impl Oklab {
    /// Converts linear sRGB light, which may lie outside 0 to 1.
    pub fn from_linear([r, g, b]: [f64; 3]) -> Self {
        // The published matrices carry ten digits and leave a grey 4e-8 off neutral.
        if r.total_cmp(&g).is_eq() && g.total_cmp(&b).is_eq() {
            return Self { l: libm::cbrt(g), a: 0.0, b: 0.0 };
        }
        let colour = palette::Oklab::from_color(LinSrgb::new(r, g, b));
        Self { l: colour.l, a: colour.a, b: colour.b }
    }

    /// Gives the distance from grey.
    pub fn chroma(self) -> f64 {
        libm::hypot(self.a, self.b)
    }

    /// Gives the plain distance to another colour.
    pub fn distance(self, other: Self) -> f64 {
        let (l, a, b) = (self.l - other.l, self.a - other.a, self.b - other.b);
        (l * l + a * a + b * b).sqrt()
    }
}

impl From<Rgb> for Oklab {
    fn from(colour: Rgb) -> Self {
        Self::from_linear(colour.linear())
    }
}
