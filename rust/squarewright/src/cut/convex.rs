//! Convex sheets and straight cuts through them.
//!
//! Which corners lie on which side of a line is told exactly, in whole numbers; where a line meets the edge of a
//! sheet is in general no whole number and is kept as `f64`, good to far below the unit of 7 nm.

use super::board::Point;

/// How near a corner counts as on a line, in units: far above the rounding of `f64`, far below what a hand sees.
const NEAR: f64 = 0.05;

/// A straight cut; what is kept lies on its left hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) a: Point,
    pub(super) b: Point,
}

/// A convex sheet: its corners counter-clockwise as seen.
pub(super) type Sheet = Vec<[f64; 2]>;

/// Twice the area to the left of the way a, b, c; below zero when it turns right.
pub(super) fn turn(a: Point, b: Point, c: Point) -> i128 {
    let wide = |value: i64| i128::from(value);
    wide(b.1 - a.1) * wide(c.0 - a.0) - wide(b.0 - a.0) * wide(c.1 - a.1)
}

impl Line {
    /// Tells whether a point lies exactly on the line.
    pub(super) fn holds(self, point: Point) -> bool {
        turn(self.a, self.b, point) == 0
    }

    /// Tells whether the line runs neither level nor upright.
    pub(super) fn is_slanted(self) -> bool {
        self.a.0 != self.b.0 && self.a.1 != self.b.1
    }

    /// Gives how far to the left of the line a point lies; what is near counts as on it.
    fn left(self, [x, y]: [f64; 2]) -> f64 {
        let (dx, dy) = ((self.b.0 - self.a.0) as f64, (self.b.1 - self.a.1) as f64);
        let (x, y) = (x - self.a.0 as f64, y - self.a.1 as f64);
        let distance = (dy * x - dx * y) / libm::hypot(dx, dy);
        if distance.abs() <= NEAR { 0.0 } else { distance }
    }

    /// Gives the same line with the other side kept.
    pub(super) fn reversed(self) -> Self {
        Self { a: self.b, b: self.a }
    }

    /// Gives what the line leaves of a sheet.
    pub(super) fn keep(self, sheet: &Sheet) -> Sheet {
        let mut kept = Sheet::with_capacity(sheet.len() + 1);
        for (place, &corner) in sheet.iter().enumerate() {
            let next = sheet[(place + 1) % sheet.len()];
            let (here, there) = (self.left(corner), self.left(next));
            if here >= 0.0 {
                kept.push(corner);
            }
            if here * there < 0.0 {
                kept.push(between(corner, next, here / (here - there)));
            }
        }
        if kept.len() < 3 { Sheet::new() } else { kept }
    }

    /// Gives where the line enters and leaves a sheet, if it takes anything off.
    pub(super) fn across(self, sheet: &Sheet) -> Option<[[f64; 2]; 2]> {
        if sheet.iter().all(|&corner| self.left(corner) >= 0.0) {
            return None;
        }
        let mut ends = Vec::new();
        for (place, &corner) in sheet.iter().enumerate() {
            let next = sheet[(place + 1) % sheet.len()];
            let (here, there) = (self.left(corner), self.left(next));
            if here == 0.0 {
                ends.push(corner);
            } else if here * there < 0.0 {
                ends.push(between(corner, next, here / (here - there)));
            }
        }
        Some([*ends.first()?, *ends.get(1)?])
    }
}

fn between(from: [f64; 2], to: [f64; 2], share: f64) -> [f64; 2] {
    [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share]
}

/// Gives the area to the left of a closed way, in square units (shoelace formula about its first corner).
pub(super) fn area(way: &[[f64; 2]]) -> f64 {
    let Some(&[x, y]) = way.first() else { return 0.0 };
    let twice: f64 = way
        .windows(2)
        .map(|pair| (pair[0][1] - y) * (pair[1][0] - x) - (pair[0][0] - x) * (pair[1][1] - y))
        .sum();
    twice / 2.0
}

pub(super) fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    libm::hypot(a[0] - b[0], a[1] - b[1])
}

/// Gives a rectangle as a sheet.
pub(super) fn rectangle([left, top, right, bottom]: [i64; 4]) -> Sheet {
    [(left, top), (left, bottom), (right, bottom), (right, top)].map(float).to_vec()
}

pub(super) fn float((x, y): Point) -> [f64; 2] {
    [x as f64, y as f64]
}

/// Gives the convex hull counter-clockwise as seen, without corners on straight edges (Andrew's monotone chain,
/// from memory).
pub(super) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut half: Vec<Point> = Vec::new();
        for point in points {
            while half.len() > 1 && turn(half[half.len() - 2], half[half.len() - 1], point) <= 0 {
                half.pop();
            }
            half.push(point);
        }
        half.pop();
        half
    };
    let mut hull = half(&mut sorted.iter().copied());
    hull.extend(half(&mut sorted.iter().rev().copied()));
    hull
}
