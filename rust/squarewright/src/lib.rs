//! From a picture to printed sheets for a hand-painted, hand-cut panel.
//!
//! The rooms stand in pipeline order; each may use the rooms before it and none after it.
//! The crate reads no file, no clock and no environment: bytes in, bytes out.

pub mod fault;

pub mod length;

pub mod colour;

pub mod picture;

pub mod palette;

pub mod grid;

pub mod panel;

pub mod paint;

pub mod outline;

pub mod cut;

pub mod plan;

pub mod wall;

pub mod sheet;

pub mod output;
