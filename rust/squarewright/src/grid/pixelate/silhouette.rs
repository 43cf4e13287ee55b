//! The edge of a found figure, smoothed so that it can be cut: no cells that meet at a corner alone, no
//! whiskers, no loose crumbs.

use crate::grid::patch::{connected, neighbours};

/// A bare cell is only painted when this much of it belongs to the figure.
const SOME: f32 = 0.2;
/// A whisker stays when more of its cell than this belongs to the figure.
const MOST: f32 = 0.75;
/// Passes that add and take away.
const PASSES: usize = 6;
/// Loose parts of less than this share of the largest go.
const CRUMB: usize = 40;

/// Smooths `painted`; `share` says how much of each cell belongs to the figure.
pub(super) fn smooth((rows, columns): (usize, usize), share: &[f32], painted: &mut [bool]) {
    for _ in 0..PASSES {
        let before = painted.to_vec();
        notches_and_whiskers((rows, columns), share, painted);
        joints((rows, columns), share, painted, true);
        if before == painted {
            break;
        }
    }
    crumbs((rows, columns), painted);
    // Only ever takes away, so it comes to an end.
    while joints((rows, columns), share, painted, false) {}
}

fn notches_and_whiskers((rows, columns): (usize, usize), share: &[f32], painted: &mut [bool]) {
    for place in 0..painted.len() {
        let beside = neighbours(rows, columns, place).filter(|&next| painted[next]).count();
        if painted[place] && beside <= 1 && share[place] < MOST {
            painted[place] = false;
        } else if !painted[place] && beside >= 3 && share[place] >= SOME {
            painted[place] = true;
        }
    }
}

/// Undoes corner joints where it changes least; says whether there was any.
fn joints((rows, columns): (usize, usize), share: &[f32], painted: &mut [bool], may_paint: bool) -> bool {
    let mut found = false;
    for row in 1..rows {
        for column in 1..columns {
            let corner = row * columns + column;
            let [a, b, c, d] = [corner - columns - 1, corner - columns, corner - 1, corner];
            let joint = painted[a] == painted[d] && painted[b] == painted[c] && painted[a] != painted[b];
            if !joint {
                continue;
            }
            found = true;
            let change = |place: usize| if painted[place] { share[place] - 0.5 } else { 0.5 - share[place] };
            let allowed = |place: &usize| painted[*place] || may_paint && share[*place] >= SOME;
            let cheapest = [a, b, c, d].into_iter().filter(allowed);
            if let Some(place) = cheapest.min_by(|&one, &other| change(one).total_cmp(&change(other))) {
                painted[place] = !painted[place];
            }
        }
    }
    found
}

/// Takes away parts that hang on nothing and are small beside the largest.
fn crumbs((rows, columns): (usize, usize), painted: &mut [bool]) {
    let (part_of, count) = connected(rows, columns, |place| painted[place]);
    let mut sizes = vec![0_usize; count];
    for place in (0..painted.len()).filter(|&place| painted[place]) {
        sizes[part_of[place]] += 1;
    }
    let largest = sizes.iter().copied().max().unwrap_or(0);
    for place in 0..painted.len() {
        painted[place] &= sizes[part_of[place]] * CRUMB >= largest;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(lines: &[&str]) -> (usize, usize, Vec<bool>) {
        let painted = lines.iter().flat_map(|line| line.chars()).map(|letter| letter == '#').collect();
        (lines.len(), lines[0].len(), painted)
    }

    fn smoothed(lines: &[&str], share: f32) -> Vec<bool> {
        let (rows, columns, mut painted) = drawn(lines);
        let share: Vec<f32> = painted.iter().map(|&painted| if painted { share } else { 0.1 }).collect();
        smooth((rows, columns), &share, &mut painted);
        painted
    }

    #[test]
    fn cells_that_meet_at_a_corner_alone_are_parted() {
        let found = smoothed(&["###...", "###...", "###...", "...###", "...###", "...###"], 0.9);
        let at = |row: usize, column: usize| found[row * 6 + column];
        let joint = at(2, 2) && at(3, 3) && !at(2, 3) && !at(3, 2);
        assert!(!joint);
        assert!(found.iter().filter(|&&painted| painted).count() >= 16);
    }

    #[test]
    fn a_faint_whisker_goes_and_a_clear_leg_stays() {
        let lines = ["####", "####", "##..", ".#..", ".#.."];
        assert_eq!(smoothed(&lines, 0.6), drawn(&["####", "####", "##..", "....", "...."]).2);
        assert_eq!(smoothed(&lines, 0.9), drawn(&lines).2);
    }

    #[test]
    fn a_crumb_beside_a_large_part_goes() {
        let mut lines = vec!["##########......"; 8];
        lines.push("................");
        lines.push(".............#..");
        let (_, _, mut whole) = drawn(&lines);
        whole[9 * 16 + 13] = false;
        assert_eq!(smoothed(&lines, 1.0), whole);
    }
}
