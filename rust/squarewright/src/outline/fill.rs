//! Filling a cell beside a corner at which two cells of the figure touch.

use super::Corner;
use super::body::Mask;

/// Fills cells until no two cells of the figure meet at a corner alone; gives what is filled for each joint.
/// A joint that goes with an earlier one gets nothing.
pub(super) fn fill_corners(mask: &mut Mask, joints: &[Corner]) -> Vec<Vec<usize>> {
    let closed = closing(mask);
    let mut fill = |&joint: &Corner| {
        let mut filled = Vec::new();
        let mut open = vec![joint];
        while let Some(corner) = open.pop() {
            let Some(empty) = empty(mask, corner) else { continue };
            // The first of two equals wins, so the comparison asks for better, not for as good.
            let [one, other] = empty.map(|place| (rank(mask, &closed, place), place));
            let (_, place) = if other.0 > one.0 { other } else { one };
            mask.filled[place] = true;
            filled.push(place);
            let (row, column) = mask.at(place);
            open.extend(
                [(1, 1), (1, 0), (0, 1), (0, 0)]
                    .map(|(down, right)| Corner { row: row + down, column: column + right }),
            );
        }
        filled
    };
    joints.iter().map(&mut fill).collect()
}

/// Gives the two empty cells at a corner at which two filled ones touch.
fn empty(mask: &Mask, Corner { row, column }: Corner) -> Option<[usize; 2]> {
    if row == 0 || column == 0 || row == mask.rows || column == mask.columns {
        return None;
    }
    let below = row * mask.columns + column;
    let (above, filled) = (below - mask.columns, |place: usize| mask.filled[place]);
    match [filled(above - 1), filled(above), filled(below - 1), filled(below)] {
        [true, false, false, true] => Some([above, below - 1]),
        [false, true, true, false] => Some([above - 1, below]),
        _ => None,
    }
}

/// Ranks a cell to fill: inside the closed silhouette, then by filled neighbours, then by fewer new joints.
fn rank(mask: &Mask, closed: &Mask, place: usize) -> (bool, usize, usize) {
    let (row, column) = mask.at(place);
    let mut beside = 0;
    let mut joints = 4;
    let filled = |down: usize, right: usize| {
        let (row, column) = ((row + down).checked_sub(1), (column + right).checked_sub(1));
        let inside = row.zip(column).filter(|&(row, column)| row < mask.rows && column < mask.columns);
        inside.is_some_and(|(row, column)| mask.filled[row * mask.columns + column])
    };
    for (down, right) in [(0, 0), (0, 2), (2, 0), (2, 2)] {
        let (level, upright, corner) = (filled(1, right), filled(down, 1), filled(down, right));
        beside += usize::from(corner);
        joints -= usize::from(corner && !level && !upright);
    }
    beside += [(0, 1), (1, 0), (1, 2), (2, 1)].iter().filter(|(down, right)| filled(*down, *right)).count();
    (closed.filled[place], beside, joints)
}

/// Closes the silhouette: grows it by one cell all round and takes one off again (Serra, 1982, from memory).
fn closing(mask: &Mask) -> Mask {
    let wide = grown(&Mask {
        // Growing must not stop at the edge of the grid.
        filled: mask.bare(2).filled.iter().map(|bare| !bare).collect(),
        rows: mask.rows + 4,
        columns: mask.columns + 4,
    });
    let outside = Mask { filled: wide.filled.iter().map(|filled| !filled).collect(), ..wide };
    let back = grown(&outside);
    let filled = (0..mask.filled.len()).map(|place| {
        let (row, column) = mask.at(place);
        !back.filled[(row + 2) * back.columns + column + 2]
    });
    Mask { rows: mask.rows, columns: mask.columns, filled: filled.collect() }
}

/// Grows a mask by one cell all round, as far as there is room.
pub(super) fn grown(mask: &Mask) -> Mask {
    let (rows, columns) = (mask.rows, mask.columns);
    let spread = |filled: &[bool], at: usize, last: usize, step: usize, place: usize| {
        filled[place] || (at > 0 && filled[place - step]) || (at < last && filled[place + step])
    };
    let count = mask.filled.len();
    let level: Vec<bool> =
        (0..count).map(|place| spread(&mask.filled, place % columns, columns - 1, 1, place)).collect();
    let filled = (0..count).map(|place| spread(&level, place / columns, rows - 1, columns, place)).collect();
    Mask { rows, columns, filled }
}
