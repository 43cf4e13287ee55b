//! Plans become pages: one display list, one file per kind of sheet.

mod backing;
mod bars;
mod bench;
mod book;
mod buying;
mod chart;
mod colours;
mod contact;
mod cover;
mod cutting;
mod cutting_plan;
mod draw;
mod figure;
mod gluing;
mod hanging;
mod labels;
mod marks;
mod mixing;
mod page;
mod painting;
mod paper;
mod press;
mod sentence;
mod spots;
mod steps;
mod stretch;
mod strips;
mod swatches;
mod table;
mod template;
mod text;
mod tile;
mod tiled;
mod view;
mod words;

pub use book::{Pages, book, drawing, preview};
pub use contact::{
    ABREAST, Contact, MOST, Tile, Words, contact, remark as contact_remark, words as contact_words,
};
pub use draw::{Draw, Line, Page, Path, Text};
pub use paper::Paper;
pub use press::{Inking, Press};
pub use sentence::{Speech, place, remark, sentence};
pub use spots::marked;
pub use stretch::Stretch;
pub use text::{Font, Style, Type};
pub use view::{Eye, View};
pub use words::Language;
