//! From the bytes of a picture file to upright 8-bit pixels, or to a fault that says what the bytes are.
//!
//! | step | file | asks |
//! |---|---|---|
//! | [`limits`] | `limits.rs` | is it small enough to open? |
//! | sniffing | `sniff.rs`, `text.rs` | what are these bytes? |
//! | surveying | `header.rs`, `jpeg.rs`, `chunks.rs` | what does the header promise, and does the file end as it should? |
//! | decoding | `decode.rs`, `png.rs`, `source.rs` | which pixels? |
//! | evening out | `spread.rs` | red, green, blue and opacity of 8 bits each, the right way up |
//!
//! Everything that a header can give away is checked before memory for pixels is taken, and decoders run
//! behind a guard: whatever the bytes, the answer is a [`Picture`] or an [`Error`](crate::fault::Error).

mod chunks;
mod damage;
mod decode;
mod header;
mod jpeg;
pub mod limits;
mod note;
mod png;
mod raster;
mod shrink;
mod sniff;
mod source;
mod spread;
mod text;

pub use decode::decode;
pub use jpeg::{JpegComponent, JpegFacts};
pub use note::Note;
pub use raster::Picture;
pub use shrink::{Shrinker, Shrunk, Window, shrink};
