//! The grid of cells, its counts and edits, and its two doors: [`recover()`] for pixel art, [`pixelate()`]
//! for photos and drawings.

mod absorb;
mod edit;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod grid;
pub(crate) mod patch;
mod pixelate;
mod recover;
mod reshape;
mod runs;
mod tally;

pub use grid::{Cell, Grid};
pub use patch::{Patch, patches};
pub use pixelate::{
    Brushwork, Figure, Layout, Pixelated, Pixelating, Remark, Sizes, pixelate, pixelate_shrunk,
};
pub use recover::{Background, Hint, Kind, Reading, Recovering, Recovery, Region, Warning, recover};
pub use reshape::{Padding, Side};
pub use runs::Run;
pub use tally::{Tally, tally};
