//! What the maker may choose about cutting.

use serde::{Deserialize, Serialize};

use crate::fault::{Error, Result};
use crate::length::Length;
use crate::panel::Hand;

/// What is asked of a cut plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Cutting {
    /// How far every coarse cut stays away from the outline.
    pub clearance: Length,
    /// The side of a square of waste that is just worth a straight cut of its own.
    pub smallest_piece: Length,
    /// How thick the board is, when that differs from what the panel says.
    pub thickness: Option<Length>,
    /// How deep one light cut goes.
    pub light_cut: Length,
    /// How far an edge of the blade cuts, all light cuts counted, before a fresh one is due.
    pub fresh_edge: Length,
    /// The hand that holds the knife.
    pub hand: Hand,
}

impl Default for Cutting {
    /// Gives a clearance of 1/8 in, pieces from 1 in × 1 in, light cuts of 1/16 in and a fresh edge every 20 ft
    /// (common practice).
    fn default() -> Self {
        Self {
            clearance: Length::inches(1, 8),
            smallest_piece: Length::INCH,
            thickness: None,
            light_cut: Length::inches(1, 16),
            fresh_edge: Length::inches(240, 1),
            hand: Hand::Right,
        }
    }
}

impl Cutting {
    /// A coarse cut nearer than this crushes the edge of the figure (common practice).
    pub const LEAST_CLEARANCE: Length = Length::inches(1, 16);
    /// No board that a knife goes through takes more light cuts.
    pub const MOST_LIGHT_CUTS: usize = 1000;

    /// Passes settings that a plan can be made by.
    ///
    /// # Errors
    /// [`Error::Length`] when a length is not above zero, [`Error::Argument`] when the clearance is below
    /// 1/16 in.
    pub fn checked(self) -> Result<Self> {
        self.smallest_piece.positive("smallest piece")?;
        self.light_cut.positive("light cut")?;
        self.fresh_edge.positive("fresh edge")?;
        self.thickness.map(|thickness| thickness.positive("thickness")).transpose()?;
        if self.clearance < Self::LEAST_CLEARANCE {
            let (must, got) = (format!("{} or more", Self::LEAST_CLEARANCE), self.clearance.to_string());
            return Err(Error::Argument { name: "clearance", must, got });
        }
        Ok(self)
    }

    /// Passes settings that a board of this thickness can be cut by.
    ///
    /// # Errors
    /// [`Error::Argument`] when more than [`Cutting::MOST_LIGHT_CUTS`] light cuts would go through it.
    pub(super) fn through(self, thickness: Option<Length>) -> Result<Self> {
        match thickness {
            Some(thickness) if self.light_cuts(thickness) > Self::MOST_LIGHT_CUTS => {
                let must = format!("a {}th of the thickness or more", Self::MOST_LIGHT_CUTS);
                let got = format!("{} for a board of {thickness}", self.light_cut);
                Err(Error::Argument { name: "light cut", must, got })
            }
            _ => Ok(self),
        }
    }

    /// Counts the light cuts through a board.
    pub fn light_cuts(&self, thickness: Length) -> usize {
        let (whole, depth) = (thickness.units(), self.light_cut.units());
        usize::try_from((whole + depth - 1) / depth).unwrap_or(usize::MAX).max(1)
    }
}
