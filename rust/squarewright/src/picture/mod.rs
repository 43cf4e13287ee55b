//! From the bytes of a picture file to upright 8-bit pixels, or to a fault that says what the bytes are.
//!
//! | step | file | asks |
//! |---|---|---|
//! | [`limits`] | `limits.rs` | is it small enough to open? |
//! | sniffing | `sniff.rs`, `text.rs`, `format.rs` | what are these bytes? |
//! | surveying | `header.rs`, `chunks.rs`, `jpeg/survey.rs` | what does the header promise, and does the file end as it should? |
//! | decoding | `decode.rs`, `source.rs`, `png.rs`, `jpeg/`, `ora.rs` | which pixels, and are they all there? |
//! | evening out | `spread.rs`, `memory.rs`, `profile.rs` | red, green, blue and opacity of 8 bits each, sRGB, the right way up |
//!
//! Everything that a header can give away is checked before memory for pixels is taken, and decoders run
//! behind a guard: whatever the bytes, the answer is a [`Picture`] or an [`Error`](crate::fault::Error).

mod chunks;
mod damage;
mod decode;
mod format;
mod header;
mod jpeg;
pub mod limits;
mod memory;
mod note;
mod ora;
mod png;
mod profile;
mod raster;
mod shrink;
mod sniff;
mod source;
mod spread;
mod text;

pub use decode::{decode, rescue};
pub use format::Format;
pub use jpeg::{JpegComponent, JpegFacts};
pub use note::Note;
pub use raster::Picture;
pub use shrink::{Shrinker, Shrunk, Window, shrink};
