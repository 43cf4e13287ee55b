//! Where the seams between panels run, in words.

use super::words::fill;
use crate::panel::{Fit, Piece};

/// Says where all seams run; nothing for one panel.
pub(super) fn all(fit: &Fit) -> Option<String> {
    sentence(&fit.column_seams(), &fit.row_seams())
}

/// Says where the seams beside one panel run.
pub(super) fn beside(fit: &Fit, piece: &Piece) -> Option<String> {
    let touching = |seams: Vec<usize>, ends: [usize; 2]| -> Vec<usize> {
        seams.into_iter().filter(|seam| ends.contains(seam)).collect()
    };
    let columns = touching(fit.column_seams(), [piece.columns.start, piece.columns.end]);
    sentence(&columns, &touching(fit.row_seams(), [piece.rows.start, piece.rows.end]))
}

fn sentence(columns: &[usize], rows: &[usize]) -> Option<String> {
    let between =
        |key: &'static str| move |&after: &usize| fill(key, &[("before", &after), ("after", &(after + 1))]);
    let places: Vec<String> =
        columns.iter().map(between("seam.columns")).chain(rows.iter().map(between("seam.rows"))).collect();
    let key = match places.len() {
        0 => return None,
        1 => "seam.one",
        _ => "seam.many",
    };
    Some(fill(key, &[("where", &places.join(", "))]))
}
