//! Area means in linear light: one pass over the pixels serves any number of sizes.
//!
//! A cell's mean is that of the light which falls on it, so a checkerboard of black and white becomes the
//! grey that it shows from afar (sRGB code 188), not the code half-way. Cells cover whole pixels and shares
//! of pixels; light is summed in whole numbers, row by row, so that the answer is exact to the last bit
//! whatever the order. Running sums along a row make a further size cost only as much as it has cells.

use std::sync::LazyLock;

use super::Picture;
use crate::colour::decode;
use crate::fault::{Result, Watch};

/// Light of a full channel in whole numbers; 32,768 of them still fit in 32 bits.
const FULL: u32 = u16::MAX as u32;
/// Rows between two looks at the watch.
const STRIDE: u32 = 64;

/// A part of a picture, in pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// Pixels left of it.
    pub left: u32,
    /// Pixels above it.
    pub top: u32,
    /// Its width, 1 or more.
    pub width: u32,
    /// Its height, 1 or more.
    pub height: u32,
}

/// A picture shrunk to a few cells, each the mean of the light that falls on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Shrunk {
    /// How many rows of cells.
    pub rows: usize,
    /// How many columns of cells.
    pub columns: usize,
    /// The mean light of red, green and blue of each cell, 0 to 1, over its opaque part; row by row.
    pub light: Vec<[f32; 3]>,
    /// How much of each cell is opaque, 0 to 1.
    pub cover: Vec<f32>,
}

/// Shrinks a picture whose rows come one after the other.
#[derive(Debug)]
pub struct Shrinker {
    window: Window,
    /// Sums of light and opacity of all pixels left of each pixel of the window.
    running: Vec<[u32; 4]>,
    targets: Vec<Target>,
    row: u32,
}

impl Shrinker {
    /// Prepares to shrink a window to each size, given as (rows, columns), none larger than the window.
    pub fn new(window: Window, sizes: &[(usize, usize)]) -> Self {
        let running = vec![[0; 4]; window.width as usize + 1];
        let targets = sizes.iter().map(|&size| Target::new(window, size)).collect();
        Self { window, running, targets, row: 0 }
    }

    /// Takes the next row of the whole picture, three or four bytes a pixel.
    pub fn row<const CHANNELS: usize>(&mut self, pixels: &[u8]) {
        let inside = self.row.checked_sub(self.window.top).filter(|&row| row < self.window.height);
        self.row += 1;
        let Some(row) = inside else { return };
        let (left, width) = (self.window.left as usize, self.window.width as usize);
        let pixels = &pixels.as_chunks::<CHANNELS>().0[left..left + width];
        add_up(pixels, &mut self.running);
        for target in &mut self.targets {
            target.add(row, &self.running, self.window);
        }
    }

    /// Gives the share of a picture of `height` rows that was taken.
    pub fn share_of(&self, height: u32) -> f32 {
        self.row as f32 / height as f32
    }

    /// Gives the shrunk pictures, in the order of their sizes.
    pub fn finish(self) -> Vec<Shrunk> {
        self.targets.into_iter().map(|target| target.done).collect()
    }
}

/// The share of the whole work that shrinking counts for.
const SHARE: f32 = 0.3;

/// Shrinks a window of a picture to each size, given as (rows, columns).
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher stops it.
pub fn shrink(
    picture: &Picture,
    window: Window,
    sizes: &[(usize, usize)],
    watch: &dyn Watch,
) -> Result<Vec<Shrunk>> {
    let mut shrinker = Shrinker::new(window, sizes);
    for (row, pixels) in (0..).zip(picture.rows()) {
        shrinker.row::<4>(pixels);
        if row % STRIDE == 0 {
            watch.check(SHARE * row as f32 / picture.height() as f32)?;
        }
    }
    Ok(shrinker.finish())
}

/// Light of each code in each of the three lanes, and full opacity with red.
static LANES: LazyLock<[[[u32; 4]; 256]; 3]> = LazyLock::new(|| {
    let mut lanes = [[[0; 4]; 256]; 3];
    for (channel, table) in lanes.iter_mut().enumerate() {
        for (code, lane) in (0..=u8::MAX).zip(table.iter_mut()) {
            lane[channel] = whole(decode(code));
            lane[3] = if channel == 0 { FULL } else { 0 };
        }
    }
    lanes
});

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "light is 0 to 1")]
fn whole(light: f64) -> u32 {
    (light * f64::from(FULL)).round() as u32
}

