//! What each room promises, checked from outside the crate.

mod border;
mod colour;
mod edit;
mod fuzzed;
mod golden;
mod length;
mod mounting;
mod nesting;
mod offset;
mod outline;
mod paint;
mod panel;
mod picture;
mod pixelate;
mod placing;
mod rooms;
mod seam;
mod symbol;
mod wall;
mod weak;
