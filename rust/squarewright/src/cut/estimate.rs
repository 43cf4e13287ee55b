//! What nobody can know exactly: a likely figure between a low and a high one.

use serde::{Deserialize, Serialize};

use crate::fault::{Error, Result};

/// A likely figure and the range that is usual.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Estimate {
    /// The least that is usual.
    pub low: f64,
    /// What is reckoned with.
    pub likely: f64,
    /// The most that is usual.
    pub high: f64,
}

impl Estimate {
    /// Makes an estimate of the three figures in order.
    pub const fn new(low: f64, likely: f64, high: f64) -> Self {
        Self { low, likely, high }
    }

    /// Gives it so many times.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self::new(self.low * factor, self.likely * factor, self.high * factor)
    }

    /// Multiplies low with low and high with high.
    #[must_use]
    pub fn by(self, other: Self) -> Self {
        Self::new(self.low * other.low, self.likely * other.likely, self.high * other.high)
    }

    /// Adds low to low and high to high.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self::new(self.low + other.low, self.likely + other.likely, self.high + other.high)
    }

    /// Passes figures of zero or more that stand in order.
    ///
    /// # Errors
    /// [`Error::Argument`] for others.
    pub fn checked(self, name: &'static str) -> Result<Self> {
        let Self { low, likely, high } = self;
        if 0.0 <= low && low <= likely && likely <= high && high.is_finite() {
            return Ok(self);
        }
        let must = "a low, a likely and a high figure in this order, zero or more".into();
        Err(Error::Argument { name, must, got: format!("({low}, {likely}, {high})") })
    }
}
