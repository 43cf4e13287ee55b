//! Everything about one figure in one value: what to make, at which size, in which steps.

mod hanging;
mod hours;
mod json;
mod making;
mod marked;
mod mixes;
mod mounting;
mod painting;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod plan;
mod rate;
mod recoloured;
mod step;
mod summary;

pub use hanging::{Frame, Hanging};
pub use hours::{Hours, Minutes, Timed, Timing};
pub use making::{Ending, Making, Paints, Transfer};
pub use marked::Marked;
pub use mixes::{Bought, Mixes, Supply};
pub use mounting::{Edge, Mounting};
pub use painting::Painting;
pub use plan::{Door, Plan, Source, Warning};
pub use rate::{Rate, Rates};
pub use step::{Stage, Step};
pub use summary::{Bottles, Summary, Weak};
