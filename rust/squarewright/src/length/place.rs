//! Places and areas on a plane: x to the right, y down, from the top left.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Length;

/// A point on a page or a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Place {
    /// Distance from the left edge.
    pub x: Length,
    /// Distance from the top edge.
    pub y: Length,
}

impl Place {
    /// Makes the point at (`x`, `y`).
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    /// Gives the point moved right and down.
    #[must_use]
    pub fn moved(self, right: Length, down: Length) -> Self {
        Self::new(self.x + right, self.y + down)
    }
}

impl Serialize for Place {
    /// Writes the pair of `x` and `y`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        [self.x, self.y].serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Place {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        <(Length, Length)>::deserialize(deserializer).map(|(x, y)| Self { x, y })
    }
}

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize)]
pub struct Area {
    /// Its top-left corner.
    pub corner: Place,
    /// Its width.
    pub width: Length,
    /// Its height.
    pub height: Length,
}

impl Area {
    /// Makes the rectangle from its top-left corner and its size.
    pub const fn new(corner: Place, width: Length, height: Length) -> Self {
        Self { corner, width, height }
    }

    /// Gives the left edge.
    pub fn left(self) -> Length {
        self.corner.x
    }

    /// Gives the top edge.
    pub fn top(self) -> Length {
        self.corner.y
    }

    /// Gives the right edge.
    pub fn right(self) -> Length {
        self.corner.x + self.width
    }

    /// Gives the bottom edge.
    pub fn bottom(self) -> Length {
        self.corner.y + self.height
    }

    /// Gives the rectangle shrunk by `by` on every side.
    #[must_use]
    pub fn inset(self, by: Length) -> Self {
        Self::new(self.corner.moved(by, by), self.width - by * 2, self.height - by * 2)
    }

    /// Tells whether `other` lies wholly inside.
    pub fn contains(self, other: Self) -> bool {
        other.left() >= self.left()
            && other.right() <= self.right()
            && other.top() >= self.top()
            && other.bottom() <= self.bottom()
    }
}
