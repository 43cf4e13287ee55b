//! What the maker knows about the cells beforehand.

use super::view::View;
use crate::fault::{Error, Result};
use crate::grid::Grid;
use crate::picture::limits::SIDE;

/// How far a pitch may be from what was hinted, as a share.
const SLACK: f64 = 0.08;

/// A number of cells, or their size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hint {
    /// How many columns and rows the figure has.
    Cells {
        /// Across.
        columns: usize,
        /// Down.
        rows: usize,
    },
    /// How many pixels wide and high a cell is, about.
    Pitch(f64),
}

/// The least and the most pitch of one axis.
pub(super) type Range = (f64, f64);

impl Hint {
    /// Refuses what cannot be.
    pub(super) fn check(self) -> Result<()> {
        let (is_good, got) = match self {
            Self::Cells { columns, rows } => {
                let good = |count: usize| (1..=Grid::SIDE).contains(&count);
                (good(columns) && good(rows), format!("({columns}, {rows})"))
            }
            Self::Pitch(pitch) => ((1.0..=f64::from(SIDE)).contains(&pitch), pitch.to_string()),
        };
        let cells = "(columns, rows) of 1 to 512 each";
        let must = format!("{cells}, or the pixels of a cell as a number of 1 to {SIDE}");
        if is_good { Ok(()) } else { Err(Error::Argument { name: "hint", must, got }) }
    }

    /// Gives the pitches that agree, across and down: a number of cells may mean the content alone or the
    /// whole picture.
    pub(super) fn pitches(self, view: &View<'_>) -> (Range, Range) {
        let range = |inner: usize, whole: usize, count: usize| {
            (inner as f64 / count as f64 * (1.0 - SLACK), whole as f64 / count as f64 * (1.0 + SLACK))
        };
        match self {
            Self::Cells { columns, rows } => (
                range(view.content.width(), view.field.width, columns),
                range(view.content.height(), view.field.height, rows),
            ),
            Self::Pitch(pitch) => {
                let range = (pitch * (1.0 - SLACK), pitch * (1.0 + SLACK));
                (range, range)
            }
        }
    }

    /// Says the same of a picture that was made smaller.
    pub(super) fn reduced(self, factor: f64) -> Self {
        match self {
            Self::Cells { .. } => self,
            Self::Pitch(pitch) => Self::Pitch(pitch / factor),
        }
    }

    /// Says whether a pitch agrees.
    pub(super) fn allows(self, pitch: (f64, f64), view: &View<'_>) -> bool {
        let (x, y) = self.pitches(view);
        (x.0..=x.1).contains(&pitch.0) && (y.0..=y.1).contains(&pitch.1)
    }
}
