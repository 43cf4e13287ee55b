//! The hand that works on the board: it decides from which side to sweep and which way to pull.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::fault::{Error, Result};

/// The hand that holds brush and knife.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Hand {
    /// Sweeps from left to right, so that the hand rests on what is not painted yet.
    #[default]
    Right,
    /// Sweeps from right to left.
    Left,
}

impl FromStr for Hand {
    type Err = Error;

    /// Reads `right` or `left`.
    fn from_str(text: &str) -> Result<Self> {
        match text {
            "right" => Ok(Self::Right),
            "left" => Ok(Self::Left),
            _ => {
                let must = "\"right\" or \"left\"".into();
                Err(Error::Argument { name: "hand", must, got: format!("{text:?}") })
            }
        }
    }
}