/// Writes the running sums of a row of pixels.
fn add_up<const CHANNELS: usize>(pixels: &[[u8; CHANNELS]], running: &mut [[u32; 4]]) {
    let [red, green, blue] = &*LANES;
    let mut sum = [0_u32; 4];
    for (pixel, running) in pixels.iter().zip(&mut running[1..]) {
        let lanes =
            [&red[usize::from(pixel[0])], &green[usize::from(pixel[1])], &blue[usize::from(pixel[2])]];
        let mut light: [u32; 4] = std::array::from_fn(|i| lanes[0][i] + lanes[1][i] + lanes[2][i]);
        if CHANNELS == 4 && pixel[CHANNELS - 1] != u8::MAX {
            let alpha = u32::from(pixel[CHANNELS - 1]);
            light = light.map(|light| (light * alpha + 127) / 255);
        }
        sum = std::array::from_fn(|i| sum[i] + light[i]);
        *running = sum;
    }
}

/// One size in the making.
#[derive(Debug)]
struct Target {
    /// The row of cells being summed.
    row: usize,
    edges: Vec<Edge>,
    done: Shrunk,
}

/// The left edge of a column, or the right edge of the last one.
#[derive(Debug, Clone)]
struct Edge {
    /// The pixel it lies in.
    pixel: usize,
    /// How far it lies in it, in shares of which a pixel has as many as there are columns.
    part: u64,
    /// The light left of that pixel, and that of the pixel, summed over the rows so far.
    before: [u64; 4],
    within: [u64; 4],
}

impl Target {
    fn new(window: Window, (rows, columns): (usize, usize)) -> Self {
        let edge = |column: usize| {
            let (pixel, part) =
                (column * window.width as usize / columns, column * window.width as usize % columns);
            Edge { pixel, part: part as u64, before: [0; 4], within: [0; 4] }
        };
        let edges = (0..=columns).map(edge).collect();
        let (light, cover) = (Vec::with_capacity(rows * columns), Vec::with_capacity(rows * columns));
        Self { row: 0, edges, done: Shrunk { rows, columns, light, cover } }
    }

    /// Adds row `row` of the window to the one or two rows of cells that it lies in.
    ///
    /// In shares of a pixel, `rows` to its height, the pixel row ends at `(row + 1) × rows` and the row of
    /// cells at `(self.row + 1) × height`.
    fn add(&mut self, row: u32, running: &[[u32; 4]], window: Window) {
        let (rows, height) = (self.done.rows as u64, u64::from(window.height));
        let (mut start, end) = (u64::from(row) * rows, (u64::from(row) + 1) * rows);
        while start < end {
            let border = (self.row as u64 + 1) * height;
            self.add_share(end.min(border) - start, running);
            start = end.min(border);
            if start == border {
                self.close(u64::from(window.width) * height);
            }
        }
    }

    fn add_share(&mut self, share: u64, running: &[[u32; 4]]) {
        let last = running.len() - 1;
        for edge in &mut self.edges {
            let (before, until) = (running[edge.pixel], running[(edge.pixel + 1).min(last)]);
            for i in 0..4 {
                edge.before[i] += share * u64::from(before[i]);
                edge.within[i] += share * u64::from(until[i] - before[i]);
            }
        }
    }

    /// Turns the sums of a row of cells, each `area` shares of pixels large, into means.
    #[expect(clippy::cast_possible_truncation, reason = "means need no more than 24 bits")]
    fn close(&mut self, area: u64) {
        let full = (u64::from(FULL) * area) as f64;
        let columns = self.done.columns as u64;
        let left_of = |edge: &Edge, i: usize| edge.before[i] * columns + edge.within[i] * edge.part;
        for edges in self.edges.windows(2) {
            let sum: [u64; 4] = std::array::from_fn(|i| left_of(&edges[1], i) - left_of(&edges[0], i));
            let cover = sum[3] as f64;
            let light = |i: usize| if sum[3] == 0 { 0.0 } else { (sum[i] as f64 / cover) as f32 };
            self.done.light.push([light(0), light(1), light(2)]);
            self.done.cover.push((cover / full) as f32);
        }
        for edge in &mut self.edges {
            (edge.before, edge.within) = ([0; 4], [0; 4]);
        }
        self.row += 1;
    }
}
