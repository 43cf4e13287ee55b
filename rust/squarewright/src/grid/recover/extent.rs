//! How far the cells reach: over the content, then outward over flat margins that agree with the lattice.

use super::field::{Field, Rect};
use super::kernel::Model;
use super::peel::median;

/// Finds the first cell and the one past the last along the columns of a field.
pub(super) fn cells(field: &Field, content: Rect, model: &Model, tolerance: f32) -> (i64, i64) {
    let length = field.width as f64;
    let (pitch, offset) = (model.pitch, model.offset);
    let place = |pixel: f64| (pixel - offset) / pitch;
    let least = (place(0.0) - 0.5).ceil() as i64;
    let most = (place(length) + 0.5).floor() as i64;
    let mut first = ((place(content.left as f64) + 0.02).floor() as i64).max(least);
    let mut end = ((place(content.right as f64) - 0.02).ceil() as i64).min(most).max(first + 1);
    let is_flat = |cell: i64| {
        let near = (offset + cell as f64 * pitch + 0.6).ceil().max(0.0) as usize;
        let far = ((offset + (cell + 1) as f64 * pitch - 0.6).floor().min(length)).max(0.0) as usize;
        far <= near || columns_are_alike(field, content, near..far, tolerance)
    };
    while first > least && is_flat(first - 1) {
        first -= 1;
    }
    while end < most && is_flat(end) {
        end += 1;
    }
    (first, end)
}

fn columns_are_alike(field: &Field, content: Rect, columns: std::ops::Range<usize>, tolerance: f32) -> bool {
    field.planes.iter().all(|plane| {
        let middles: Vec<f32> = columns
            .clone()
            .map(|x| {
                let column: Vec<u8> =
                    (content.top..content.bottom).map(|y| plane[y * field.width + x]).collect();
                median(&column)
            })
            .collect();
        let mut sorted = middles.clone();
        sorted.sort_by(f32::total_cmp);
        let middle = sorted[sorted.len() / 2];
        middles.iter().all(|value| (value - middle).abs() <= tolerance)
    })
}
