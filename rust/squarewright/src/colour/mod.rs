//! One colour at a time: spaces, difference, ink that stays readable on it, and what people call it.
//!
//! | question | use |
//! |---|---|
//! | how different do two colours look? | [`ciede2000`] on [`Lab`] |
//! | which colours are neighbours in a mixture of hues? | distance in [`Oklab`] |
//! | black or white ink on it? | [`Rgb::ink`] |

mod difference;
mod lab;
mod name;
mod points;
mod srgb;

pub use difference::ciede2000;
pub use lab::{Lab, Oklab};
pub use name::{Family, family};
pub use srgb::{Rgb, contrast};
