//! Where the seams between panels run, in words.

use super::press::Press;
use crate::panel::{Fit, Piece};

/// Says where all seams run; nothing for one panel.
pub(super) fn all(press: &Press, fit: &Fit) -> Option<String> {
    sentence(press, &fit.column_seams(), &fit.row_seams())
}

/// Says where the seams beside one panel run.
pub(super) fn beside(press: &Press, fit: &Fit, piece: &Piece) -> Option<String> {
    let touching = |seams: Vec<usize>, ends: [usize; 2]| -> Vec<usize> {
        seams.into_iter().filter(|seam| ends.contains(seam)).collect()
    };
    let columns = touching(fit.column_seams(), [piece.columns.start, piece.columns.end]);
    sentence(press, &columns, &touching(fit.row_seams(), [piece.rows.start, piece.rows.end]))
}

fn sentence(press: &Press, columns: &[usize], rows: &[usize]) -> Option<String> {
    let pair = |&after: &usize| press.fill("seam.pair", &[("before", &after), ("after", &(after + 1))]);
    let sides = [("seam.columns", columns), ("seam.rows", rows)];
    let places: Vec<String> = sides
        .into_iter()
        .filter(|(_, seams)| !seams.is_empty())
        .map(|(key, seams)| {
            let pairs: Vec<String> = seams.iter().map(pair).collect();
            press.fill(key, &[("pairs", &pairs.join(", "))])
        })
        .collect();
    let count = columns.len() + rows.len();
    (count > 0).then(|| press.tell("seam", count, &[("where", &places.join(", "))]))
}
