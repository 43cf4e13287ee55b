//! From which size on a part of the figure, or of its waste, counts as weak.

use serde::{Deserialize, Serialize};

use crate::fault::{Error, Result};
use crate::length::{Length, Ratio};
use crate::panel::Fit;

/// The thresholds of weak spots. All but the pitch have defaults that are judgement, not measurement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Limits {
    /// The side of a cell.
    pub pitch: Ratio,
    /// How thick the board is: what is narrower than that is weak.
    pub thickness: Length,
    /// A neck of one cell is severe when it is narrower than this…
    pub severe_width: Length,
    /// … or bears more than this many times the square of its width, in cells.
    pub severe_load: usize,
    /// A neck below this width is weak…
    pub caution_width: Length,
    /// … when it bears more than this many times the square of its width, in cells.
    pub caution_load: usize,
    /// A thin part that stands out is weak when it reaches further than this many times its width.
    pub slender: usize,
    /// Waste narrower than this, or than the board is thick, is hard on the blade.
    pub slot: Length,
    /// A hole narrower than this is better painted than cut.
    pub pinhole: Length,
}

/// More cells than this across a thin part are never looked at: none of the lengths asks for them at a pitch
/// that a brush can paint.
const WIDEST: usize = 12;

impl Limits {
    /// The board is a quarter of an inch thick when nobody says otherwise (common practice).
    pub const THICKNESS: Length = Length::inches(1, 4);

    /// Gives the defaults for a pitch.
    pub fn new(pitch: Ratio) -> Self {
        Self {
            pitch,
            thickness: Self::THICKNESS,
            severe_width: Length::inches(1, 4),
            severe_load: 9,
            caution_width: Length::inches(1, 2),
            caution_load: 36,
            slender: 3,
            slot: Length::inches(1, 8),
            pinhole: Length::hundredths_mm(1200),
        }
    }

    /// Gives the defaults for a figure on its boards.
    pub fn of(fit: &Fit) -> Self {
        let thickness = fit.panel.thickness().unwrap_or(Self::THICKNESS);
        Self { thickness, ..Self::new(fit.pitch) }
    }

    /// Passes lengths above zero.
    ///
    /// # Errors
    /// [`Error::Length`] when the pitch or the thickness is not above zero, or another length is negative.
    pub fn checked(self) -> Result<Self> {
        if !self.pitch.is_positive() {
            return Err(Error::Length { field: "pitch", got: self.pitch.to_string() });
        }
        self.thickness.positive("thickness")?;
        self.severe_width.not_negative("severe_width")?;
        self.caution_width.not_negative("caution_width")?;
        self.slot.not_negative("slot")?;
        self.pinhole.not_negative("pinhole")?;
        Ok(self)
    }

    /// Gives the length of a count of cells.
    pub fn span(&self, cells: usize) -> Ratio {
        self.pitch.times(cells)
    }

    /// Counts the cells that are as wide as a length: the fewest that are not narrower.
    pub(super) fn cells(&self, length: Length) -> usize {
        (1..WIDEST).find(|&cells| self.span(cells) >= length.ratio()).unwrap_or(WIDEST)
    }

    /// Gives the greatest width, in cells, at which a neck may be weak.
    pub(super) fn widest(&self) -> usize {
        let below = |length: Length| self.cells(length) - 1;
        below(self.caution_width).max(below(self.thickness)).max(2)
    }
}
