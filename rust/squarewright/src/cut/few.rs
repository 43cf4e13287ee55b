//! A card with few cuts: it gives up a little card for fewer straight cuts.
//!
//! From the square outline on, the change that takes the least card is made again and again: a corner that turns
//! inward is cut across, or a side between two corners that turn outward is left out and its two neighbours run on
//! until they meet. Either takes one cut away and only ever adds card, so the card holds the square one and with
//! it the margin all round (progressive hulls: P. V. Sander, X. Gu, S. J. Gortler, H. Hoppe and J. Snyder,
//! "Silhouette Clipping", SIGGRAPH 2000, from memory; here in the plane). All in whole units: where lines meet
//! between two of them, the place just beyond both is taken.

use std::collections::BTreeSet;

use super::board::Point;
use super::convex::turn;
use crate::length::{Length, Place};
use crate::outline::Contour;

/// How much card may be added, as a part of the square card: one in so many.
const PART: i128 = 12;
/// Every contour keeps as many corners.
const LEAST: usize = 4;
/// A card of more corners is cut out by nobody, so it stays as it is.
const MOST: usize = 20_000;
/// Farther away than any board reaches, in units.
const FAR: i64 = 1 << 40;

/// Gives contours with fewer corners round the same card; figure and card lie on the left of a contour.
pub(super) fn few(contours: &[Contour]) -> Vec<Contour> {
    let mut rings = Rings::of(contours);
    if rings.points.len() <= MOST {
        rings.simplify();
    }
    rings.contours(contours)
}

/// The corners of all contours, each linked to its neighbours.
struct Rings {
    points: Vec<Point>,
    before: Vec<usize>,
    after: Vec<usize>,
    alive: Vec<bool>,
    ring: Vec<usize>,
    /// How many corners each contour has left.
    left: Vec<usize>,
}

/// A way to have one corner less: what it adds (twice the area), at which corner, and where the new corner lies
/// when the side that follows is left out.
type Change = (i128, usize, Option<Point>);

impl Rings {
    fn of(contours: &[Contour]) -> Self {
        let mut rings = Self {
            points: Vec::new(),
            before: Vec::new(),
            after: Vec::new(),
            alive: Vec::new(),
            ring: Vec::new(),
            left: Vec::new(),
        };
        for (number, contour) in contours.iter().enumerate() {
            let (first, count) = (rings.points.len(), contour.places.len());
            rings.points.extend(contour.places.iter().map(|at| (at.x.units(), at.y.units())));
            rings.before.extend((0..count).map(|place| first + (place + count - 1) % count));
            rings.after.extend((0..count).map(|place| first + (place + 1) % count));
            rings.ring.extend(std::iter::repeat_n(number, count));
            rings.left.push(count);
        }
        rings.alive = vec![true; rings.points.len()];
        rings
    }

    /// Makes changes, the cheapest first, while the card that they add lasts.
    fn simplify(&mut self) {
        let mut spare = self.twice() / PART;
        loop {
            let mut waiting: BTreeSet<Change> = self.changes(0..self.points.len()).collect();
            let mut changed = false;
            while let Some(change) = waiting.pop_first() {
                let (more, corner, _) = change;
                if more > spare {
                    break;
                }
                // What was reckoned before a neighbour moved no longer holds.
                if !self.changes([corner]).any(|now| now == change) || !self.is_free(change) {
                    continue;
                }
                spare -= more;
                changed = true;
                let near = self.make(change);
                waiting.extend(self.changes(near));
            }
            // What was in the way may be gone by now.
            if !changed {
                return;
            }
        }
    }

    /// Gives twice the area of the card.
    fn twice(&self) -> i128 {
        let sides =
            (0..self.points.len()).map(|at| turn((0, 0), self.points[at], self.points[self.after[at]]));
        sides.sum::<i128>().abs()
    }

    fn changes(&self, corners: impl IntoIterator<Item = usize>) -> impl Iterator<Item = Change> {
        let whole = corners.into_iter().filter(|&at| self.alive[at] && self.left[self.ring[at]] > LEAST);
        whole.flat_map(|at| [self.across(at), self.beyond(at)]).flatten()
    }

