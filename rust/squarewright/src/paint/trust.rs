//! How far a predicted mixture can be trusted, in words for the bench.

use serde::{Deserialize, Serialize};

use super::paint::{Level, Opacity, Paint};
use crate::colour::Lab;

/// A paint this dark tints strongly.
const DARK: f64 = 35.0;
/// A paint this light shows how strong a dark one is.
const LIGHT: f64 = 60.0;
/// White and what passes for it.
const WHITE: f64 = 85.0;
/// A paint this colourful is a strong one.
const STRONG: f64 = 45.0;
/// Two hues this far apart, in degrees, are two colours.
const APART: f64 = 45.0;

/// How far a prediction can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Trust {
    /// Mix it.
    #[serde(rename = "trust it")]
    TrustIt,
    /// Mix it, dab it on a scrap and let it dry before going on.
    #[serde(rename = "dab first")]
    DabFirst,
    /// Mix a little on a test card first: the real colour may lie far off.
    #[serde(rename = "test card first")]
    TestCardFirst,
}

impl Trust {
    /// Gives the words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::TrustIt => "trust it",
            Self::DabFirst => "dab first",
            Self::TestCardFirst => "test card first",
        }
    }

    /// Gives how far the dry paint lies from the prediction in most cases, CIEDE2000, as measured on mixtures
    /// of oil paints and water colours.
    pub fn range(self) -> (f64, f64) {
        match self {
            Self::TrustIt => (1.5, 4.5),
            Self::DabFirst => (2.0, 7.0),
            Self::TestCardFirst => (5.0, 14.0),
        }
    }
}

/// Judges the mixture of some paints.
pub(super) fn trust<'a>(paints: impl Iterator<Item = &'a Paint>) -> Trust {
    let known: Vec<(&Paint, Lab)> = paints.map(|paint| (paint, Lab::from(paint.colour))).collect();
    let white = known.iter().any(|(_, lab)| lab.l >= WHITE);
    let two_swatches = |paint: &Paint, lab: &Lab| paint.level() == Level::Tint || lab.l >= WHITE;
    if known.len() == 1 || (white && known.iter().all(|(paint, lab)| two_swatches(paint, lab))) {
        return Trust::TrustIt;
    }
    let unknown = |paint: &Paint| paint.level() == Level::Swatch && paint.opacity != Some(Opacity::Opaque);
    let light = known.iter().any(|(_, lab)| lab.l >= LIGHT);
    let tinted = light && known.iter().any(|(paint, lab)| unknown(paint) && lab.l < DARK);
    let strong: Vec<f64> = known
        .iter()
        .filter(|(paint, lab)| unknown(paint) && lab.chroma() >= STRONG)
        .map(|(_, lab)| lab.hue())
        .collect();
    let apart = |one: f64, other: f64| {
        let turn = (one - other).abs();
        turn.min(360.0 - turn) >= APART
    };
    let clash = strong.iter().any(|&one| strong.iter().any(|&other| apart(one, other)));
    if tinted || clash { Trust::TestCardFirst } else { Trust::DabFirst }
}
