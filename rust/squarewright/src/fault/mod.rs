//! What can go wrong, and how a caller watches or stops long work.

mod error;
mod watch;

pub use error::{Disguise, Error, PictureFault, Result};
pub use watch::{Unwatched, Watch};