    /// Cuts across a corner that turns inward.
    fn across(&self, at: usize) -> Option<Change> {
        let way = turn(self.points[self.before[at]], self.points[at], self.points[self.after[at]]);
        (way <= 0).then_some((-way, at, None))
    }

    /// Leaves out the side that follows a corner, when both its ends turn outward.
    fn beyond(&self, at: usize) -> Option<Change> {
        let [u, v, w, x] = self.around(at).map(|corner| self.points[corner]);
        if turn(u, v, w) <= 0 || turn(v, w, x) <= 0 {
            return None;
        }
        let meeting = meeting([u, v, w, x])?;
        Some((-turn(v, w, meeting), at, Some(meeting)))
    }

    /// Gives the corner before a side, its two ends, and the corner behind it.
    fn around(&self, at: usize) -> [usize; 4] {
        let next = self.after[at];
        [self.before[at], at, next, self.after[next]]
    }

    /// Tells whether what a change adds is free: no corner lies in it, and no side runs through it.
    fn is_free(&self, (_, at, meeting): Change) -> bool {
        let corners = self.around(at);
        let [u, v, w, x] = corners.map(|corner| self.points[corner]);
        let mut others = (0..self.points.len()).filter(|&corner| self.alive[corner]);
        let Some(p) = meeting else {
            return others
                .all(|corner| corners[..3].contains(&corner) || !covers([u, v, w], self.points[corner]));
        };
        let triangles = [[v, w, p], [u, v, p], [w, x, p]];
        others.all(|corner| {
            let next = self.after[corner];
            let side = [self.points[corner], self.points[next]];
            let own = corners[..3].contains(&corner);
            let inside = !corners.contains(&corner) && triangles.iter().any(|&three| covers(three, side[0]));
            // A side that ends where a new one begins meets it there anyway.
            let first = next != corners[0] && meet([u, p], side);
            let second = corner != corners[3] && meet([p, x], side);
            !inside && (own || !(first || second))
        })
    }

    /// Makes a change and gives the corners whose changes are others now.
    fn make(&mut self, (_, at, meeting): Change) -> Vec<usize> {
        let gone = match meeting {
            Some(place) => {
                self.points[at] = place;
                self.after[at]
            }
            None => at,
        };
        let (before, after) = (self.before[gone], self.after[gone]);
        (self.after[before], self.before[after]) = (after, before);
        self.alive[gone] = false;
        self.left[self.ring[gone]] -= 1;
        let first = self.before[before];
        vec![self.before[first], first, before, after, self.after[after]]
    }

    fn contours(&self, contours: &[Contour]) -> Vec<Contour> {
        let mut first = 0;
        let contour = |Contour { places, hole }: &Contour| {
            let own = first..first + places.len();
            first = own.end;
            let left = own.filter(|&at| self.alive[at]).map(|at| self.points[at]);
            let place = |(x, y): Point| Place::new(Length::from_units(x), Length::from_units(y));
            Contour { places: left.map(place).collect(), hole: *hole }
        };
        contours.iter().map(contour).collect()
    }
}

/// Finds where the ways u → v and x → w meet beyond v and w, or the nearest place of whole units outside both.
fn meeting([u, v, w, x]: [Point; 4]) -> Option<Point> {
    let wide = |(x, y): Point, (from_x, from_y): Point| (i128::from(x - from_x), i128::from(y - from_y));
    let cross = |a: (i128, i128), b: (i128, i128)| a.1 * b.0 - a.0 * b.1;
    let (one, other, between) = (wide(v, u), wide(w, x), wide(w, v));
    let (share, whole) = (cross(between, other), cross(one, other));
    if whole == 0 || (share < 0) != (whole < 0) {
        return None;
    }
    let along = |side: i128, from: i64| {
        let at = i64::try_from(i128::from(from) + (side * share).div_euclid(whole)).ok();
        at.filter(|at| at.abs() < FAR)
    };
    let near = (along(one.0, v.0)?, along(one.1, v.1)?);
    let steps = (-2..=3).flat_map(|down| (-2..=3).map(move |right| (near.0 + right, near.1 + down)));
    let outside = steps.filter(|&p| turn(u, v, p) <= 0 && turn(w, x, p) <= 0 && turn(v, w, p) < 0);
    outside.min_by_key(|&p| (-turn(v, w, p), p)).filter(|&p| !is_sharp(v, p, w))
}

