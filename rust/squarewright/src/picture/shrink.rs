//! Area means in linear light: one pass over the pixels serves any number of sizes.
//!
//! A cell's mean is that of the light which falls on it, so a checkerboard of black and white becomes the
//! grey that it shows from afar (sRGB code 188), not the code half-way. Cells cover whole pixels and shares
//! of pixels; light is summed in whole numbers, row by row, so that the answer is exact to the last bit
//! whatever the order. Sums along a row are kept where a column of any size begins or ends, so that a further
//! size costs only as much as it has cells.

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
    /// The pixels of a row in which a column of any size begins or ends, ascending.
    stops: Vec<Stop>,
    targets: Vec<Target>,
    row: u32,
}

impl Shrinker {
    /// Prepares to shrink a window to each size, given as (rows, columns), none larger than the window.
    pub fn new(window: Window, sizes: &[(usize, usize)]) -> Self {
        let width = window.width as usize;
        let mut pixels: Vec<usize> = sizes
            .iter()
            .flat_map(|&(_, columns)| (0..=columns).map(move |edge| edge * width / columns))
            .collect();
        pixels.sort_unstable();
        pixels.dedup();
        let targets = sizes.iter().map(|&size| Target::new(width, size, &pixels)).collect();
        let stops = pixels.into_iter().map(|pixel| Stop { pixel, before: [0; 4], within: [0; 4] }).collect();
        Self { window, stops, targets, row: 0 }
    }

