//! What each brushwork means in numbers.
//!
//! The numbers were tuned together on nine photographs and drawings at four sizes: see `DEVELOPERS.md`.

use super::{Brushwork, Pixelating};

/// How cells become areas.
#[derive(Debug, Clone, Copy)]
pub(super) struct Brush {
    /// What a border between equal cells costs, in squared differences, when colours fit as usual.
    pub(super) calm: f32,
    /// The fewest cells of a patch.
    pub(super) least: usize,
    /// What one patch fewer is worth, in squared differences.
    pub(super) worth: f32,
    /// How much lightness counts when cells take their colours: a little more than in the standard difference
    /// keeps edges, which the eye follows by lightness.
    pub(super) light: f32,
    /// How much lightness counts when colours are chosen.
    pub(super) choice_light: f32,
    /// Whether colours are chosen again for the areas of a first try.
    pub(super) again: bool,
}

/// What a border costs with `calm` 1.
const CALM: f32 = 23.6;

impl Brush {
    pub(super) fn new(asked: &Pixelating) -> Self {
        let preset = match asked.brushwork {
            Brushwork::EveryCell => {
                Self { calm: 0.0, least: 1, worth: 0.0, light: 1.1, choice_light: 1.1, again: false }
            }
            Brushwork::Easy => {
                Self { calm: CALM, least: 2, worth: 2.0, light: 1.15, choice_light: 0.7, again: true }
            }
            Brushwork::Broad => {
                Self { calm: 30.0, least: 4, worth: 40.0, light: 1.2, choice_light: 0.8, again: false }
            }
        };
        #[expect(clippy::cast_possible_truncation, reason = "checked to be 0 to 100")]
        let calm = asked.calm.map_or(preset.calm, |calm| CALM * calm as f32);
        Self { calm, least: asked.smallest_patch.unwrap_or(preset.least), ..preset }
    }
}
