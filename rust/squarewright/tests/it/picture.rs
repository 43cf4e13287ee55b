//! The picture room: every byte string is a picture with the right pixels or a fault with the right name.
//!
//! Inputs are made here from the standards: PNG after ISO/IEC 15948, JPEG after ITU-T T.81, GIF after the
//! `GIF89a` specification, WebP after RFC 9649, `OpenRaster` after its baseline draft, colour profiles after
//! ICC.1, orientation after CIPA DC-008.

mod broken;
mod chance;
mod document;
mod make;
mod packed;
mod pixels;
mod profile;
mod stranger;
mod upright;

use squarewright::fault::Unwatched;
use squarewright::picture::{Picture, decode};

fn read(bytes: &[u8]) -> Picture {
    decode(bytes, &Unwatched).expect("a good picture")
}

fn code(bytes: &[u8]) -> &'static str {
    decode(bytes, &Unwatched).expect_err("no picture").code()
}

fn words(bytes: &[u8]) -> String {
    decode(bytes, &Unwatched).expect_err("no picture").to_string()
}
