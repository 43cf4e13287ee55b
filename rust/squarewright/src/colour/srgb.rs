//! The colour of a pixel: sRGB codes and the light they stand for (IEC 61966-2-1:1999).

use std::sync::LazyLock;

use super::lab::LUMINANCE;

/// A colour as three sRGB codes: red, green, blue.
///
/// Reads and writes as `#rrggbb`, in text and in serialised data alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Rgb(pub [u8; 3]);

impl Rgb {
    /// No light at all.
    pub const BLACK: Self = Self([0; 3]);
    /// All the light there is.
    pub const WHITE: Self = Self([255; 3]);

    /// Gives the linear light of each channel, 0 to 1.
    pub fn linear(self) -> [f64; 3] {
        self.0.map(decode)
    }

    /// Gives the colour nearest to linear light, channel by channel; light outside 0 to 1 is clipped.
    pub fn from_linear(light: [f64; 3]) -> Self {
        Self(light.map(encode))
    }

    /// Gives the relative luminance Y: 0 for black, 1 for white.
    pub fn luminance(self) -> f64 {
        let [r, g, b] = self.linear();
        // Steps away from green leave a grey at exactly its own light.
        g + LUMINANCE[0] * (r - g) + LUMINANCE[1] * (b - g)
    }

    /// Gives the grey that is as light as the colour.
    #[must_use]
    pub fn to_grey(self) -> Self {
        Self::from_linear([self.luminance(); 3])
    }

    /// Mixes in a `share` of another colour, 0 to 1, as light mixes; a share beyond counts as 0 or 1.
    #[must_use]
    pub fn mixed(self, other: Self, share: f64) -> Self {
        let share = share.clamp(0.0, 1.0);
        let (own, its) = (self.linear(), other.linear());
        Self::from_linear(std::array::from_fn(|i| own[i] + share * (its[i] - own[i])))
    }
}

/// Turns an sRGB code into linear light, 0 to 1.
pub fn decode(code: u8) -> f64 {
    static LIGHT: LazyLock<[f64; 256]> =
        LazyLock::new(|| std::array::from_fn(|code| light_of(code as f64 / 255.0)));
    LIGHT[usize::from(code)]
}

fn light_of(signal: f64) -> f64 {
    if signal <= 0.040_45 { signal / 12.92 } else { libm::pow((signal + 0.055) / 1.055, 2.4) }
}

/// Turns linear light into the nearest sRGB code; light outside 0 to 1 is clipped.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the signal is within 0 to 255; what is not a number becomes 0"
)]
pub fn encode(light: f64) -> u8 {
    let light = light.clamp(0.0, 1.0);
    let signal =
        if light <= 0.003_130_8 { light * 12.92 } else { 1.055 * libm::pow(light, 1.0 / 2.4) - 0.055 };
    (signal * 255.0).round() as u8
}
