//! Plans become pages: one display list, one file per kind of sheet.

mod bars;
mod bench;
mod book;
mod buying;
mod chart;
mod colours;
mod cover;
mod cutting;
mod cutting_plan;
mod draw;
mod figure;
mod labels;
mod marks;
mod mixing;
mod page;
mod painting;
mod paper;
mod sentence;
mod spots;
mod strips;
mod swatches;
mod table;
mod template;
mod text;
mod tile;
mod words;

pub use book::{book, drawing, preview};
pub use draw::{Draw, Line, Page, Path, Text};
pub use paper::Paper;
pub use sentence::{Speech, place, remark, sentence};
pub use spots::marked;
pub use text::{Font, Style};
