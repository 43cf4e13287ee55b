//! Shapes: the boundaries of figure and colours, and where the figure hangs together badly.

mod balance;
mod border;
mod edges;
mod offset;
mod trace;
mod weak;

pub use balance::{Point, centroid, hook};
pub use border::outline_cells;
pub use edges::{EdgeColour, edges};
pub use offset::{Contour, Corners, enclosed_mm2, grown, shrunk};
pub use trace::{Arc, Corner, Heading, Outline, Ring, Run, trace, trace_labels};
pub use weak::{corner_joints, islands};
