//! Coarse cuts straight through the sheet along the hull of a part: which ones, and in which order.
//!
//! *Which* does not hang on any order: while some line would take off less than the smallest piece with all
//! the others made, the least useful one is dropped. *Order*: what is left of the sheet depends only on which
//! cuts were made, so the shortest total follows from the best totals of all subsets (dynamic programme over
//! subsets, as Bellman, and Held and Karp, 1962, from memory). Lengths are only known up to rounding, so totals
//! that differ by less than a hair count as equal and the first line wins.

use super::board::Point;
use super::convex::{Line, Sheet, area, distance, hull};

/// More lines than this are put in order by what each takes off for its length.
const EXACT: usize = 12;
/// One inch in units.
const INCH: f64 = 3_657_600.0;
/// Totals and areas that differ by less are equal: a millionth of an inch, of a square inch.
const HAIR: f64 = INCH / 1e6;
const SPECK: f64 = INCH * HAIR;

/// The coarse cuts of a part.
#[derive(Debug)]
pub(super) struct Through {
    /// The lines in the order in which they are cut.
    pub(super) lines: Vec<Line>,
    /// Where each begins and ends.
    pub(super) cuts: Vec<[[f64; 2]; 2]>,
    /// What is left of the sheet.
    pub(super) sheet: Sheet,
}

/// Chooses the cuts round a part and puts them in order; `smallest` is an area in square units.
pub(super) fn through(sheet: &Sheet, part: &[Point], smallest: f64) -> Through {
    let lines = order(sheet, choice(sheet, part, smallest));
    let mut left = sheet.clone();
    let mut cuts = Vec::new();
    for line in &lines {
        if let Some(ends) = line.across(&left) {
            cuts.push(ends);
            left = line.keep(&left);
        }
    }
    Through { lines, cuts, sheet: left }
}

/// Chooses among the edges of the hull; the bounds of a part of cells are always among them.
fn choice(sheet: &Sheet, part: &[Point], smallest: f64) -> Vec<Line> {
    let hull = hull(part);
    let next = hull.iter().cycle().skip(1);
    let mut lines: Vec<Line> = hull.iter().zip(next).map(|(&a, &b)| Line { a, b }).collect();
    loop {
        let alone: Vec<f64> = (0..lines.len()).map(|place| takes_alone(sheet, &lines, place)).collect();
        let least = alone.iter().copied().fold(f64::INFINITY, f64::min);
        if least >= smallest - SPECK {
            return lines;
        }
        let idle = |place: usize| alone[place] <= least + SPECK;
        let slanted = (0..lines.len()).any(|place| idle(place) && lines[place].is_slanted());
        let keep: Vec<bool> =
            (0..lines.len()).map(|place| !idle(place) || (slanted && !lines[place].is_slanted())).collect();
        let mut keep = keep.into_iter();
        lines.retain(|_| keep.next().unwrap_or(true));
    }
}

/// Gives the area that a line takes off after all the others.
fn takes_alone(sheet: &Sheet, lines: &[Line], place: usize) -> f64 {
    let mut off = lines[place].reversed().keep(sheet);
    let count = lines.len();
    // The neighbours first: they leave little for the others.
    for step in 1..count {
        if off.is_empty() {
            return 0.0;
        }
        let half = step.div_ceil(2);
        let other = if step % 2 == 1 { place + half } else { place + count - half };
        off = lines[other % count].keep(&off);
    }
    closed_area(&off)
}

fn closed_area(sheet: &Sheet) -> f64 {
    let mut way = sheet.clone();
    way.extend(sheet.first());
    area(&way)
}

fn order(sheet: &Sheet, lines: Vec<Line>) -> Vec<Line> {
    if lines.len() > EXACT { by_gain(sheet, lines) } else { shortest(sheet, &lines) }
}

fn length(line: Line, sheet: &Sheet) -> f64 {
    line.across(sheet).map_or(0.0, |[from, to]| distance(from, to))
}

