//! Evens out the pixels of any file to four bytes each, within the buffer they were decoded into.

use image::metadata::Orientation;

use super::memory::Memory;

/// Pixels that are converted at a time: their originals fit in the fastest memory.
const BLOCK: usize = 2048;

/// The side, in pixels, of the squares that are turned at a time.
const TILE: usize = 32;

/// How a decoder lays out one pixel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Layout {
    /// Grey.
    Grey,
    /// Grey and opacity.
    GreyAlpha,
    /// Red, green and blue.
    Rgb,
    /// Red, green, blue and opacity.
    Rgba,
    /// The same four with 16 bits a sample, high byte first.
    Grey16,
    /// See [`Layout::Grey16`].
    GreyAlpha16,
    /// See [`Layout::Grey16`].
    Rgb16,
    /// See [`Layout::Grey16`].
    Rgba16,
}

impl Layout {
    /// Gives the bytes of one pixel.
    pub(super) fn bytes(self) -> usize {
        match self {
            Self::Grey => 1,
            Self::GreyAlpha | Self::Grey16 => 2,
            Self::Rgb => 3,
            Self::Rgba | Self::GreyAlpha16 => 4,
            Self::Rgb16 => 6,
            Self::Rgba16 => 8,
        }
    }
}

/// Decoded pixels at the front of a buffer that also has room for the same pixels at four bytes each.
#[derive(Debug)]
pub(super) struct Sheet {
    pub(super) width: u32,
    pub(super) height: u32,
    layout: Layout,
    buffer: Memory,
}

impl Sheet {
    /// Takes the memory for a picture whose size is already known to be allowed.
    pub(super) fn new(width: u32, height: u32, layout: Layout) -> Self {
        let pixels = width as usize * height as usize;
        let buffer = match layout.bytes() {
            // is cut to four when it has been converted
            wide @ 5.. => vec![0; pixels * wide].into(),
            _ => Memory::zeroed(pixels * 4),
        };
        Self { width, height, layout, buffer }
    }

    /// Gives the part of the buffer that a decoder fills.
    pub(super) fn decoded(&mut self) -> &mut [u8] {
        let length = self.width as usize * self.height as usize * self.layout.bytes();
        &mut self.buffer[..length]
    }

    /// Converts in place to red, green, blue and opacity.
    pub(super) fn into_rgba(mut self) -> RgbaSheet {
        let pixels = self.width as usize * self.height as usize;
        let (buffer, step) = (&mut self.buffer, self.layout.bytes());
        match self.layout {
            Layout::Grey => convert(buffer, pixels, step, |p| [p[0], p[0], p[0], u8::MAX]),
            Layout::GreyAlpha => convert(buffer, pixels, step, |p| [p[0], p[0], p[0], p[1]]),
            Layout::Rgb => convert(buffer, pixels, step, |p| [p[0], p[1], p[2], u8::MAX]),
            Layout::Rgba => {}
            Layout::Grey16 => convert(buffer, pixels, step, |p| {
                let grey = narrow(p, 0);
                [grey, grey, grey, u8::MAX]
            }),
            Layout::GreyAlpha16 => convert(buffer, pixels, step, |p| {
                let grey = narrow(p, 0);
                [grey, grey, grey, narrow(p, 1)]
            }),
            Layout::Rgb16 => {
                convert(buffer, pixels, step, |p| [narrow(p, 0), narrow(p, 1), narrow(p, 2), u8::MAX]);
            }
            Layout::Rgba16 => {
                convert(buffer, pixels, step, |p| [narrow(p, 0), narrow(p, 1), narrow(p, 2), narrow(p, 3)]);
            }
        }
        self.buffer.cut(pixels * 4);
        RgbaSheet { width: self.width, height: self.height, pixels: self.buffer }
    }
}

/// Pixels of four bytes, not yet turned upright.
#[derive(Debug)]
pub(super) struct RgbaSheet {
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) pixels: Memory,
}

