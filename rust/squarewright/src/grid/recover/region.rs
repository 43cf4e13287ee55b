//! The part of a picture that holds the cells: a rectangle, or four corners of a tilted one.
//!
//! Four corners are brought upright by the homography that takes them to those of a rectangle, solved from its
//! eight linear equations (R. Hartley and A. Zisserman, "Multiple View Geometry", 2004, chapter 4).

use serde::{Deserialize, Serialize};

use super::field::Rect;
use crate::fault::{Error, Result, Watch};
use crate::picture::Picture;

/// A part of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Region {
    /// Pixels from left to right and from top to bottom; the ends are left out.
    Box {
        /// The first column.
        left: u32,
        /// The first row.
        top: u32,
        /// The column after the last.
        right: u32,
        /// The row after the last.
        bottom: u32,
    },
    /// Top left, top right, bottom right and bottom left, in pixels from the picture's top-left corner.
    Corners([(f64, f64); 4]),
}

/// The least side in pixels.
const LEAST: f64 = 4.0;

impl Region {
    /// Cuts the region out; four corners are brought upright.
    ///
    /// # Errors
    /// [`Error::Argument`] when it is not within the picture, [`Error::Stopped`] when the watcher stops it.
    pub fn cut(self, picture: &Picture, watch: &dyn Watch) -> Result<Picture> {
        match self {
            Self::Box { left, top, right, bottom } => {
                if left >= right || top >= bottom || right > picture.width() || bottom > picture.height() {
                    return Err(refused(picture, format!("({left}, {top}, {right}, {bottom})")));
                }
                let [left, top, right, bottom] = [left, top, right, bottom].map(|side| side as usize);
                crop(picture, Rect { left, top, right, bottom })
            }
            Self::Corners(corners) => upright(picture, corners, watch),
        }
    }

    /// Gives the place of the region's own top-left corner; a tilted region has places of its own.
    pub(super) fn corner(self) -> (f64, f64) {
        match self {
            Self::Box { left, top, .. } => (f64::from(left), f64::from(top)),
            Self::Corners(_) => (0.0, 0.0),
        }
    }
}

fn refused(picture: &Picture, got: String) -> Error {
    let must = format!(
        "(left, top, right, bottom) or four corners clockwise from the top left, within {} × {} pixels",
        picture.width(),
        picture.height()
    );
    Error::Argument { name: "region", must, got }
}

/// Cuts out a rectangle.
pub(super) fn crop(picture: &Picture, rect: Rect) -> Result<Picture> {
    let rows = picture.rows().skip(rect.top).take(rect.height());
    let pixels = rows.flat_map(|row| &row[rect.left * 4..rect.right * 4]).copied().collect();
    Picture::from_rgba(rect.width() as u32, rect.height() as u32, pixels)
}

/// Brings a tilted rectangle upright, at the length of its longer sides.
fn upright(picture: &Picture, corners: [(f64, f64); 4], watch: &dyn Watch) -> Result<Picture> {
    let (wide, high) = (f64::from(picture.width()), f64::from(picture.height()));
    let inside = |&(x, y): &(f64, f64)| (-0.5..=wide + 0.5).contains(&x) && (-0.5..=high + 0.5).contains(&y);
    let length = |one: usize, two: usize| {
        libm::hypot(corners[one].0 - corners[two].0, corners[one].1 - corners[two].1)
    };
    let width = length(0, 1).max(length(3, 2)).round();
    let height = length(0, 3).max(length(1, 2)).round();
    let good = corners.iter().all(inside) && is_convex(&corners) && width >= LEAST && height >= LEAST;
    let map = if good { homography((width, height), corners) } else { None };
    let map = map.ok_or_else(|| refused(picture, format!("{corners:?}")))?;
    let mut pixels = Vec::with_capacity((width * height) as usize * 4);
    for y in 0..height as usize {
        if y % 64 == 0 {
            watch.check(0.0)?;
        }
        for x in 0..width as usize {
            pixels.extend(between(picture, map.at(x as f64 + 0.5, y as f64 + 0.5)));
        }
    }
    Picture::from_rgba(width as u32, height as u32, pixels)
}

