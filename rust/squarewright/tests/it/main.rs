//! What each room promises, checked from outside the crate.

mod colour;
