//! The grid meets a board: which pitch, where each mark goes, how panels share a figure.

mod axis;
mod fit;
mod hand;
mod marks;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod panel;
mod pitch;
mod seam;

pub use fit::{Alternative, Fit, Fitting, Margins, Piece, Size, Why, fit};
pub use hand::Hand;
pub use marks::Mark;
pub use panel::Panel;
pub use pitch::Pitches;
pub use seam::{SeamCost, SeamCosts};
