//! Shapes: the boundaries of figure and colours, where the figure hangs together badly, and what helps.

mod body;
mod bridge;
mod fill;
mod inks;
mod limits;
mod neck;
mod remedy;
mod sever;
mod slot;
mod strengthen;
mod thicken;
mod trace;
mod weak;

pub use body::bodies;
pub use inks::Inks;
pub use limits::Limits;
pub use remedy::{Cure, Remedy, remedies};
pub use strengthen::{Choice, Strengthened, strengthened};
pub use trace::{Arc, Corner, Heading, Outline, Ring, Run, trace, trace_labels};
pub use weak::{Neck, Severity, WeakSpot, WeakSpots, Weakness, corner_joints, islands, weak_spots};
