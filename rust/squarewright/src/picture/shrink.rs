//! Area means in linear light: one pass over the pixels serves any number of sizes.
//!
//! A cell's mean is that of the light which falls on it, so a checkerboard of black and white becomes the
//! grey that it shows from afar (sRGB code 188), not the code half-way. Cells cover whole pixels and shares
//! of pixels; light is summed in whole numbers, so that the answer is exact to the last bit whatever the
//! order. Sums are kept for the stretches between places where a column of any size begins or ends, and over
//! as many rows as lie in one row of cells of every size, so that a further size costs only as much as it has
//! cells.

use std::ops::Range;
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
    /// Rows that the stops hold, and how many they have room for.
    held: u32,
    room: u32,
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
        let longest = pixels.windows(2).map(|pair| pair[1] - pair[0]).max().unwrap_or(1);
        let room = (ROOM / longest.max(1)).max(1).try_into().unwrap_or(u32::MAX);
        let stops = pixels
            .into_iter()
            .map(|pixel| Stop { pixel, before: [0; 2], within: [0; 2], light: [0; 8] })
            .collect();
        Self { window, stops, targets, row: 0, held: 0, room }
    }

    /// Takes the next row of the whole picture, three or four bytes a pixel.
    pub fn row<const CHANNELS: usize>(&mut self, pixels: &[u8]) {
        let inside = self.row.checked_sub(self.window.top).filter(|&row| row < self.window.height);
        self.row += 1;
        let Some(row) = inside else { return };
        let (left, width) = (self.window.left as usize, self.window.width as usize);
        let pixels = &pixels.as_chunks::<CHANNELS>().0[left..left + width];
        if is_opaque(pixels) {
            add_up(pixels, &mut self.stops, opaque);
        } else {
            add_up(pixels, &mut self.stops, see_through);
        }
        self.held += 1;
        let height = self.window.height;
        if self.held == self.room || self.targets.iter().any(|target| target.parts_at(row + 1, height)) {
            settle(&mut self.stops);
            for target in &mut self.targets {
                target.add(row + 1 - self.held..row + 1, &self.stops, self.window);
            }
            self.held = 0;
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

/// Light of red and opacity, then of green and blue, two and two in one number: each half has room for a row,
/// or for [`ROOM`] pixels.
type Pair = [u64; 2];

/// Pixels of full light that 32 bits have room for.
const ROOM: usize = 1 << 16;

/// What each code stands for, in three places.
type Codes = [[u64; 256]; 3];

/// The light of each code as red (with full opacity), as green and as blue, where a [`Pair`] has it.
static LIGHT: LazyLock<Codes> = LazyLock::new(|| {
    let codes: [u64; 256] = std::array::from_fn(|code| u64::from(whole(decode(code.to_le_bytes()[0]))));
    [codes.map(|light| light | u64::from(FULL) << 32), codes, codes.map(|light| light << 32)]
});

/// Gives red, green, blue and opacity.
fn apart([red, rest]: Pair) -> [u64; 4] {
    let halves = |pair: u64| [pair & u64::from(u32::MAX), pair >> 32];
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
    /// The light and opacity between the stop before and this one, and of its own pixel, over the rows held.
    before: Pair,
    within: Pair,
    /// The same of all pixels left of it, and of its own, once it is settled.
    light: [u64; 8],
}

/// Adds up along the rows held, and is ready for others.
fn settle(stops: &mut [Stop]) {
    let mut left = [0; 4];
    for stop in stops {
        let (before, within) = (apart(stop.before), apart(stop.within));
        for i in 0..4 {
            left[i] += before[i];
            (stop.light[i], stop.light[i + 4]) = (left[i], within[i]);
            left[i] += within[i];
        }
        (stop.before, stop.within) = ([0; 2], [0; 2]);
    }
}

/// Adds a row of pixels to the stops.
fn add_up<const CHANNELS: usize>(
    pixels: &[[u8; CHANNELS]],
    stops: &mut [Stop],
    light: impl Fn(&Codes, &[u8; CHANNELS]) -> Pair,
) {
    let (codes, mut rest) = (&*LIGHT, pixels);
    for stop in stops {
        let (between, from) = rest.split_at(stop.pixel - (pixels.len() - rest.len()));
        stop.before = between.iter().fold(stop.before, |sum, pixel| plus(sum, light(codes, pixel)));
        rest = from;
        if let Some((pixel, behind)) = from.split_first() {
            (stop.within, rest) = (plus(stop.within, light(codes, pixel)), behind);
        }
    }
}

/// Says whether all pixels are opaque: looked at without a pause, as that is quicker than to stop at the first
/// that is not.
fn is_opaque<const CHANNELS: usize>(pixels: &[[u8; CHANNELS]]) -> bool {
    let words = pixels.as_flattened().as_chunks::<4>().0.iter().map(|&word| u32::from_le_bytes(word));
    CHANNELS == 3 || words.fold(u32::MAX, |all, word| all & word) >> 24 == 0xFF
}

fn plus(one: Pair, other: Pair) -> Pair {
    [one[0] + other[0], one[1] + other[1]]
}

#[inline]
fn opaque<const CHANNELS: usize>([red, green, blue]: &Codes, pixel: &[u8; CHANNELS]) -> Pair {
    // one word is loaded faster than its bytes one by one
    let [r, g, b] = pixel.first_chunk::<4>().map_or([pixel[0], pixel[1], pixel[2]], |&four| {
        let word = u32::from_le_bytes(four);
        [0, 8, 16].map(|shift| (word >> shift).to_le_bytes()[0])
    });
    [red[usize::from(r)], green[usize::from(g)] + blue[usize::from(b)]]
}

fn see_through<const CHANNELS: usize>(codes: &Codes, pixel: &[u8; CHANNELS]) -> Pair {
    let alpha = u64::from(pixel[CHANNELS - 1]);
    let [red, green, blue, opacity] = apart(opaque(codes, pixel)).map(|light| (light * alpha + 127) / 255);
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

    /// Says whether a row of cells ends at the start of a row of pixels, or within it.
    fn parts_at(&self, row: u32, height: u32) -> bool {
        (u64::from(row) + 1) * self.done.rows as u64 > (self.row as u64 + 1) * u64::from(height)
    }

    /// Adds rows of the window: some that lie in one row of cells as a whole, or one that lies in one or two.
    ///
    /// In shares of a pixel, `rows` to its height, a pixel row ends at `(row + 1) × rows` and the row of cells
    /// at `(self.row + 1) × height`.
    fn add(&mut self, taken: Range<u32>, stops: &[Stop], window: Window) {
        let (rows, height) = (self.done.rows as u64, u64::from(window.height));
        let (mut start, end) = (u64::from(taken.start) * rows, u64::from(taken.end) * rows);
        while start < end {
            let border = (self.row as u64 + 1) * height;
            self.add_share(end.min(border) - start, u64::from(taken.end - taken.start) * rows, stops);
            start = end.min(border);
            if start == border {
                self.close(u64::from(window.width) * height);
            }
        }
    }

    /// Adds a share of what the stops hold, `all` of it or less.
    fn add_share(&mut self, share: u64, all: u64, stops: &[Stop]) {
        for edge in &mut self.edges {
            let light = &stops[edge.stop].light;
            if share == all {
                edge.whole.iter_mut().zip(light).for_each(|(sum, light)| *sum += light);
            } else {
                edge.shared.iter_mut().zip(light).for_each(|(sum, light)| *sum += share * light);
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
