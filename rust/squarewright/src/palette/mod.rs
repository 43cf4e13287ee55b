//! A few colours: which they are, what they are called, which are so near that they can be one.

mod alike;
mod chance;
mod choose;
mod code;
mod merge;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod palette;
mod pool;
mod ramp;

pub(crate) use chance::Chance;

pub use alike::{Alike, alike};
pub use choose::{Choosing, choose, snap};
pub use code::codes;
pub use merge::{Merge, Merging, merges};
pub use palette::Palette;
pub use pool::Pool;
pub use ramp::{Ramp, Shade, names, ramps, shades};
