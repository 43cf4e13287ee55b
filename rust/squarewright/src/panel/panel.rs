//! One physical board, as measured.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::fault::{Error, Result};
use crate::length::Length;

/// A board as the maker measured it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Panel {
    width: Length,
    height: Length,
    thickness: Option<Length>,
    diagonal: Option<Length>,
}

impl Panel {
    /// The longest side that is planned for: 5 m.
    const LONGEST: Length = Length::hundredths_mm(500_000);
    /// A corner that leans further than this is worth a warning.
    const SQUARE_ENOUGH: f64 = 1.5;

    /// Makes a panel of the given sides.
    ///
    /// # Errors
    /// [`Error::Length`] when a side is not above zero or is longer than 5 m.
    pub fn new(width: Length, height: Length) -> Result<Self> {
        for (side, field) in [(width, "panel width"), (height, "panel height")] {
            side.positive(field)?;
            if side > Self::LONGEST {
                return Err(Error::Length { field, got: format!("{side}, longer than {}", Self::LONGEST) });
            }
        }
        Ok(Self { width, height, thickness: None, diagonal: None })
    }

    /// Adds the thickness of the board.
    ///
    /// # Errors
    /// [`Error::Length`] when it is not above zero.
    pub fn with_thickness(self, thickness: Length) -> Result<Self> {
        Ok(Self { thickness: Some(thickness.positive("panel thickness")?), ..self })
    }

    /// Adds the diagonal from the start corner to the far corner.
    ///
    /// # Errors
    /// [`Error::Length`] when no board with these sides has such a diagonal within a twentieth.
    pub fn with_diagonal(self, diagonal: Length) -> Result<Self> {
        let square = libm::hypot(self.width.mm(), self.height.mm());
        if (diagonal.mm() - square).abs() > square / 20.0 {
            let got = format!("{diagonal}: a square {self} has {square:.1} mm, so measure again");
            return Err(Error::Length { field: "panel diagonal", got });
        }
        Ok(Self { diagonal: Some(diagonal), ..self })
    }

    /// Gives the width.
    pub fn width(self) -> Length {
        self.width
    }

    /// Gives the height.
    pub fn height(self) -> Length {
        self.height
    }

    /// Gives the thickness, if it was measured.
    pub fn thickness(self) -> Option<Length> {
        self.thickness
    }

    /// Gives the diagonal, if it was measured.
    pub fn diagonal(self) -> Option<Length> {
        self.diagonal
    }

    /// Gives how far the far corner leans sideways, in millimetres: 0 for a board that is square.
    ///
    /// From the cosine rule, d² = w² + h² + 2·w·lean for sides w and h.
    pub fn lean_mm(self) -> f64 {
        let square = |length: Length| length.mm() * length.mm();
        self.diagonal.map_or(0.0, |diagonal| {
            (square(diagonal) - square(self.width) - square(self.height)) / (2.0 * self.width.mm())
        })
    }

    /// Tells whether the measured diagonal shows a board that is out of square by more than 1.5 mm.
    pub fn is_out_of_square(self) -> bool {
        self.lean_mm().abs() > Self::SQUARE_ENOUGH
    }
}

impl fmt::Display for Panel {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} x {}", self.width, self.height)
    }
}
