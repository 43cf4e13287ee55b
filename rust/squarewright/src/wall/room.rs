//! A wall on which figures are to hang: its size, what of it is taken, and how far figures keep apart.
//!
//! All is measured from the top-left corner of the wall, to the right and down.

use serde::{Deserialize, Serialize};

use crate::fault::{Error, Result};
use crate::length::{Area, Length, Place, Ruler, System};

/// A part of the wall that is not free: a door, a switch, a shelf.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Taken {
    /// What is there.
    pub name: String,
    /// From the left edge of the wall to its left side.
    pub x: Length,
    /// From the top edge of the wall to its top side.
    pub y: Length,
    /// Its width.
    pub width: Length,
    /// Its height.
    pub height: Length,
}

impl Taken {
    /// Gives the rectangle on the wall.
    pub fn area(&self) -> Area {
        Area::new(Place::new(self.x, self.y), self.width, self.height)
    }
}

/// A wall.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Room {
    /// Its width.
    pub width: Length,
    /// Its height.
    pub height: Length,
    /// What of it is taken.
    pub taken: Vec<Taken>,
    /// How far figures keep from one another, from taken places and from the edges of the wall.
    pub gap: Length,
    /// Places are whole steps from the corner, which a ruler finds.
    pub step: Length,
    /// From the top of the wall down to the height at which eyes look.
    pub eye: Length,
}

/// The middle of pictures at the eyes of people who stand, above the floor (common practice).
const EYE_INCHES: Length = Length::inches(57, 1);
const EYE_METRIC: Length = Length::hundredths_mm(145_000);
/// A wall as high as a door and its frame goes down to the floor (common practice); a lower one is a free part of one.
const DOWN_TO_FLOOR: Length = Length::inches(84, 1);

impl Room {
    /// Makes a wall on which all is free, with what is usual for a ruler: 2 in or 50 mm between figures (2 to 4 in,
    /// common practice), places by half inches or centimetres.
    ///
    /// The eye looks at 57 in or 145 cm above the lower edge of a wall of 84 in or more, and at the middle of a
    /// lower one.
    ///
    /// # Errors
    /// [`Error::Length`] when the width or the height is not above zero.
    pub fn new(width: Length, height: Length, ruler: Ruler) -> Result<Self> {
        let (width, height) = (width.positive("wall width")?, height.positive("wall height")?);
        let (gap, step, eye) = match ruler.system() {
            System::Inch => (Length::inches(2, 1), Length::inches(1, 2), EYE_INCHES),
            System::Metric => (Length::MM * 50, Length::MM * 10, EYE_METRIC),
        };
        let eye = if height >= DOWN_TO_FLOOR { height - eye } else { height.half() };
        Ok(Self { width, height, taken: Vec::new(), gap, step, eye })
    }

    /// Gives the whole wall.
    pub fn area(&self) -> Area {
        Area::new(Place::default(), self.width, self.height)
    }

    /// Checks that all of it can be worked with.
    pub(super) fn check(&self) -> Result<()> {
        self.width.positive("wall width")?;
        self.height.positive("wall height")?;
        self.gap.not_negative("gap")?;
        self.step.positive("step")?;
        for taken in &self.taken {
            taken.width.positive("width of a taken place")?;
            taken.height.positive("height of a taken place")?;
            if !self.area().contains(taken.area()) {
                return Err(Error::Placing {
                    what: format!("the taken place {} goes beyond the wall", taken.name),
                    remedy: format!(
                        "Measure it from the top-left corner of the wall, which is {} wide and {} high.",
                        self.width, self.height
                    ),
                });
            }
        }
        Ok(())
    }
}
