//! Tristimulus values and CIELAB (ISO/CIE 11664-4), white point D65 as sRGB states it.
//!
//! The matrix follows from the sRGB primaries, as in CSS Color Module Level 4, W3C, section 10. It is kept
//! relative to the white and as steps away from green, so that a grey keeps three equal values to the last
//! bit and has no chroma at all; a matrix with four digits, or a plain product, leaves a cast of 1e-5 or 1e-14.

use serde::{Deserialize, Serialize};

use super::Rgb;

/// The white of sRGB, x = 0.3127 and y = 0.3290, at luminance 1.
const WHITE: [f64; 3] = [0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290];

/// How much of X, Y and Z comes from red and from blue; what is left to 1 comes from green.
const SHARES: [[f64; 2]; 3] = [
    [506_752.0 / 1_228_815.0 / WHITE[0], 12_673.0 / 70_218.0 / WHITE[0]],
    LUMINANCE,
    [7_918.0 / 409_605.0 / WHITE[2], 1_001_167.0 / 1_053_270.0 / WHITE[2]],
];

/// The shares of red and of blue in luminance.
pub(super) const LUMINANCE: [f64; 2] = [87_098.0 / 409_605.0, 12_673.0 / 175_545.0];

/// Below this share of the white, lightness is a straight line.
const EPSILON: f64 = 216.0 / 24_389.0;
/// The slope of that line.
const KAPPA: f64 = 24_389.0 / 27.0;

/// Tristimulus values of the 2° observer; Y is 1 for white.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Xyz {
    /// X.
    pub x: f64,
    /// Y, the luminance.
    pub y: f64,
    /// Z.
    pub z: f64,
}

impl Xyz {
    /// Converts linear sRGB light, which may lie outside 0 to 1.
    pub fn from_linear(light: [f64; 3]) -> Self {
        let [x, y, z] = relative(light);
        Self { x: x * WHITE[0], y, z: z * WHITE[2] }
    }
}

impl From<Rgb> for Xyz {
    fn from(colour: Rgb) -> Self {
        Self::from_linear(colour.linear())
    }
}

/// A CIELAB colour.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Lab {
    /// Lightness L\*, 0 to 100.
    pub l: f64,
    /// Green (below 0) to red.
    pub a: f64,
    /// Blue (below 0) to yellow.
    pub b: f64,
}

impl Lab {
    /// Converts linear sRGB light, which may lie outside 0 to 1.
    pub fn from_linear(light: [f64; 3]) -> Self {
        Self::from_relative(relative(light))
    }

    /// Gives the distance from grey, C\*.
    pub fn chroma(self) -> f64 {
        libm::hypot(self.a, self.b)
    }

    /// Gives the hue angle in degrees, 0 up to but without 360; 0 for a grey.
    pub fn hue(self) -> f64 {
        let angle = libm::atan2(self.b, self.a).to_degrees();
        let turned = if angle < 0.0 { angle + 360.0 } else { angle };
        // An angle a hair below zero rounds to a full turn.
        if turned >= 360.0 { 0.0 } else { turned }
    }

    pub(super) fn from_relative(share: [f64; 3]) -> Self {
        let [x, y, z] = share.map(response);
        Self { l: 116.0 * y - 16.0, a: 500.0 * (x - y), b: 200.0 * (y - z) }
    }
}

impl From<Rgb> for Lab {
    fn from(colour: Rgb) -> Self {
        Self::from_linear(colour.linear())
    }
}

impl From<Xyz> for Lab {
    fn from(colour: Xyz) -> Self {
        Self::from_relative([colour.x / WHITE[0], colour.y, colour.z / WHITE[2]])
    }
}

fn relative([r, g, b]: [f64; 3]) -> [f64; 3] {
    SHARES.map(|[red, blue]| g + red * (r - g) + blue * (b - g))
}

/// Turns shares of the white in X, Y and Z into linear sRGB light.
pub(super) fn light_of([x, y, z]: [f64; 3]) -> [f64; 3] {
    // The differences from Y hold no green, so that two equations give the steps from green to red and blue.
    let [[a, b], [c, d]] = [0, 2].map(|axis| [0, 1].map(|part| SHARES[axis][part] - SHARES[1][part]));
    let whole = a * d - b * c;
    let red = ((x - y) * d - (z - y) * b) / whole;
    let blue = ((z - y) * a - (x - y) * c) / whole;
    let green = y - SHARES[1][0] * red - SHARES[1][1] * blue;
    [green + red, green, green + blue]
}

fn response(share: f64) -> f64 {
    if share > EPSILON { libm::cbrt(share) } else { (KAPPA * share + 16.0) / 116.0 }
}
