//! Shapes: the boundaries of figure and colours, and where the figure hangs together badly.

mod border;
mod edges;
mod trace;
mod weak;

pub use border::outline_cells;
pub use edges::{EdgeColour, edges};
pub use trace::{Arc, Corner, Heading, Outline, Ring, Run, trace, trace_labels};
pub use weak::{corner_joints, islands};
