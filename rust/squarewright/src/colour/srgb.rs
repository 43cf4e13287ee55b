//! sRGB as stored, and its linear light (IEC 61966-2-1:1999).

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::fault::{Error, Result};

/// An sRGB colour, 8 bits a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Rgb(pub [u8; 3]);

/// The luminance at which black and white ink are equally readable: √(1.05 · 0.05) − 0.05, from the
/// contrast formula of WCAG 2.1.
const INK_SWITCH: f64 = 0.1791;

impl Rgb {
    /// Black.
    pub const BLACK: Self = Self([0; 3]);
    /// White.
    pub const WHITE: Self = Self([255; 3]);

    /// Gives the linear light of the three channels, 0 to 1.
    pub fn linear(self) -> [f64; 3] {
        self.0.map(decode)
    }

    /// Gives the relative luminance, 0 to 1.
    pub fn luminance(self) -> f64 {
        let [r, g, b] = self.linear();
        0.212_639_005_9 * r + 0.715_168_678_8 * g + 0.072_192_315_4 * b
    }

    /// Gives black or white, whichever reads better on this colour: at least 4.58 to 1.
    #[must_use]
    pub fn ink(self) -> Self {
        if self.luminance() > INK_SWITCH { Self::BLACK } else { Self::WHITE }
    }

    /// Mixes in a share (0 to 1) of another colour, in linear light.
    #[must_use]
    pub fn mixed(self, other: Self, share: f64) -> Self {
        let (a, b) = (self.linear(), other.linear());
        Self([0, 1, 2].map(|i| encode(a[i] + (b[i] - a[i]) * share)))
    }
}

/// Decodes one channel to linear light.
fn decode(code: u8) -> f64 {
    let value = f64::from(code) / 255.0;
    if value <= 0.040_45 { value / 12.92 } else { libm::pow((value + 0.055) / 1.055, 2.4) }
}

/// Encodes linear light to the nearest code.
fn encode(linear: f64) -> u8 {
    let value =
        if linear <= 0.003_130_8 { linear * 12.92 } else { 1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055 };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0..=255")]
    let code = (value.clamp(0.0, 1.0) * 255.0).round() as u8;
    code
}

/// Gives the contrast of two colours after WCAG 2.1, 1 to 21.
pub fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (a.luminance() + 0.05, b.luminance() + 0.05);
    a.max(b) / a.min(b)
}

impl fmt::Display for Rgb {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [r, g, b] = self.0;
        write!(formatter, "#{r:02x}{g:02x}{b:02x}")
    }
}

impl FromStr for Rgb {
    type Err = Error;

    /// Reads `#rrggbb`, `rrggbb` or `#rgb`.
    fn from_str(text: &str) -> Result<Self> {
        let bad = || Error::Colour { got: format!("{text:?}") };
        let digits = text.trim();
        let digits = digits.strip_prefix('#').unwrap_or(digits);
        if !digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(bad());
        }
        let full = match digits.len() {
            3 => digits.chars().flat_map(|digit| [digit, digit]).collect(),
            6 => digits.to_owned(),
            _ => return Err(bad()),
        };
        let channel = |at: usize| u8::from_str_radix(&full[at..at + 2], 16).map_err(|_| bad());
        Ok(Self([channel(0)?, channel(2)?, channel(4)?]))
    }
}

impl From<Rgb> for String {
    fn from(colour: Rgb) -> Self {
        colour.to_string()
    }
}

impl TryFrom<String> for Rgb {
    type Error = Error;
    fn try_from(text: String) -> Result<Self> {
        text.parse()
    }
}