/// Tells whether a corner is under 60°: a tip of card like that frays and bends.
fn is_sharp(before: Point, at: Point, after: Point) -> bool {
    let wide = |to: Point| (i128::from(to.0 - at.0), i128::from(to.1 - at.1));
    let (one, other) = (wide(before), wide(after));
    let (level, across) = (one.0 * other.0 + one.1 * other.1, one.0 * other.1 - one.1 * other.0);
    // The square of the tangent of 60° is 3.
    level > 0 && across * across < 3 * level * level
}

/// Tells whether a triangle holds a place, its sides counted in.
fn covers([a, b, c]: [Point; 3], at: Point) -> bool {
    let ways = [turn(a, b, at), turn(b, c, at), turn(c, a, at)];
    let box_holds = |low: i64, high: i64, value: i64| (low..=high).contains(&value);
    let (xs, ys) = ([a.0, b.0, c.0], [a.1, b.1, c.1]);
    let low = |values: [i64; 3]| values.into_iter().min().unwrap_or_default();
    let high = |values: [i64; 3]| values.into_iter().max().unwrap_or_default();
    box_holds(low(xs), high(xs), at.0)
        && box_holds(low(ys), high(ys), at.1)
        && (ways.iter().all(|&way| way <= 0) || ways.iter().all(|&way| way >= 0))
}

/// Tells whether two lines meet, their ends counted in.
fn meet([a, b]: [Point; 2], [c, d]: [Point; 2]) -> bool {
    let apart = |a: i64, b: i64, c: i64, d: i64| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    if apart(a.0, b.0, c.0, d.0) || apart(a.1, b.1, c.1, d.1) {
        return false;
    }
    let parted = |one: i128, other: i128| (one > 0 && other > 0) || (one < 0 && other < 0);
    !parted(turn(a, b, c), turn(a, b, d)) && !parted(turn(c, d, a), turn(c, d, b))
}

#[cfg(test)]
mod tests {
    use super::few;
    use crate::length::{Length, Place};
    use crate::outline::{Contour, enclosed_mm2};

    /// Gives a square of ten millimetres that lacks a smaller one at its top right corner.
    fn notched(side: i64) -> Contour {
        let corners = [(0, 0), (0, 10), (10, 10), (10, side), (10 - side, side), (10 - side, 0)];
        let place = |(x, y)| Place::new(Length::MM * x, Length::MM * y);
        Contour { places: corners.map(place).to_vec(), hole: false }
    }

    /// Worked by hand: a notch of 1 mm costs 1 of 99 mm² to fill, one of 5 mm at least 12.5 of 75.
    #[test]
    fn a_small_notch_is_filled_and_a_large_one_stays() {
        let filled = few(&[notched(1)]);
        assert_eq!(filled[0].places.len(), 4);
        assert!((enclosed_mm2(&filled) - 100.0).abs() < 1e-9);
        assert_eq!(few(&[notched(5)]), [notched(5)]);
    }

    /// A hole gets smaller, as the card gets larger, and keeps four corners.
    #[test]
    fn a_hole_shrinks() {
        let mut hole = notched(2);
        hole.places.reverse();
        hole.hole = true;
        let around = [(-40, -40), (-40, 50), (50, 50), (50, -40)];
        let place = |(x, y)| Place::new(Length::MM * x, Length::MM * y);
        let around = Contour { places: around.map(place).to_vec(), hole: false };
        let found = few(&[around.clone(), hole.clone()]);
        assert_eq!(found[0], around);
        assert!(found[1].hole && found[1].places.len() == 4);
        assert!(found[1].mm2() < hole.mm2());
    }
}
