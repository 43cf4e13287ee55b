//! What can go wrong, and how a caller watches or stops long work.

mod error;
mod stock;
mod watch;

pub use error::{Disguise, Error, PictureFault, Result};
pub use stock::StockFault;
pub use watch::{Part, Unwatched, Watch};
