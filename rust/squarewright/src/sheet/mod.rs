//! Plans become pages: one display list, one file per kind of sheet.

mod paper;

pub use paper::Paper;