/// Says whether the corners go round clockwise without a dent.
fn is_convex(corners: &[(f64, f64); 4]) -> bool {
    (0..4).all(|at| {
        let [a, b, c] = [0, 1, 2].map(|step| corners[(at + step) % 4]);
        (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0) > 1.0
    })
}

/// A projective map of the plane; the ninth entry is 1.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Homography([f64; 8]);

impl Homography {
    fn at(&self, x: f64, y: f64) -> (f64, f64) {
        let h = &self.0;
        let depth = h[6] * x + h[7] * y + 1.0;
        ((h[0] * x + h[1] * y + h[2]) / depth, (h[3] * x + h[4] * y + h[5]) / depth)
    }
}

/// Finds the map that takes the corners of an upright rectangle to four points.
fn homography((width, height): (f64, f64), to: [(f64, f64); 4]) -> Option<Homography> {
    let from = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let mut rows = [[0.0; 9]; 8];
    for (corner, ((x, y), (u, v))) in from.into_iter().zip(to).enumerate() {
        rows[2 * corner] = [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, u];
        rows[2 * corner + 1] = [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, v];
    }
    for pivot in 0..8 {
        let best = (pivot..8).max_by(|&a, &b| rows[a][pivot].abs().total_cmp(&rows[b][pivot].abs()))?;
        rows.swap(pivot, best);
        let own = rows[pivot];
        if own[pivot].abs() < 1e-12 {
            return None;
        }
        for row in (0..8).filter(|&row| row != pivot) {
            let factor = rows[row][pivot] / own[pivot];
            for (entry, other) in rows[row].iter_mut().zip(own) {
                *entry -= factor * other;
            }
        }
    }
    Some(Homography(std::array::from_fn(|entry| rows[entry][8] / rows[entry][entry])))
}

/// Reads a colour between pixels, linearly; colours count by their opacity.
fn between(picture: &Picture, (x, y): (f64, f64)) -> [u8; 4] {
    let (x, y) = (x - 0.5, y - 0.5);
    let side = |place: f64, length: u32| place.floor().clamp(0.0, f64::from(length - 1)) as u32;
    let (right, down) = ((x - x.floor()).clamp(0.0, 1.0), (y - y.floor()).clamp(0.0, 1.0));
    let mut sums = [0.0; 4];
    for (dx, dy, share) in [
        (0.0, 0.0, (1.0 - right) * (1.0 - down)),
        (1.0, 0.0, right * (1.0 - down)),
        (0.0, 1.0, (1.0 - right) * down),
        (1.0, 1.0, right * down),
    ] {
        let pixel = picture.pixel(side(x + dx, picture.width()), side(y + dy, picture.height()));
        let weight = share * f64::from(pixel[3]);
        for (sum, value) in sums.iter_mut().zip(&pixel[..3]) {
            *sum += weight * f64::from(*value);
        }
        sums[3] += weight;
    }
    let level = |value: f64| value.round().clamp(0.0, 255.0) as u8;
    if sums[3] < 0.5 {
        return [0; 4];
    }
    [level(sums[0] / sums[3]), level(sums[1] / sums[3]), level(sums[2] / sums[3]), level(sums[3])]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_homography_takes_corners_to_corners_and_the_middle_to_the_crossing_of_the_diagonals() {
        let to = [(10.0, 5.0), (90.0, 20.0), (80.0, 70.0), (5.0, 60.0)];
        let map = homography((100.0, 50.0), to).expect("the corners are in general position");
        for (from, to) in [(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)].into_iter().zip(to) {
            let (x, y) = map.at(from.0, from.1);
            assert!((x - to.0).abs() < 1e-9 && (y - to.1).abs() < 1e-9);
        }
        // Straight lines stay straight, so the diagonals of the rectangle cross where those of its image do.
        let (x, y) = map.at(50.0, 25.0);
        let cross = |a: (f64, f64), b: (f64, f64)| (b.0 - a.0) * (y - a.1) - (b.1 - a.1) * (x - a.0);
        assert!(cross(to[0], to[2]).abs() < 1e-6 && cross(to[1], to[3]).abs() < 1e-6);
    }

    #[test]
    fn corners_out_of_order_are_no_region() {
        assert!(is_convex(&[(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)]));
        assert!(!is_convex(&[(0.0, 0.0), (9.0, 9.0), (9.0, 0.0), (0.0, 9.0)]));
    }
}
