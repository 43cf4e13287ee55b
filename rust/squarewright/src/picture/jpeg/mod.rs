//! JPEG (ITU-T T.81): how it was compressed, whether all of it is there, and its pixels.
//!
//! Decoders paint what is missing grey, fill up what is damaged and say nothing. So the packed pixels are
//! walked through once more, without unpacking them, to see whether they keep to their own code.

mod bits;
mod block;
mod frame;
mod huffman;
mod segment;
mod survey;
mod unpack;
mod walk;

pub use survey::{JpegComponent, JpegFacts};
pub(super) use unpack::decode;
