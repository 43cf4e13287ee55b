//! What can be read on what: contrast as in the Web Content Accessibility Guidelines 2.1, W3C 2018.

use super::Rgb;

/// The luminance at which black and white ink contrast alike, `sqrt(1.05 × 0.05) − 0.05`.
const BALANCE: f64 = 0.1791;

/// The ink for text on a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// Black ink, for light colours.
    Black,
    /// White ink, for dark colours.
    White,
}

impl Ink {
    /// Gives the colour of the ink.
    pub fn rgb(self) -> Rgb {
        match self {
            Self::Black => Rgb::BLACK,
            Self::White => Rgb::WHITE,
        }
    }
}

impl Rgb {
    /// Chooses the ink that reads better on this colour; its contrast is 4.58 or more on every colour.
    pub fn ink(self) -> Ink {
        if self.luminance() > BALANCE { Ink::Black } else { Ink::White }
    }
}

/// Gives the contrast of two colours, 1 (none) to 21 (black on white), in either order.
pub fn contrast(one: Rgb, other: Rgb) -> f64 {
    let (one, other) = (one.luminance() + 0.05, other.luminance() + 0.05);
    one.max(other) / one.min(other)
}