impl RgbaSheet {
    /// Turns the picture the way the camera was held (orientation tag of Exif, CIPA DC-008).
    pub(super) fn upright(self, orientation: Orientation) -> Self {
        let (line, end) = (self.width as usize, self.width as usize * self.height as usize);
        let back = usize::wrapping_neg;
        // The pixel that comes first, and how many pixels on those lie that stand right of it and below.
        let (first, [right, down], on_its_side) = match orientation {
            Orientation::NoTransforms => return self,
            Orientation::FlipHorizontal => (line - 1, [back(1), line], false),
            Orientation::FlipVertical => (end - line, [1, back(line)], false),
            Orientation::Rotate180 => (end - 1, [back(1), back(line)], false),
            Orientation::Rotate90 => (end - line, [back(line), 1], true),
            Orientation::Rotate270 => (line - 1, [line, back(1)], true),
            Orientation::Rotate90FlipH => (0, [line, 1], true),
            Orientation::Rotate270FlipH => (end - 1, [back(line), back(1)], true),
        };
        let (width, height) = if on_its_side { (self.height, self.width) } else { (self.width, self.height) };
        let mut pixels = Memory::zeroed(self.pixels.len());
        turn(self.pixels.as_chunks().0, pixels.as_chunks_mut().0, width as usize, |x, y| {
            first.wrapping_add(x.wrapping_mul(right)).wrapping_add(y.wrapping_mul(down))
        });
        Self { width, height, pixels }
    }
}

/// Fills rows of `width` pixels with those that `origin` names for a column and a row, square by square: rows
/// become columns, and what memory hands over of a column is used before it is gone.
fn turn(from: &[[u8; 4]], to: &mut [[u8; 4]], width: usize, origin: impl Fn(usize, usize) -> usize) {
    let height = to.len() / width;
    for top in (0..height).step_by(TILE) {
        for left in (0..width).step_by(TILE) {
            for y in top..height.min(top + TILE) {
                let row = &mut to[y * width..][left..width.min(left + TILE)];
                row.iter_mut().zip(left..).for_each(|(pixel, x)| *pixel = from[origin(x, y)]);
            }
        }
    }
}

/// Adds full opacity to pixels of three bytes.
pub(super) fn opaque(rgb: &[u8]) -> Memory {
    let mut rgba = Memory::zeroed(rgb.len() / 3 * 4);
    for (out, &[red, green, blue]) in rgba.as_chunks_mut().0.iter_mut().zip(rgb.as_chunks::<3>().0) {
        *out = [red, green, blue, u8::MAX];
    }
    rgba
}

/// Rewrites `pixels` pixels of `step` bytes at the front of `buffer` as pixels of four bytes.
///
/// Pixels that grow are taken from the end, pixels that shrink from the front, so that none is overwritten
/// before it was read; within a block the originals are set aside.
fn convert(buffer: &mut [u8], pixels: usize, step: usize, to_rgba: impl Fn(&[u8]) -> [u8; 4]) {
    let mut aside = vec![0; BLOCK * step];
    let blocks = pixels.div_ceil(BLOCK);
    for turn in 0..blocks {
        let block = if step < 4 { blocks - 1 - turn } else { turn };
        let (start, end) = (block * BLOCK, pixels.min((block + 1) * BLOCK));
        let aside = &mut aside[..(end - start) * step];
        aside.copy_from_slice(&buffer[start * step..end * step]);
        let out = buffer[start * 4..end * 4].as_chunks_mut::<4>().0;
        for (out, pixel) in out.iter_mut().zip(aside.chunks_exact(step)) {
            *out = to_rgba(pixel);
        }
    }
}

/// Scales the 16-bit sample at `index` to 8 bits, rounded to the nearest: 65535 is 255 times 257.
#[expect(clippy::cast_possible_truncation, reason = "(65535 + 128) / 257 is 255")]
fn narrow(pixel: &[u8], index: usize) -> u8 {
    let sample = u32::from(u16::from_be_bytes([pixel[index * 2], pixel[index * 2 + 1]]));
    ((sample + 128) / 257) as u8
}

#[cfg(test)]
mod tests {
    use image::{DynamicImage, RgbaImage};

    use super::*;

    /// The reference is the `image` crate, which turns pixel by pixel.
    #[test]
    fn pictures_of_any_shape_are_turned_as_by_the_image_crate() {
        for (width, height) in [(1, 1), (1, 40), (32, 32), (33, 65), (100, 31), (64, 15)] {
            let bytes: Vec<u8> = (0..width * height).flat_map(|pixel: u32| pixel.to_be_bytes()).collect();
            for exif in 1..=8 {
                let orientation = Orientation::from_exif(exif).unwrap();
                let sheet = RgbaSheet { width, height, pixels: bytes.clone().into() };
                let mut image =
                    DynamicImage::ImageRgba8(RgbaImage::from_raw(width, height, bytes.clone()).unwrap());
                image.apply_orientation(orientation);
                let turned = sheet.upright(orientation);
                assert_eq!((turned.width, turned.height), (image.width(), image.height()), "{orientation:?}");
                assert_eq!(&*turned.pixels, image.as_bytes(), "{width} × {height}, {orientation:?}");
            }
        }
    }
}
