//! The grid of cells, its counts and edits, and the door for pixel art: [`recover()`].

mod edit;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod grid;
pub(crate) mod patch;
mod pixelate;
mod recover;
mod tally;

pub use grid::{Cell, Grid};
pub use patch::{Patch, patches};
pub use pixelate::{Brushwork, Figure, Layout, Pixelating, pixelate, pixelate_shrunk};
pub use recover::{Background, Hint, Kind, Reading, Recovering, Recovery, Region, Warning, recover};
pub use tally::{Tally, tally};
