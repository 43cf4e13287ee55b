//! Paper sizes.

use std::fmt;
use std::str::FromStr;

use crate::fault::{Error, Result};
use crate::length::Length;

/// The paper that a book is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Paper {
    /// 8 1/2 in × 11 in.
    #[default]
    Letter,
    /// 210 mm × 297 mm (ISO 216).
    A4,
}

impl Paper {
    /// Gives width and height, upright.
    pub fn size(self) -> (Length, Length) {
        match self {
            Self::Letter => (Length::inches(17, 2), Length::inches(11, 1)),
            Self::A4 => (Length::hundredths_mm(21_000), Length::hundredths_mm(29_700)),
        }
    }
}

impl FromStr for Paper {
    type Err = Error;

    /// Reads `letter` or `a4`.
    fn from_str(text: &str) -> Result<Self> {
        match text.trim().to_ascii_lowercase().as_str() {
            "letter" => Ok(Self::Letter),
            "a4" => Ok(Self::A4),
            _ => {
                let must = "\"letter\" or \"a4\"".into();
                Err(Error::Argument { name: "paper", must, got: format!("{text:?}") })
            }
        }
    }
}

impl fmt::Display for Paper {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Letter => "letter",
            Self::A4 => "a4",
        })
    }
}
