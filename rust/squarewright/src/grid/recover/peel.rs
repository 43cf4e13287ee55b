//! Margins and frames: border lines of one colour, taken off one by one.

use super::field::{Field, Rect};

/// The least side that is left.
const LEAST: usize = 8;
/// The share of a border line that must have its colour.
const SHARE: f64 = 0.97;

/// Finds what is left when uniform border rows and columns are taken off, again and again.
pub(super) fn content(field: &Field, tolerance: f32) -> Rect {
    let mut rect = Rect { left: 0, top: 0, right: field.width, bottom: field.height };
    loop {
        let before = rect;
        while rect.height() > LEAST && row_is_flat(field, rect, rect.top, tolerance) {
            rect.top += 1;
        }
        while rect.height() > LEAST && row_is_flat(field, rect, rect.bottom - 1, tolerance) {
            rect.bottom -= 1;
        }
        while rect.width() > LEAST && column_is_flat(field, rect, rect.left, tolerance) {
            rect.left += 1;
        }
        while rect.width() > LEAST && column_is_flat(field, rect, rect.right - 1, tolerance) {
            rect.right -= 1;
        }
        if rect == before {
            return rect;
        }
    }
}

fn row_is_flat(field: &Field, rect: Rect, y: usize, tolerance: f32) -> bool {
    let lines: Vec<Vec<u8>> =
        (0..field.planes.len()).map(|plane| field.row(plane, y)[rect.left..rect.right].to_vec()).collect();
    is_flat(&lines, tolerance)
}

fn column_is_flat(field: &Field, rect: Rect, x: usize, tolerance: f32) -> bool {
    let column = |plane: &Vec<u8>| (rect.top..rect.bottom).map(|y| plane[y * field.width + x]).collect();
    let lines: Vec<Vec<u8>> = field.planes.iter().map(column).collect();
    is_flat(&lines, tolerance)
}

/// Says whether nearly all values are near the middle one in every channel.
pub(super) fn is_flat(lines: &[Vec<u8>], tolerance: f32) -> bool {
    let middles: Vec<f32> = lines.iter().map(|line| median(line)).collect();
    let length = lines.first().map_or(0, Vec::len);
    let far = (0..length)
        .filter(|&place| {
            lines
                .iter()
                .zip(&middles)
                .any(|(line, middle)| (f32::from(line[place]) - middle).abs() > tolerance)
        })
        .count();
    far as f64 <= (1.0 - SHARE) * length as f64
}

/// Gives the middle value.
pub(super) fn median(line: &[u8]) -> f32 {
    let mut counts = [0_usize; 256];
    for &value in line {
        counts[usize::from(value)] += 1;
    }
    let mut seen = 0;
    let half = line.len().div_ceil(2);
    let place = counts.iter().position(|count| {
        seen += count;
        seen >= half
    });
    place.unwrap_or(0) as f32
}
