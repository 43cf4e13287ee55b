//! The knife: coarse cuts, bays, strokes and their order, for a figure that is cut out.
//!
//! | cut | what it does | how it is chosen |
//! |---|---|---|
//! | hole | cuts a hole out while the sheet is stiff | every side, largest hole first |
//! | coarse | takes waste off from edge to edge, clear of the outline | hull edges that are worth it, in the order with the shortest total |
//! | bay | takes waste out of a hollow | shortest path over the corners of the hollow |
//! | stroke | cuts the outline | every straight run once, from its inside corner out |
//!
//! Coarse cuts and bays keep the clearance and run free of the grid lines on purpose: a straight cut that runs
//! along the outline has to be as true as the outline, one in the waste has not. What lies in the way is the
//! figure grown by the clearance, level and upright, in whole units.

mod backing;
mod bay;
mod board;
mod convex;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod cut;
mod estimate;
mod few;
mod joint;
mod order;
mod part;
mod setting;
mod stroke;
mod through;

pub use backing::{Backing, Card, Rim, mirrored};
pub use cut::{Cut, CutPlan, Edge, Ends, Kind, PanelCuts, Pull, Remark, Totals};
pub use estimate::Estimate;
pub use joint::Joints;
pub use order::plan_cuts;
pub use setting::Cutting;