    /// Takes the next row of the whole picture, three or four bytes a pixel.
    pub fn row<const CHANNELS: usize>(&mut self, pixels: &[u8]) {
        let inside = self.row.checked_sub(self.window.top).filter(|&row| row < self.window.height);
        self.row += 1;
        let Some(row) = inside else { return };
        let (left, width) = (self.window.left as usize, self.window.width as usize);
        let pixels = &pixels.as_chunks::<CHANNELS>().0[left..left + width];
        add_up(pixels, &mut self.stops);
        for target in &mut self.targets {
            target.add(row, &self.stops, self.window);
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

/// Light of red and opacity, then of green and blue, two and two in one number: each half has room for a row.
type Pair = [u64; 2];

/// The light of each code as red (with full opacity), as green and as blue, where a [`Pair`] has it.
static LIGHT: LazyLock<[[u64; 256]; 3]> = LazyLock::new(|| {
    let codes: [u64; 256] = std::array::from_fn(|code| u64::from(whole(decode(code.to_le_bytes()[0]))));
    [codes.map(|light| light | u64::from(FULL) << 32), codes, codes.map(|light| light << 32)]
});

/// Gives red, green, blue and opacity.
#[expect(clippy::cast_possible_truncation, reason = "each half has 32 bits")]
fn apart([red, rest]: Pair) -> [u32; 4] {
    let halves = |pair: u64| [pair as u32, (pair >> 32) as u32];
    let ([red, opacity], [green, blue]) = (halves(red), halves(rest));
    [red, green, blue, opacity]
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "light is 0 to 1")]
fn whole(light: f64) -> u32 {
    (light * f64::from(FULL)).round() as u32
}

/// A pixel of a row, or the place behind the last one.
#[derive(Debug)]
struct Stop {
    pixel: usize,
    /// The light and opacity of all pixels left of it, and of itself.
    before: [u32; 4],
    within: [u32; 4],
}

/// Sums a row of pixels up to each stop.
fn add_up<const CHANNELS: usize>(pixels: &[[u8; CHANNELS]], stops: &mut [Stop]) {
    let codes = &*LIGHT;
    let (mut sum, mut rest) = ([0; 2], pixels);
    for stop in stops {
        let (between, from) = rest.split_at(stop.pixel - (pixels.len() - rest.len()));
        sum = between.iter().fold(sum, |sum, pixel| plus(sum, light(codes, pixel)));
        stop.before = apart(sum);
        rest = from;
        if let Some((pixel, behind)) = from.split_first() {
            let light = light(codes, pixel);
            (stop.within, sum, rest) = (apart(light), plus(sum, light), behind);
        }
    }
}

fn plus(one: Pair, other: Pair) -> Pair {
    [one[0] + other[0], one[1] + other[1]]
}

#[inline]
fn light<const CHANNELS: usize>([red, green, blue]: &[[u64; 256]; 3], pixel: &[u8; CHANNELS]) -> Pair {
    let light = [red[usize::from(pixel[0])], green[usize::from(pixel[1])] + blue[usize::from(pixel[2])]];
    if CHANNELS == 3 || pixel[CHANNELS - 1] == u8::MAX {
        return light;
    }
    let alpha = u32::from(pixel[CHANNELS - 1]);
    let [red, green, blue, opacity] = apart(light).map(|light| u64::from((light * alpha + 127) / 255));
    [red | opacity << 32, green | blue << 32]
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
    /// The stop at the pixel that it lies in.
    stop: usize,
    /// How far it lies in it, in shares of which a pixel has as many as there are columns.
    part: u64,
    /// The rows that lie in the row of cells as a whole: the light left of that pixel, then that of the pixel.
    whole: [u64; 8],
    /// The same of rows that lie in it by a share, each as often as its share says.
    shared: [u64; 8],
}

impl Target {
    fn new(width: usize, (rows, columns): (usize, usize), stops: &[usize]) -> Self {
        let edge = |column: usize| {
            let (pixel, part) = (column * width / columns, column * width % columns);
            let stop = stops.partition_point(|&stop| stop < pixel);
            Edge { stop, part: part as u64, whole: [0; 8], shared: [0; 8] }
        };
        let edges = (0..=columns).map(edge).collect();
        let (light, cover) = (Vec::with_capacity(rows * columns), Vec::with_capacity(rows * columns));
        Self { row: 0, edges, done: Shrunk { rows, columns, light, cover } }
    }

    /// Adds row `row` of the window to the one or two rows of cells that it lies in.
    ///
    /// In shares of a pixel, `rows` to its height, the pixel row ends at `(row + 1) × rows` and the row of
    /// cells at `(self.row + 1) × height`.
    fn add(&mut self, row: u32, stops: &[Stop], window: Window) {
        let (rows, height) = (self.done.rows as u64, u64::from(window.height));
        let (mut start, end) = (u64::from(row) * rows, (u64::from(row) + 1) * rows);
        while start < end {
            let border = (self.row as u64 + 1) * height;
            self.add_share(end.min(border) - start, stops);
            start = end.min(border);
            if start == border {
                self.close(u64::from(window.width) * height);
            }
        }
    }

    fn add_share(&mut self, share: u64, stops: &[Stop]) {
        let is_whole = share == self.done.rows as u64;
        for edge in &mut self.edges {
            let Stop { before, within, .. } = &stops[edge.stop];
            let sums = if is_whole { &mut edge.whole } else { &mut edge.shared };
            let times = if is_whole { 1 } else { share };
            for (sum, &light) in sums.iter_mut().zip(before.iter().chain(within)) {
                *sum += times * u64::from(light);
            }
        }
    }

    /// Turns the sums of a row of cells, each `area` shares of pixels large, into means.
    #[expect(clippy::cast_possible_truncation, reason = "means need no more than 24 bits")]
    fn close(&mut self, area: u64) {
        let full = (u64::from(FULL) * area) as f64;
        let columns = self.done.columns as u64;
        let rows = self.done.rows as u64;
        let sum = |edge: &Edge, i: usize| edge.whole[i] * rows + edge.shared[i];
        let left_of = |edge: &Edge, i: usize| sum(edge, i) * columns + sum(edge, i + 4) * edge.part;
        for edges in self.edges.windows(2) {
            let sum: [u64; 4] = std::array::from_fn(|i| left_of(&edges[1], i) - left_of(&edges[0], i));
            let cover = sum[3] as f64;
            let light = |i: usize| if sum[3] == 0 { 0.0 } else { (sum[i] as f64 / cover) as f32 };
            self.done.light.push([light(0), light(1), light(2)]);
            self.done.cover.push((cover / full) as f32);
        }
        for edge in &mut self.edges {
            (edge.whole, edge.shared) = ([0; 8], [0; 8]);
        }
        self.row += 1;
    }
}