/// Finds the order with the shortest total.
fn shortest(sheet: &Sheet, lines: &[Line]) -> Vec<Line> {
    let all = 1_usize << lines.len();
    let mut sheets: Vec<Sheet> = vec![sheet.clone()];
    let mut best: Vec<(f64, usize)> = vec![(0.0, 0)];
    for made in 1..all {
        let mut choice = (f64::INFINITY, 0);
        for (place, &line) in lines.iter().enumerate().filter(|(place, _)| made >> place & 1 == 1) {
            let before = made & !(1 << place);
            let total = best[before].0 + length(line, &sheets[before]);
            if total < choice.0 - HAIR {
                choice = (total, place);
            }
        }
        best.push(choice);
        let last = made.trailing_zeros() as usize;
        sheets.push(lines[last].keep(&sheets[made & (made - 1)]));
    }
    let mut made = all - 1;
    let mut order = Vec::with_capacity(lines.len());
    while made > 0 {
        let last = best[made].1;
        order.push(lines[last]);
        made &= !(1 << last);
    }
    order.reverse();
    order
}

/// Cuts first what takes off most for its length; each cut counts an inch more for laying on the straightedge.
fn by_gain(sheet: &Sheet, mut lines: Vec<Line>) -> Vec<Line> {
    let mut left = sheet.clone();
    let mut order = Vec::with_capacity(lines.len());
    while !lines.is_empty() {
        let mut best = (f64::NEG_INFINITY, 0);
        for (place, line) in lines.iter().enumerate() {
            let gain = closed_area(&line.reversed().keep(&left)) / (length(*line, &left) + INCH);
            if gain > best.0 + HAIR {
                best = (gain, place);
            }
        }
        let line = lines.remove(best.1);
        left = line.keep(&left);
        order.push(line);
    }
    order
}

#[cfg(test)]
mod tests {
    use super::super::board::Board;
    use super::*;

    /// Places a drawing in the middle of a panel of 12 in and gives the ring at the clearance.
    fn grown(drawing: &[&str], pitch: i64, clearance: i64) -> Vec<Point> {
        let board = Board::drawn(drawing, pitch, 12 * 3_657_600);
        let mask = board.grown(clearance);
        mask.ring().into_iter().map(|corner| mask.point(corner)).collect()
    }

    fn measured(drawing: &[&str], pitch: i64) -> (f64, f64, usize) {
        let inch = 3_657_600;
        let sheet = super::super::convex::rectangle([0, 0, 12 * inch, 12 * inch]);
        let found = through(&sheet, &grown(drawing, pitch, inch / 4), INCH * INCH);
        let total: f64 = found.cuts.iter().map(|&[from, to]| distance(from, to)).sum();
        (total / INCH, closed_area(&found.sheet) / INCH / INCH, found.cuts.len())
    }

    /// Totals worked out beforehand with shapely 2.1 on a 12 in panel, clearance 1/4 in, smallest piece
    /// 1 square inch, by trying all orders.
    #[test]
    fn the_order_with_the_shortest_total_is_found() {
        let inch = 3_657_600;
        let stairs: Vec<String> =
            (1..=9).map(|n| format!("{}{}", "#".repeat(n), ".".repeat(9 - n))).collect();
        let stairs: Vec<&str> = stairs.iter().map(String::as_str).collect();
        let cases: [(&[&str], i64, f64); 4] = [
            (&[".#.", "###", ".#."], 3 * inch, 45.113),
            (&["#..", "#..", "###"], 3 * inch, 41.771),
            (&stairs, inch, 40.599),
            (&["#"], 8 * inch, 41.0),
        ];
        for (drawing, pitch, expected) in cases {
            let (total, _, _) = measured(drawing, pitch);
            assert!((total - expected).abs() < 5e-4, "{drawing:?}: {total} for {expected}");
        }
    }

    /// The hull of the plus with its clearance has 72.25 square inches: by hand.
    #[test]
    fn the_cuts_round_a_plus_leave_its_hull() {
        let (_, left, count) = measured(&[".#.", "###", ".#."], 3 * 3_657_600);
        assert!((left - 72.25).abs() < 1e-9, "{left}");
        assert_eq!(count, 8);
    }

    /// Four slanted corners of 0.5 square inches are not worth a cut of their own; `common practice`.
    #[test]
    fn what_is_not_worth_a_cut_is_left() {
        let inch = 3_657_600;
        let round = [".####.", "######", "######", "######", "######", ".####."];
        let sheet = super::super::convex::rectangle([0, 0, 12 * inch, 12 * inch]);
        let ring = grown(&round, inch, inch / 8);
        assert_eq!(through(&sheet, &ring, INCH * INCH).cuts.len(), 4);
        assert_eq!(through(&sheet, &ring, INCH * INCH / 4.0).cuts.len(), 8);
    }
}
