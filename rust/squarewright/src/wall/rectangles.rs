//! The largest free rectangle among places of which some are taken.

/// A run of columns or of rows: the first, and the one after the last.
pub(super) type Span = (usize, usize);

/// Finds the rectangle of free places, given row by row, that is worth most; of equals the topmost, and none that
/// is worth nothing. `worth` gets its columns and its rows.
///
/// Every rectangle that cannot grow is seen once, by a stack of columns for each row.
pub(super) fn largest(
    taken: &[bool],
    columns: usize,
    worth: impl Fn(Span, Span) -> i64,
) -> Option<(Span, Span)> {
    let mut best: Option<(i64, (Span, Span))> = None;
    let mut heights = vec![0; columns];
    for (row, taken) in taken.chunks(columns).enumerate() {
        for (height, taken) in heights.iter_mut().zip(taken) {
            *height = if *taken { 0 } else { *height + 1 };
        }
        let mut stack: Vec<(usize, usize)> = Vec::new();
        for (column, height) in heights.iter().copied().chain([0]).enumerate() {
            let mut left = column;
            while let Some((from, high)) = stack.pop_if(|top| top.1 > height) {
                let found = ((from, column), (row + 1 - high, row + 1));
                let worth = worth(found.0, found.1);
                if worth > best.map_or(0, |best| best.0) {
                    best = Some((worth, found));
                }
                left = from;
            }
            if height > 0 && stack.last().is_none_or(|top| top.1 < height) {
                stack.push((left, height));
            }
        }
    }
    best.map(|(_, found)| found)
}
