//! Which brush suits a cell.

use serde::{Deserialize, Serialize};

use crate::length::{Length, Ratio};

/// A brush, by the cells that it fills in a few strokes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Brush {
    /// A round one of size 3/0 or 2/0.
    Finest,
    /// A round one of size 0.
    Fine,
    /// A round one of size 1.
    Small,
    /// A round one of size 2 to 4.
    Middle,
    /// A flat one of 1/4 in.
    Flat,
    /// A flat one of 1/2 in.
    Wide,
}

impl Brush {
    /// Chooses for a pitch (common practice).
    pub fn for_pitch(pitch: Ratio) -> Self {
        let most = [
            (Length::inches(1, 8), Self::Finest),
            (Length::inches(3, 16), Self::Fine),
            (Length::inches(1, 4), Self::Small),
            (Length::inches(3, 8), Self::Middle),
            (Length::INCH, Self::Flat),
        ];
        let found = most.into_iter().find(|(side, _)| pitch <= side.ratio());
        found.map_or(Self::Wide, |(_, brush)| brush)
    }
}
