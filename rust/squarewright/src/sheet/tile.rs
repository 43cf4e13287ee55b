//! Cutting a length into pages that overlap.

use crate::length::{Length, Ratio};

/// The largest overlap of neighbouring pages.
const OVERLAP: Length = Length::inches(1, 2);

/// A stretch of the figure that one page shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Span {
    pub(super) from: Length,
    pub(super) to: Length,
}

/// Shares `cells` of `pitch` out on pages that show at most `live`.
///
/// Pages end on cell boundaries unless a cell is larger than half a page; neighbours overlap by the smaller
/// of two cells and half an inch.
pub(super) fn spans(cells: usize, pitch: Ratio, live: Length) -> Vec<Span> {
    let total = pitch.times(cells).nearest();
    let overlap = pitch.times(2).nearest().min(OVERLAP);
    let greedy = cut(total, pitch, live, overlap);
    // As many pages, but all about as full as the first.
    let count = i64::try_from(greedy.len()).unwrap_or(1);
    let even = Length::from_units((total + overlap * (count - 1)).units() / count) + pitch.nearest();
    let even = cut(total, pitch, even.min(live), overlap);
    if even.len() == greedy.len() { even } else { greedy }
}

fn cut(total: Length, pitch: Ratio, live: Length, overlap: Length) -> Vec<Span> {
    let mut spans = Vec::new();
    let mut from = Length::ZERO;
    while from + live < total {
        let reach = from + live;
        let whole = usize::try_from(reach.ratio().holds(pitch)).unwrap_or(0);
        let boundary = pitch.times(whole).nearest();
        let to = if boundary > from + live.half() { boundary } else { reach };
        spans.push(Span { from, to });
        from = to - overlap;
    }
    spans.push(Span { from, to: total });
    spans
}
