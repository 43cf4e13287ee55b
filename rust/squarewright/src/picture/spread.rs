//! Evens out the pixels of any file to four bytes each, within the buffer they were decoded into.

use image::metadata::Orientation;
use image::{DynamicImage, RgbaImage};

/// Pixels that are converted at a time: their originals fit in the fastest memory.
const BLOCK: usize = 2048;

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
    buffer: Vec<u8>,
}

impl Sheet {
    /// Takes the memory for a picture whose size is already known to be allowed.
    pub(super) fn new(width: u32, height: u32, layout: Layout) -> Self {
        let pixels = width as usize * height as usize;
        Self { width, height, layout, buffer: vec![0; pixels * layout.bytes().max(4)] }
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
        self.buffer.truncate(pixels * 4);
        self.buffer.shrink_to_fit();
        RgbaSheet { width: self.width, height: self.height, pixels: self.buffer }
    }
}

/// Pixels of four bytes, not yet turned upright.
#[derive(Debug)]
pub(super) struct RgbaSheet {
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) pixels: Vec<u8>,
}

impl RgbaSheet {
    /// Turns the picture the way the camera was held (orientation tag of Exif, CIPA DC-008).
    pub(super) fn upright(self, orientation: Orientation) -> Self {
        if orientation == Orientation::NoTransforms {
            return self;
        }
        let Some(image) = RgbaImage::from_raw(self.width, self.height, self.pixels) else {
            unreachable!("a sheet holds four bytes for each of its pixels");
        };
        let mut image = DynamicImage::ImageRgba8(image);
        image.apply_orientation(orientation);
        Self { width: image.width(), height: image.height(), pixels: image.into_bytes() }
    }
}

/// Adds full opacity to pixels of three bytes.
pub(super) fn opaque(rgb: &[u8]) -> Vec<u8> {
    rgb.as_chunks::<3>().0.iter().flat_map(|&[red, green, blue]| [red, green, blue, u8::MAX]).collect()
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
