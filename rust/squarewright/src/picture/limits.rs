//! How large a picture may be, and the checks that keep to it.
//!
//! The numbers are promises: they are documented, tested, and checked from the header alone.

use crate::fault::PictureFault;

/// Pixels in one picture, at most: 100 megapixels.
pub const PIXELS: u64 = 100_000_000;

/// Pixels along one side, at most.
pub const SIDE: u32 = 32_768;

/// Bytes of a picture file, at most: 256 MiB.
pub const FILE_BYTES: usize = 256 << 20;

/// Bytes of unpacked pixels as the file stores them, at most: 512 MiB.
pub const DECODED_BYTES: u64 = 512 << 20;

/// Bytes of a colour profile, at most: 4 MiB. Larger profiles are left packed.
pub const PROFILE_BYTES: usize = 4 << 20;

const MIB: u64 = 1 << 20;

/// Refuses a file of more bytes than [`FILE_BYTES`].
pub(super) fn check_file(bytes: usize) -> Result<(), PictureFault> {
    if bytes <= FILE_BYTES {
        return Ok(());
    }
    Err(PictureFault::TooBig {
        what: format!("a file of {} MiB", (bytes as u64).div_ceil(MIB)),
        limit: format!("{} MiB", FILE_BYTES as u64 / MIB),
    })
}

/// Refuses a picture without pixels, with a side above [`SIDE`] or with more pixels than [`PIXELS`].
///
/// # Errors
/// [`PictureFault::NoPixels`] and [`PictureFault::TooBig`].
pub fn check_size(width: u32, height: u32) -> Result<(), PictureFault> {
    let pixels = u64::from(width) * u64::from(height);
    if pixels == 0 {
        return Err(PictureFault::NoPixels);
    }
    if width <= SIDE && height <= SIDE && pixels <= PIXELS {
        return Ok(());
    }
    Err(PictureFault::TooBig {
        what: format!("{width} × {height} pixels ({} megapixels)", megapixels(pixels)),
        limit: format!("{} megapixels, {SIDE} pixels a side", PIXELS / 1_000_000),
    })
}

/// Refuses a picture that unpacks to more than [`DECODED_BYTES`].
pub(super) fn check_decoded(width: u32, height: u32, bytes_per_pixel: usize) -> Result<(), PictureFault> {
    let bytes = u64::from(width) * u64::from(height) * bytes_per_pixel as u64;
    if bytes <= DECODED_BYTES {
        return Ok(());
    }
    Err(PictureFault::TooBig {
        what: format!("{width} × {height} pixels, {} MiB unpacked", bytes.div_ceil(MIB)),
        limit: format!("{} MiB unpacked", DECODED_BYTES / MIB),
    })
}

/// Writes a pixel count in megapixels, rounded up to a tenth so that 1 pixel too many never reads as the limit.
fn megapixels(pixels: u64) -> String {
    let tenths = pixels.div_ceil(100_000);
    if tenths.is_multiple_of(10) {
        (tenths / 10).to_string()
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    }
}
