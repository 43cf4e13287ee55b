//! What the sheets say, without their layout: for a page that reflows.

use super::book::written;
use super::page::Leaf;
use super::press::Press;
use super::table::Entry;
use crate::plan::Plan;

/// A piece of what a sheet says.
#[derive(Debug, Clone, PartialEq)]
pub enum Told {
    /// A heading.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// A remark in small type.
    Note(String),
    /// A paragraph with a sign before it: a number, a dot, or `!` for a caution.
    Item {
        /// The sign.
        sign: String,
        /// The words.
        words: String,
    },
    /// A paragraph behind a box to tick.
    Ticked(String),
    /// Labels and what stands beside them.
    Facts(Vec<(String, String)>),
    /// A table.
    Table {
        /// The head of each column, and whether its words stand at the right.
        heads: Vec<(String, bool)>,
        /// The rows.
        rows: Vec<Vec<Entry>>,
    },
}

impl Told {
    /// Makes a paragraph with a sign before it.
    pub(super) fn item(sign: &str, words: &str) -> Self {
        Self::Item { sign: sign.to_owned(), words: words.to_owned() }
    }

    /// Tells whether it says something without a drawing beside it.
    fn is_solid(&self) -> bool {
        !matches!(self, Self::Heading(_) | Self::Paragraph(_) | Self::Note(_))
    }
}

/// What the sheets of one title say.
#[derive(Debug, Clone, PartialEq)]
pub struct Chapter {
    /// Their title.
    pub title: String,
    /// What they say, in order.
    pub told: Vec<Told>,
}

/// Gives what the sheets of a plan say, title by title. A sheet that only explains its drawing is left out.
pub fn chapters(press: &Press, plan: &Plan) -> Vec<Chapter> {
    gathered(written(press, plan))
}

/// Gathers what leaves say, title by title.
pub(super) fn gathered(leaves: Vec<Leaf>) -> Vec<Chapter> {
    let mut chapters: Vec<Chapter> = Vec::new();
    for Leaf { title, told, .. } in leaves {
        match chapters.iter_mut().find(|chapter| chapter.title == title) {
            Some(chapter) => chapter.told.extend(told),
            None => chapters.push(Chapter { title, told }),
        }
    }
    chapters.retain(|chapter| chapter.told.iter().any(Told::is_solid));
    chapters
}
