//! Plain sentences, for pages and for callers alike.

mod cuts;
mod spots;

pub use cuts::{remark, sentence};
pub(super) use cuts::{shown, unnumbered};
pub use spots::{Speech, place};
