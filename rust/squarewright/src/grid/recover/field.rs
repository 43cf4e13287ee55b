//! The values that are fitted: one plane a channel, as scalers and compressors work on them.

use crate::fault::{Result, Watch};
use crate::picture::Picture;

/// What full opacity weighs beside a colour channel.
pub(super) const OPACITY: f64 = 160.0;

/// The most lines that are looked at along one axis: more add time and nothing else.
const LINES: usize = 768;

/// A rectangle of pixels: left and top inside, right and bottom outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Rect {
    pub(super) left: usize,
    pub(super) top: usize,
    pub(super) right: usize,
    pub(super) bottom: usize,
}

impl Rect {
    pub(super) fn width(self) -> usize {
        self.right - self.left
    }

    pub(super) fn height(self) -> usize {
        self.bottom - self.top
    }
}

/// Planes of stored (gamma) values: red, green, blue, and opacity with colours premultiplied where any
/// pixel is see-through.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Field {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) planes: Vec<Vec<u8>>,
    /// Pixels of which nobody can say whether they are cell or background; empty when there are none.
    pub(super) unclear: Vec<u8>,
}

impl Field {
    /// Takes the pixels of a picture, with flags for the unclear ones.
    pub(super) fn new(picture: &Picture, unclear: Vec<u8>, watch: &dyn Watch) -> Result<Self> {
        let (width, height) = (picture.width() as usize, picture.height() as usize);
        let pixels = picture.pixels();
        let opaque = pixels.chunks_exact(4).all(|pixel| pixel[3] == 255);
        let mut planes = vec![Vec::with_capacity(width * height); if opaque { 3 } else { 4 }];
        for (place, pixel) in pixels.chunks_exact(4).enumerate() {
            if place % (1 << 20) == 0 {
                watch.check(0.0)?;
            }
            let alpha = u32::from(pixel[3]);
            for (plane, &value) in planes.iter_mut().zip(&pixel[..3]) {
                let value = if opaque { u32::from(value) } else { (u32::from(value) * alpha + 127) / 255 };
                plane.push(value as u8);
            }
            if !opaque {
                planes[3].push(((alpha * OPACITY as u32 + 127) / 255) as u8);
            }
        }
        Ok(Self { width, height, planes, unclear })
    }

    /// Gives one line of a plane.
    pub(super) fn row(&self, plane: usize, y: usize) -> &[u8] {
        &self.planes[plane][y * self.width..][..self.width]
    }

    /// Gives the highest value of a plane.
    pub(super) fn top(plane: usize) -> f32 {
        if plane == 3 { OPACITY as f32 } else { 255.0 }
    }

    /// Cuts out a rectangle.
    pub(super) fn crop(&self, rect: Rect) -> Self {
        let cut = |plane: &Vec<u8>| {
            let rows = plane.chunks_exact(self.width).skip(rect.top).take(rect.height());
            rows.flat_map(|row| &row[rect.left..rect.right]).copied().collect()
        };
        let unclear = if self.unclear.is_empty() { Vec::new() } else { cut(&self.unclear) };
        let planes = self.planes.iter().map(cut).collect();
        Self { width: rect.width(), height: rect.height(), planes, unclear }
    }

    /// Swaps across and down.
    pub(super) fn transposed(&self) -> Self {
        let turn = |plane: &Vec<u8>| turned(plane, self.width, self.height);
        let unclear = if self.unclear.is_empty() { Vec::new() } else { turn(&self.unclear) };
        let planes = self.planes.iter().map(turn).collect();
        Self { width: self.height, height: self.width, planes, unclear }
    }

    /// Averages blocks of `factor` pixels a side; what is left over at the ends is dropped.
    pub(super) fn reduced(&self, factor: usize) -> Self {
        let (width, height) = (self.width / factor, self.height / factor);
        let area = (factor * factor) as u32;
        let shrink = |plane: &Vec<u8>| {
            let mut small = Vec::with_capacity(width * height);
            let mut sums = vec![0_u32; width];
            for rows in plane.chunks_exact(self.width * factor).take(height) {
                sums.fill(0);
                for row in rows.chunks_exact(self.width) {
                    for (sum, block) in sums.iter_mut().zip(row.chunks_exact(factor)) {
                        *sum += block.iter().map(|&value| u32::from(value)).sum::<u32>();
                    }
                }
                small.extend(sums.iter().map(|sum| ((sum + area / 2) / area) as u8));
            }
            small
        };
        let planes = self.planes.iter().map(shrink).collect();
        Self { width, height, planes, unclear: Vec::new() }
    }

    /// Lists the rows to look at: evenly spread, and clear ones alone when a sixth of them is.
    pub(super) fn lines(&self) -> Vec<usize> {
        let clear = |&y: &usize| self.unclear[y * self.width..][..self.width].iter().all(|&flag| flag == 0);
        let mut rows: Vec<usize> = (0..self.height).collect();
        if !self.unclear.is_empty() {
            let sure: Vec<usize> = rows.iter().copied().filter(clear).collect();
            if sure.len() * 6 >= rows.len() {
                rows = sure;
            }
        }
        let count = rows.len().min(LINES);
        (0..count).map(|place| rows[place * rows.len() / count]).collect()
    }
}

/// Swaps rows and columns, block by block so that both stay in the cache.
pub(super) fn turned<T: Copy + Default>(plane: &[T], width: usize, height: usize) -> Vec<T> {
    const BLOCK: usize = 32;
    let mut out = vec![T::default(); plane.len()];
    for top in (0..height).step_by(BLOCK) {
        for left in (0..width).step_by(BLOCK) {
            for y in top..(top + BLOCK).min(height) {
                for x in left..(left + BLOCK).min(width) {
                    out[x * height + y] = plane[y * width + x];
                }
            }
        }
    }
    out
}
