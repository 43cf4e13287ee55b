//! Exact lengths, the rulers they are measured with, and places on a plane.
//!
//! | value | what it is | use it for |
//! |---|---|---|
//! | [`Length`] | a whole count of units, 3,657,600 to the inch | boards, paper, everything drawn |
//! | [`Ratio`] | an exact fraction of units | a pitch such as 12 in ÷ 44 and the marks that follow from it |
//! | [`Ruler`] | what the maker measures with | rounding a mark once, and writing it as it is read |

mod fraction;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod length;
mod place;
mod ratio;
mod ruler;

pub use fraction::parse;
pub use length::Length;
pub use place::{Area, Place};
pub use ratio::Ratio;
pub use ruler::{Ruler, ScaleFace, System};
