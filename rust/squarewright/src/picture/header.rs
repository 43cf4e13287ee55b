//! What the first bytes of a file promise: its size, read before any decoder is called.

use super::{Format, chunks};
use crate::fault::PictureFault;

/// Reads the width and height that the header states; nothing when the header is cut short or says neither.
///
/// JPEG and `OpenRaster` state their size further in: see [`super::jpeg`] and [`super::ora`].
pub(super) fn size(format: Format, bytes: &[u8]) -> Option<(u32, u32)> {
    match format {
        Format::Png => (bytes.get(12..16)? == b"IHDR").then_some(()).and_then(|()| {
            Some((u32::from_be_bytes(four(bytes, 16)?), u32::from_be_bytes(four(bytes, 20)?)))
        }),
        Format::Gif => Some((two(bytes, 6)?, two(bytes, 8)?)),
        Format::Bmp => bmp_size(bytes),
        Format::Webp => webp_size(bytes),
        Format::Jpeg | Format::Ora => None,
    }
}

/// Refuses a WebP that states, or a part of which states, more bytes than there are (RFC 9649, section 2.4).
pub(super) fn check_webp_length(bytes: &[u8]) -> Result<(), PictureFault> {
    let stated = four(bytes, 4).map_or(0, u32::from_le_bytes) as usize + 8;
    let inside = &bytes[..stated.min(bytes.len())];
    // some writers count the padding behind the last chunk and leave it out
    if stated <= bytes.len() + 1 && chunks::webp(inside).all(|chunk| chunk.is_whole) {
        Ok(())
    } else {
        Err(PictureFault::Truncated { percent: None })
    }
}

/// Reads the size from either of the two families of BMP header; a negative height means top row first.
fn bmp_size(bytes: &[u8]) -> Option<(u32, u32)> {
    if u32::from_le_bytes(four(bytes, 14)?) == 12 {
        return Some((two(bytes, 18)?, two(bytes, 20)?));
    }
    let width = i32::from_le_bytes(four(bytes, 18)?);
    let height = i32::from_le_bytes(four(bytes, 22)?);
    // a negative width has no meaning: the decoder says so
    Some((u32::try_from(width).ok()?, height.unsigned_abs()))
}

/// Reads the size from the first chunk of a WebP: canvas, lossless or lossy (RFC 9649, sections 2.5 to 2.7).
fn webp_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let first = chunks::webp(bytes).next()?;
    let body = first.body;
    match first.name {
        b"VP8X" => Some((three(body, 4)? + 1, three(body, 7)? + 1)),
        b"VP8L" => {
            let bits = u32::from_le_bytes(four(body, 1)?);
            Some(((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1))
        }
        b"VP8 " => Some((two(body, 6)? & 0x3FFF, two(body, 8)? & 0x3FFF)),
        _ => None,
    }
}

fn two(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from(u16::from_le_bytes([*bytes.get(at)?, *bytes.get(at + 1)?])))
}

fn three(bytes: &[u8], at: usize) -> Option<u32> {
    Some(two(bytes, at)? | u32::from(*bytes.get(at + 2)?) << 16)
}

fn four(bytes: &[u8], at: usize) -> Option<[u8; 4]> {
    bytes.get(at..)?.first_chunk().copied()
}
