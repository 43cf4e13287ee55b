//! Type: the faces, how wide words are, where lines break.

use std::sync::LazyLock;

use ttf_parser::Face;

use super::draw::Text;
use crate::colour::Rgb;
use crate::length::{Length, Place};

/// A face of the book's type.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Font {
    /// For reading.
    Regular,
    /// For headings and codes.
    Bold,
}

impl Font {
    /// Both faces.
    pub const ALL: [Self; 2] = [Self::Regular, Self::Bold];

    /// Gives the font file: DejaVu Sans 2.37.
    pub fn data(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../../assets/DejaVuSans.ttf"),
            Self::Bold => include_bytes!("../../assets/DejaVuSans-Bold.ttf"),
        }
    }

    /// Gives the parsed face.
    ///
    /// # Panics
    /// Never: the font files are part of the crate.
    pub fn face(self) -> &'static Face<'static> {
        static REGULAR: LazyLock<Face<'static>> =
            LazyLock::new(|| Face::parse(Font::Regular.data(), 0).expect("the shipped font is valid"));
        static BOLD: LazyLock<Face<'static>> =
            LazyLock::new(|| Face::parse(Font::Bold.data(), 0).expect("the shipped font is valid"));
        match self {
            Self::Regular => &REGULAR,
            Self::Bold => &BOLD,
        }
    }

    /// Gives the width of a character in thousandths of the size.
    pub fn advance(self, character: char) -> i64 {
        let face = self.face();
        let glyph = face.glyph_index(character).unwrap_or_default();
        i64::from(face.glyph_hor_advance(glyph).unwrap_or(0)) * 1000 / i64::from(face.units_per_em())
    }

    /// Gives the width of words at a size.
    pub fn width(self, words: &str, size: Length) -> Length {
        let thousandths: i64 = words.chars().map(|character| self.advance(character)).sum();
        Length::from_units(size.units() * thousandths / 1000)
    }
}

/// The space at which no line is broken.
pub(super) const KEPT: &str = "\u{a0}";

/// What stands in a drawing: it has the room of a cell, and large print leaves it as it is.
pub(super) const CODE: Type = Type { font: Font::Regular, size: Length::from_units(Length::PT.units() * 8) };
/// The same, stressed.
pub(super) const CODE_BOLD: Type = Type { font: Font::Bold, ..CODE };

/// The typographic scale of the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// The name of a figure on its cover.
    Title,
    /// The head of a section.
    Heading,
    /// Instructions.
    Body,
    /// Tables.
    Table,
    /// The head of a table.
    TableHead,
    /// Notes and page feet.
    Small,
    /// The same, stressed.
    SmallBold,
}

impl Style {
    /// Gives the type, for reading at arm's length or larger.
    pub fn at_size(self, large: bool) -> Type {
        let (font, pt, large_pt) = match self {
            Self::Title => (Font::Bold, 22, 26),
            Self::Heading => (Font::Bold, 14, 20),
            Self::Body => (Font::Regular, 11, 16),
            Self::Table => (Font::Regular, 10, 14),
            Self::TableHead => (Font::Bold, 10, 14),
            Self::Small => (Font::Regular, 8, 12),
            Self::SmallBold => (Font::Bold, 8, 12),
        };
        Type { font, size: Length::PT * if large { large_pt } else { pt } }
    }
}

/// A face at a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Type {
    /// The face.
    pub font: Font,
    /// The size.
    pub size: Length,
}

impl Type {
    /// Gives the distance between two base lines.
    pub fn leading(self) -> Length {
        self.size + Length::from_units(self.size.units() * 2 / 5)
    }

    /// Gives the width of words.
    pub fn width(self, words: &str) -> Length {
        self.font.width(words, self.size)
    }

    /// Sets words with the left end of their base line at a place.
    pub fn at(self, at: Place, words: impl Into<String>, rgb: Rgb) -> Text {
        // A space that held words together has done its work once the lines are broken.
        Text { at, size: self.size, font: self.font, rgb, words: words.into().replace(KEPT, " ") }
    }

    /// Sets words with the middle of their base line at a place.
    pub fn centred(self, middle: Place, words: &str, rgb: Rgb) -> Text {
        self.at(middle.moved(-self.width(words).half(), Length::ZERO), words, rgb)
    }

    /// Sets words with the right end of their base line at a place.
    pub fn right(self, end: Place, words: &str, rgb: Rgb) -> Text {
        self.at(end.moved(-self.width(words), Length::ZERO), words, rgb)
    }

    /// Breaks words into lines that fit a width.
    pub fn wrap(self, words: &str, width: Length) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let mut line = String::new();
        for word in words.split(' ').filter(|word| !word.is_empty()) {
            let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
            if self.width(&longer) <= width || line.is_empty() {
                line = longer;
            } else {
                lines.push(std::mem::replace(&mut line, word.to_owned()));
            }
        }
        lines.push(line);
        lines.into_iter().map(|line| self.shortened(&line, width)).collect()
    }

    /// Shortens words that are too wide, with an ellipsis.
    pub fn shortened(self, words: &str, width: Length) -> String {
        if self.width(words) <= width {
            return words.to_owned();
        }
        let mut kept: String = words.to_owned();
        while kept.pop().is_some() {
            let shorter = format!("{}…", kept.trim_end());
            if self.width(&shorter) <= width {
                return shorter;
            }
        }
        String::new()
    }
}
