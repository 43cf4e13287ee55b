//! CIELAB (ISO/CIE 11664-4) and Oklab (B. Ottosson, 2020).

use palette::{FromColor, LinSrgb};

use super::Rgb;

/// A colour in CIELAB under D65.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lab {
    /// Lightness, 0 to 100.
    pub l: f64,
    /// Green to red.
    pub a: f64,
    /// Blue to yellow.
    pub b: f64,
}

/// A colour in Oklab.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oklab {
    /// Lightness, 0 to 1.
    pub l: f64,
    /// Green to red.
    pub a: f64,
    /// Blue to yellow.
    pub b: f64,
}

/// Linear sRGB to XYZ relative to white, so that a neutral has three equal numbers. The rows are those of
/// CSS Color 4, each divided by its sum.
const RELATIVE: [[f64; 3]; 3] = [
    [0.412_390_799_3, 0.357_584_339_4, 0.180_480_788_4],
    [0.212_639_005_9, 0.715_168_678_8, 0.072_192_315_4],
    [0.019_330_818_7, 0.119_194_779_8, 0.950_532_152_2],
];

impl Lab {
    /// Gives the chroma.
    pub fn chroma(self) -> f64 {
        libm::hypot(self.a, self.b)
    }

    /// Gives the hue angle in degrees, 0 to 360.
    pub fn hue(self) -> f64 {
        let degrees = libm::atan2(self.b, self.a).to_degrees();
        if degrees < 0.0 { degrees + 360.0 } else { degrees }
    }
}

impl From<Rgb> for Lab {
    fn from(colour: Rgb) -> Self {
        let [r, g, b] = colour.linear();
        // A grey is the same multiple of white in all three, and must not pick up rounding on the way.
        let relative = |row: [f64; 3]| {
            if colour.0[0] == colour.0[1] && colour.0[1] == colour.0[2] {
                return g;
            }
            (row[0] * r + row[1] * g + row[2] * b) / (row[0] + row[1] + row[2])
        };
        let [x, y, z] = RELATIVE.map(relative).map(bend);
        Self { l: 116.0 * y - 16.0, a: 500.0 * (x - y), b: 200.0 * (y - z) }
    }
}

/// The cube root with its straight foot: ε = 216/24389, κ = 24389/27.
fn bend(t: f64) -> f64 {
    if t > 216.0 / 24389.0 { libm::cbrt(t) } else { (24389.0 / 27.0 * t + 16.0) / 116.0 }
}

impl From<Rgb> for Oklab {
    fn from(colour: Rgb) -> Self {
        let [r, g, b] = colour.linear();
        let found = palette::Oklab::from_color(LinSrgb::new(r, g, b));
        let grey = colour.0[0] == colour.0[1] && colour.0[1] == colour.0[2];
        if grey { Self { l: found.l, a: 0.0, b: 0.0 } } else { Self { l: found.l, a: found.a, b: found.b } }
    }
}
