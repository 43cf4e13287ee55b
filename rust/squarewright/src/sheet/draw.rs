//! The display list: what every writer draws, in the same order, at the same places.

use crate::colour::Rgb;
use crate::length::{Area, Length, Place};

use super::text::Font;

/// One mark on a page.
#[derive(Debug, Clone, PartialEq)]
pub enum Draw {
    /// A filled shape.
    Fill {
        /// Its outline; later lines cut holes (even-odd).
        path: Path,
        /// Its colour.
        rgb: Rgb,
    },
    /// A line of a given width.
    Stroke {
        /// Where it runs.
        path: Path,
        /// How wide it is.
        width: Length,
        /// Its colour.
        rgb: Rgb,
    },
    /// A line of text.
    Text(Text),
    /// The beginning of a named layer.
    Layer(&'static str),
    /// The end of the layer.
    EndLayer,
}

/// Straight lines, open or closed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Path(pub Vec<Line>);

/// A run of straight lines through places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The places in order.
    pub places: Vec<Place>,
    /// Whether the last is joined to the first.
    pub closed: bool,
}

/// A line of text whose place is final.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// The left end of its base line.
    pub at: Place,
    /// The size of the type.
    pub size: Length,
    /// The face.
    pub font: Font,
    /// Its colour.
    pub rgb: Rgb,
    /// The words.
    pub words: String,
}

/// A page of marks.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Its width.
    pub width: Length,
    /// Its height.
    pub height: Length,
    /// What the table of contents calls it.
    pub title: String,
    /// Its marks.
    pub draws: Vec<Draw>,
}

impl Path {
    /// Makes a rectangle.
    pub fn area(area: Area) -> Self {
        let (left, top, right, bottom) = (area.left(), area.top(), area.right(), area.bottom());
        let places = vec![
            Place::new(left, top),
            Place::new(right, top),
            Place::new(right, bottom),
            Place::new(left, bottom),
        ];
        Self(vec![Line { places, closed: true }])
    }

    /// Makes one straight line.
    pub fn line(from: Place, to: Place) -> Self {
        Self(vec![Line { places: vec![from, to], closed: false }])
    }
}

impl Draw {
    /// Changes its colour, if it has one.
    pub fn recolour(&mut self, change: impl Fn(Rgb) -> Rgb) {
        match self {
            Self::Fill { rgb, .. } | Self::Stroke { rgb, .. } | Self::Text(Text { rgb, .. }) => {
                *rgb = change(*rgb);
            }
            Self::Layer(_) | Self::EndLayer => {}
        }
    }

    /// Fills a rectangle.
    pub fn block(area: Area, rgb: Rgb) -> Self {
        Self::Fill { path: Path::area(area), rgb }
    }

    /// Draws along a path.
    pub fn stroke(path: Path, width: Length, rgb: Rgb) -> Self {
        Self::Stroke { path, width, rgb }
    }

    /// Draws round a rectangle.
    pub fn frame(area: Area, width: Length, rgb: Rgb) -> Self {
        Self::stroke(Path::area(area), width, rgb)
    }

    /// Draws a straight line.
    pub fn line(from: Place, to: Place, width: Length, rgb: Rgb) -> Self {
        Self::stroke(Path::line(from, to), width, rgb)
    }
}
