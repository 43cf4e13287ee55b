//! Making up for a printer that shrinks or stretches.

use crate::fault::{Error, Result};
use crate::length::Length;

/// By how much each axis of a page is drawn larger, so that it comes out true.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    across: f64,
    down: f64,
}

impl Default for Stretch {
    fn default() -> Self {
        Self { across: 1.0, down: 1.0 }
    }
}

impl Stretch {
    /// What a printer may be off by: beyond that it fitted the page to other paper.
    const RANGE: std::ops::RangeInclusive<f64> = 0.9..=1.1;

    /// Works out the stretch from a bar as it should be and as it came out, across and down the page.
    ///
    /// # Errors
    /// [`Error::Argument`] when it comes to less than 0.90 or more than 1.10.
    pub fn of_bars(bar: Length, across: Length, down: Length) -> Result<Self> {
        let factor = |measured: Length| {
            let factor = bar.units() as f64 / measured.units() as f64;
            if measured > Length::ZERO && Self::RANGE.contains(&factor) {
                return Ok(factor);
            }
            let must = format!(
                "what the {bar} bar measures on paper, within a tenth of that; beyond it print again at 100 %, not fitted to the page"
            );
            Err(Error::Argument { name: "bars", must, got: measured.to_string() })
        };
        Ok(Self { across: factor(across)?, down: factor(down)? })
    }

    /// Gives the factors across and down.
    #[expect(clippy::cast_possible_truncation, reason = "a writer works in f32, exact to a millionth")]
    pub fn factors(self) -> (f32, f32) {
        (self.across as f32, self.down as f32)
    }

    /// Gives what is stretched to a width and a height.
    pub(super) fn before(self, width: Length, height: Length) -> (Length, Length) {
        #[expect(clippy::cast_possible_truncation, reason = "a page")]
        let shrunk =
            |length: Length, by: f64| Length::from_units((length.units() as f64 / by).round() as i64);
        (shrunk(width, self.across), shrunk(height, self.down))
    }
}
