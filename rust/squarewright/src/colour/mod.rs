//! One colour at a time: what a pixel's code means, how far apart two colours look, what a colour is called.
//!
//! | asked | use | why |
//! |---|---|---|
//! | do two flat colours look alike? is this mix close enough? | [`ciede2000`] | the standard for small differences; slow |
//! | which colour is nearest, what do many colours have in common? | [`Oklab::distance`] | near enough to the eye, plain geometry, cheap in a loop |
//! | can one be read on the other? | [`contrast`] | the measure that readability rules are written in |
//! | what colour do two paints make? | [`Spectrum`] | paint takes light away wavelength by wavelength |
//! | what colour is seen from afar, or through a tint? | [`Rgb::mixed`] | light adds up in linear light only |
//!
//! A grey is exactly neutral in every space of this room, so a test for "no chroma" needs no slack.
//!
//! ```
//! use squarewright::colour::{Family, Ink, Rgb, family};
//!
//! let ochre: Rgb = "#cc7722".parse()?;
//! assert_eq!(family(ochre), Family::Orange);
//! assert_eq!(ochre.ink(), Ink::Black);
//! # Ok::<(), squarewright::fault::Error>(())
//! ```

mod contrast;
mod difference;
mod hex;
mod lab;
mod name;
mod oklab;
mod quick;
mod spectrum;
mod srgb;
mod vision;

pub use contrast::{Ink, contrast};
pub use difference::ciede2000;
pub use lab::{Lab, Xyz};
pub use name::{Family, family};
pub use oklab::Oklab;
pub use quick::Tone;
pub use spectrum::{BANDS, Spectrum};
pub use srgb::{Rgb, decode, encode};
pub use vision::Vision;
