//! Where colours change along each axis.

use crate::fault::{Result, Watch};
use crate::picture::Picture;

/// The changes of colour along one axis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Changes {
    /// The length of the axis in pixels.
    pub(super) length: i64,
    /// The pixel edges at which any line of the picture changes colour, ascending, ends left out.
    pub(super) places: Vec<i64>,
}

/// The changes along both axes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Edges {
    pub(super) x: Changes,
    pub(super) y: Changes,
}

impl Changes {
    /// Gives the largest step of which all distances between changes are multiples, 0 with fewer than two.
    pub(super) fn step(&self) -> i64 {
        self.places.windows(2).fold(0, |step, pair| gcd(step, pair[1] - pair[0]))
    }
}

pub(super) fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a.abs() } else { gcd(b, a % b) }
}

/// Finds the changes of colour; see-through pixels are all alike whatever colour they hide.
pub(super) fn find(picture: &Picture, watch: &dyn Watch) -> Result<Edges> {
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    let mut across = vec![0_u32; width];
    let mut down = vec![false; height];
    let mut above = Vec::new();
    let mut line = Vec::with_capacity(width);
    for (y, row) in picture.pixels().chunks_exact(width * 4).enumerate() {
        if y % 256 == 0 {
            watch.check(0.6 * y as f32 / height as f32)?;
        }
        line.clear();
        line.extend(row.chunks_exact(4).map(seen));
        if y > 0 {
            if line == above {
                continue; // an enlarged row repeats: its changes are known
            }
            down[y] = true;
        }
        for ((change, left), right) in across[1..].iter_mut().zip(&line).zip(&line[1..]) {
            *change |= left ^ right;
        }
        std::mem::swap(&mut line, &mut above);
    }
    let places = |flags: &mut dyn Iterator<Item = bool>| -> Vec<i64> {
        (0_i64..).zip(flags).filter_map(|(place, changed)| changed.then_some(place)).collect()
    };
    Ok(Edges {
        x: Changes {
            length: i64::from(picture.width()),
            places: places(&mut across.into_iter().map(|change| change != 0)),
        },
        y: Changes { length: i64::from(picture.height()), places: places(&mut down.into_iter()) },
    })
}

fn seen(pixel: &[u8]) -> u32 {
    match *pixel {
        [_, _, _, 0] => 0,
        [r, g, b, a] => u32::from_le_bytes([r, g, b, a]),
        _ => 0,
    }
}
