//! How many coats a colour takes, and whether it wants white under it.
//!
//! Yellows, oranges and bright reds cover badly, pale colours let the board show through, and white itself
//! takes as many coats as yellow (common practice: two coats for most colours, three for these, on white).

use serde::{Deserialize, Serialize};

use crate::colour::{Lab, Rgb};

/// From where to where, in degrees of CIELAB hue, colours are red, orange or yellow.
const WARM: std::ops::Range<f64> = 15.0..112.0;
/// Warm colours of less chroma are earths and browns, which cover well.
const VIVID: f64 = 48.0;
/// Lighter colours let the board show through.
const PALE: f64 = 80.0;
/// Lighter colours of so little chroma are white.
const WHITE: (f64, f64) = (90.0, 12.0);

/// What a colour takes to cover.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Cover {
    /// Whether it is white or wants more coats than most.
    pub weak: bool,
    /// Whether a white coat comes under it.
    pub undercoat: bool,
}

/// Judges how a colour covers.
pub fn cover(colour: Rgb) -> Cover {
    let lab = Lab::from(colour);
    let white = lab.l >= WHITE.0 && lab.chroma() <= WHITE.1;
    let vivid = lab.chroma() >= VIVID && WARM.contains(&lab.hue());
    Cover { weak: white || vivid, undercoat: !white && (vivid || lab.l >= PALE) }
}
