//! A few colours: which they are, what they are called, which are so near that they can be one.

mod alike;
mod code;
mod merge;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod palette;
mod ramp;

pub use alike::{Alike, alike};
pub use code::codes;
pub use merge::{Merge, merges};
pub use palette::Palette;
pub use ramp::{Ramp, names, ramps};
