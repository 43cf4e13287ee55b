//! The colours of a grid.

use serde::{Deserialize, Serialize};

use crate::colour::Rgb;
use crate::fault::{Error, Result};

/// One to [`Palette::LIMIT`] different colours in a fixed order.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "Vec<Rgb>", into = "Vec<Rgb>")]
pub struct Palette(Vec<Rgb>);

impl Palette {
    /// The most colours that a grid may have.
    pub const LIMIT: usize = 64;

    /// Makes a palette.
    ///
    /// # Errors
    /// [`Error::Colours`] when there are none or too many, [`Error::Grid`] when two are the same.
    pub fn new(colours: Vec<Rgb>) -> Result<Self> {
        if colours.is_empty() || colours.len() > Self::LIMIT {
            return Err(Error::Colours { got: colours.len(), limit: Self::LIMIT });
        }
        for (later, colour) in colours.iter().enumerate() {
            if let Some(earlier) = colours[..later].iter().position(|other| other == colour) {
                let what = format!("colours {earlier} and {later} of the palette are both {colour}");
                return Err(Error::Grid { what });
            }
        }
        Ok(Self(colours))
    }

    /// Gives the colours in order.
    pub fn colours(&self) -> &[Rgb] {
        &self.0
    }

    /// Counts the colours.
    #[expect(clippy::len_without_is_empty, reason = "a palette is never empty")]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Finds the place of a colour.
    pub fn position(&self, colour: Rgb) -> Option<usize> {
        self.0.iter().position(|&other| other == colour)
    }
}

impl TryFrom<Vec<Rgb>> for Palette {
    type Error = Error;
    fn try_from(colours: Vec<Rgb>) -> Result<Self> {
        Self::new(colours)
    }
}

impl From<Palette> for Vec<Rgb> {
    fn from(palette: Palette) -> Self {
        palette.0
    }
}
