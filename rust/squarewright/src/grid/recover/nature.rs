//! What kind of picture it is: how noisy, and whether its pixels are cells themselves.

use std::collections::BTreeSet;

use super::field::{Field, Rect};
use super::region::crop;
use super::solve::Solved;
use crate::fault::{Result, Watch};
use crate::grid::Grid;
use crate::picture::Picture;

/// A copy that was enlarged leaves less than this share of its variance unexplained; a picture of few colours
/// at its own size leaves more.
const EXPLAINED: f64 = 0.03;
/// A picture of cells one pixel a side has at most so many colours.
const COLOURS: usize = 256;

/// Says whether pixels are the cells: no model of a scaler explains the picture, and it has few colours.
pub(super) fn is_native(picture: &Picture, content: Rect, solved: &Solved) -> bool {
    let side = content.width().max(content.height());
    solved.unexplained > EXPLAINED && side <= Grid::SIDE && has_few_colours(picture)
}

/// Says whether at most 256 colours are found.
pub(super) fn has_few_colours(picture: &Picture) -> bool {
    let mut seen = BTreeSet::new();
    let mut last = [0; 4];
    for pixel in picture.pixels().as_chunks().0 {
        if *pixel != last {
            last = *pixel;
            seen.insert(last);
            if seen.len() > COLOURS {
                return false;
            }
        }
    }
    true
}

/// Estimates noise in levels: the middle of all second differences, which real edges hardly move.
pub(super) fn noise(field: &Field) -> f32 {
    let mut counts = vec![0_u32; 1024];
    let mut all = 0;
    let planes = field.planes.len() as f32;
    for y in field.lines().into_iter().step_by(2) {
        let rows: Vec<&[u8]> = (0..field.planes.len()).map(|plane| field.row(plane, y)).collect();
        for x in 1..field.width.saturating_sub(1) {
            let bend = |row: &&[u8]| {
                (i32::from(row[x - 1]) - 2 * i32::from(row[x]) + i32::from(row[x + 1])).unsigned_abs()
            };
            let sum: u32 = rows.iter().map(bend).sum();
            counts[(sum as usize).min(1023)] += 1;
            all += 1;
        }
    }
    let mut seen = 0;
    let middle = counts.iter().position(|count| {
        seen += count;
        2 * seen >= all
    });
    middle.unwrap_or(0) as f32 / planes / 1.65
}

/// Makes a picture smaller by a whole factor, as means of blocks; what is left over at the ends is dropped.
pub(super) fn smaller(picture: &Picture, factor: u32, watch: &dyn Watch) -> Result<Picture> {
    let (width, height) = (picture.width() / factor, picture.height() / factor);
    let stride = picture.width() as usize * 4;
    let area = factor * factor;
    let mut pixels = Vec::with_capacity((width * height) as usize * 4);
    let mut sums = vec![[0_u32; 4]; width as usize];
    for (y, rows) in picture.pixels().chunks_exact(stride * factor as usize).enumerate() {
        if y % 64 == 0 {
            watch.check(0.0)?;
        }
        sums.fill([0; 4]);
        for row in rows.chunks_exact(stride) {
            for (sum, block) in sums.iter_mut().zip(row.chunks_exact(4 * factor as usize)) {
                for pixel in block.as_chunks::<4>().0 {
                    let alpha = u32::from(pixel[3]);
                    for (sum, &value) in sum.iter_mut().zip(&pixel[..3]) {
                        *sum += u32::from(value) * alpha;
                    }
                    sum[3] += alpha;
                }
            }
        }
        for &[r, g, b, alpha] in &sums {
            let colour = |sum: u32| ((sum + alpha / 2) / alpha.max(1)) as u8;
            pixels.extend([colour(r), colour(g), colour(b), ((alpha + area / 2) / area) as u8]);
        }
    }
    Picture::from_rgba(width, height, pixels)
}

/// Cuts out the square part with the most changes; none when the picture is hardly larger than a part.
pub(super) fn part(picture: &Picture, side: u32, watch: &dyn Watch) -> Result<Option<Picture>> {
    let (width, height) = (picture.width(), picture.height());
    if width.max(height) * 2 < side * 3 {
        return Ok(None);
    }
    let (wide, high) = (width.min(side), height.min(side));
    let places = |length: u32, part: u32| (0..=2).map(move |third| (length - part) * third / 2);
    let corners = places(height, high).flat_map(|top| places(width, wide).map(move |left| (left, top)));
    watch.check(0.0)?;
    let change = |&(left, top): &(u32, u32)| -> u64 {
        let step = |pair: &[[u8; 4]]| u64::from(pair[0] != pair[1]);
        let rows = (top..top + high).step_by(4).map(|y| {
            let row = picture.row(y).as_chunks::<4>().0;
            row[left as usize..(left + wide) as usize].windows(2).map(step).sum::<u64>()
        });
        rows.sum()
    };
    let corner = corners.max_by_key(|corner| (change(corner), std::cmp::Reverse(*corner)));
    let (left, top) = corner.map_or((0, 0), |(left, top)| (left as usize, top as usize));
    let (right, bottom) = (left + wide as usize, top + high as usize);
    crop(picture, Rect { left, top, right, bottom }).map(Some)
}
