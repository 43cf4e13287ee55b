//! What the maker may choose about nesting.

use serde::{Deserialize, Serialize};

use crate::cut::Cutting;
use crate::fault::{Error, Result};
use crate::length::Length;
use crate::panel::Panel;

/// What is asked of a nesting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Spacing {
    /// What stays free between two figures, measured level and upright.
    pub gap: Length,
    /// What stays free along the edges of the panel.
    pub margin: Length,
    /// Figures start at multiples of this from the left and the top edge.
    pub step: Length,
    /// Whether figures may be turned by quarter turns.
    pub turning: bool,
    /// Both sides of an off-cut that is worth keeping are this long or longer.
    pub smallest_offcut: Length,
    /// Where chance begins.
    pub seed: u64,
}

impl Default for Spacing {
    /// Gives a gap of twice the clearance of coarse cuts, no margin, steps of 1/8 in, and off-cuts from 2 in a
    /// side (common practice).
    fn default() -> Self {
        Self {
            gap: Cutting::default().clearance * 2,
            margin: Length::ZERO,
            step: Length::inches(1, 8),
            turning: true,
            smallest_offcut: Length::inches(2, 1),
            seed: 0,
        }
    }
}

impl Spacing {
    /// The most steps along the longer side of a panel.
    const STEPS: i64 = 2048;

    /// Passes settings that figures can be nested by.
    ///
    /// # Errors
    /// [`Error::Length`] when the gap or the margin is negative or another length is not above zero,
    /// [`Error::Argument`] when more than 2,048 steps go into a side of the panel.
    pub fn checked(self, panel: Panel) -> Result<Self> {
        self.gap.not_negative("gap")?;
        self.margin.not_negative("margin")?;
        self.step.positive("step")?;
        self.smallest_offcut.positive("smallest_offcut")?;
        let longer = panel.width().max(panel.height());
        if longer.units() / self.step.units() > Self::STEPS {
            let must = format!("a {}th of the panel's longer side ({longer}) or more", Self::STEPS);
            return Err(Error::Argument { name: "step", must, got: self.step.to_string() });
        }
        Ok(self)
    }
}
