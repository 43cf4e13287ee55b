//! Shapes: the boundaries of figure and colours, where the figure hangs together badly, and what helps.

mod balance;
mod body;
mod border;
mod bridge;
mod crossing;
mod edges;
mod fill;
mod inks;
mod limits;
mod lines;
mod neck;
mod offset;
mod remedy;
mod sever;
mod slot;
mod strengthen;
mod thicken;
mod trace;
mod walk;
mod weak;

pub use balance::{Point, centroid, hook, pair};
pub use body::bodies;
pub use border::outline_cells;
pub use crossing::{placed, seam_costs, seamed};
pub use edges::{EdgeColour, edges};
pub use inks::Inks;
pub use limits::Limits;
pub use lines::{GridLine, GridLines, Marking};
pub use offset::{Contour, Corners, enclosed_mm2, grown, shrunk};
pub use remedy::{Cure, Remedy, remedies};
pub use strengthen::{Choice, Strengthened, strengthened};
pub use trace::{Arc, Corner, Heading, Outline, Ring, Run, trace, trace_labels};
pub use walk::{Walk, walk};
pub use weak::{Neck, Severity, WeakSpot, WeakSpots, Weakness, corner_joints, islands, weak_spots};
