//! Cuts across the bays of waste between a part and the edge of the sheet that is left round it.
//!
//! A bay is a chain of corners of the part between two places where the part reaches that edge. The cuts across
//! it form a way from one end of the chain to the other over its corners; the best way is a shortest path whose
//! steps cost what they cut and what they leave behind (shortcuts of a polygonal line after Imai and Iri, 1988,
//! from memory). Cuts of one way never cross, because each lies between a chain and the next.

use std::cmp::Ordering;

use super::board::{Mask, Point};
use super::convex::{Sheet, area, distance, float, turn};
use super::through::Through;
use crate::outline::Corner;

/// A longer chain is cut over this many corners at once and no more, so that the time stays bounded.
const REACH: usize = 600;
/// One inch in units.
const INCH: f64 = 3_657_600.0;
/// An area in square units that nobody can cut off: a thousandth of a square inch.
const SLIVER: f64 = INCH * INCH / 1000.0;

/// What cuts and leavings cost, all as inches of cut. They are a matter of judgement.
#[derive(Debug, Clone, Copy)]
pub(super) struct Price {
    /// Laying on the straightedge for one more cut.
    pub(super) cut: f64,
    /// An inch of straight cut.
    pub(super) length: f64,
    /// A square inch of waste that is left for the strokes.
    pub(super) left: f64,
    /// A run of the chain itself, when the chain is the outline and has to be cut anyway; with a clearance the
    /// chain lies in the waste, and a run is a cut like any other.
    pub(super) run: Option<f64>,
}

impl Default for Price {
    fn default() -> Self {
        Self { cut: 1.0, length: 0.25, left: 3.0, run: None }
    }
}

/// A bay and the way across it.
#[derive(Debug)]
pub(super) struct Bay {
    /// The corners of the way; none when the bay is left to the strokes.
    pub(super) way: Vec<Point>,
    /// What the way takes off, in square units.
    pub(super) removed: f64,
    /// What the way costs, or leaving the bay.
    pub(super) cost: f64,
}

/// A chain of corners and the area between its straight lid and the edge of the sheet.
struct Chain<'a> {
    mask: &'a Mask,
    corners: Vec<Corner>,
    points: Vec<Point>,
    /// Twice the area to the left of the chain up to each corner, about the origin.
    swept: Vec<i128>,
    beyond: f64,
}

/// Finds the bays of a part and the best way across each.
pub(super) fn bays(
    mask: &Mask,
    ring: &[Corner],
    through: &Through,
    edges: [i64; 4],
    price: &Price,
) -> Vec<Bay> {
    let points: Vec<Point> = ring.iter().map(|&corner| mask.point(corner)).collect();
    let meets = |point: &Point| {
        let on_edge = [point.0 == edges[0], point.1 == edges[1], point.0 == edges[2], point.1 == edges[3]];
        on_edge.contains(&true) || through.lines.iter().any(|line| line.holds(*point))
    };
    let contacts: Vec<usize> = (0..ring.len()).filter(|&place| meets(&points[place])).collect();
    let mut found = Vec::new();
    for (number, &first) in contacts.iter().enumerate() {
        let last = contacts.get(number + 1).copied().unwrap_or(contacts[0] + ring.len());
        let corners: Vec<Corner> = (first..=last).map(|place| ring[place % ring.len()]).collect();
        let points: Vec<Point> = corners.iter().map(|&corner| mask.point(corner)).collect();
        let beyond = lid(&through.sheet, points[0], points[points.len() - 1]);
        let chain = Chain::new(mask, corners, points, beyond);
        found.extend((chain.area() > SLIVER).then(|| chain.best(price)));
    }
    found
}

/// Gives the area between the straight lid of a bay and the edge of the sheet beyond it.
fn lid(sheet: &Sheet, from: Point, to: Point) -> f64 {
    let whole_round = from == to;
    let (from, to) = (float(from), float(to));
    let (start, end) = (along(sheet, from), along(sheet, to));
    let count = sheet.len();
    let end = if end < start || whole_round { end + count as f64 } else { end };
    let corners = (1..=2 * count).filter(|&place| (place as f64) > start && (place as f64) < end);
    let mut way = vec![from];
    way.extend(corners.map(|place| sheet[place % count]));
    way.extend([to, from]);
    area(&way)
}

/// Gives where on the edge of a sheet a point lies: the number of the side and the share of it.
fn along(sheet: &Sheet, point: [f64; 2]) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    for (place, &from) in sheet.iter().enumerate() {
        let to = sheet[(place + 1) % sheet.len()];
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let share = ((point[0] - from[0]) * dx + (point[1] - from[1]) * dy) / (dx * dx + dy * dy);
        let share = share.clamp(0.0, 1.0);
        let gap = distance(point, [from[0] + dx * share, from[1] + dy * share]);
        if gap < best.0 {
            best = (gap, place as f64 + share);
        }
    }
    best.1
}

impl Bay {
    /// Orders bays: the largest piece first, then the cheaper way, then by place.
    pub(super) fn sooner(&self, other: &Self) -> Ordering {
        let gain = other.removed.total_cmp(&self.removed);
        gain.then(self.cost.total_cmp(&other.cost)).then_with(|| self.way.cmp(&other.way))
    }
}

impl<'a> Chain<'a> {
    fn new(mask: &'a Mask, corners: Vec<Corner>, points: Vec<Point>, beyond: f64) -> Self {
        let mut swept = vec![0];
        for pair in points.windows(2) {
            swept.push(swept[swept.len() - 1] + turn((0, 0), pair[0], pair[1]));
        }
        Self { mask, corners, points, swept, beyond }
    }

    /// Gives the area between the straight step from one corner to another and the chain, in square units:
    /// below zero when the step runs behind the chain.
    fn behind(&self, from: usize, to: usize) -> f64 {
        let closing = turn((0, 0), self.points[to], self.points[from]);
        -((self.swept[to] - self.swept[from] + closing) as f64) / 2.0
    }

    /// Gives the area of the whole bay.
    fn area(&self) -> f64 {
        self.behind(0, self.points.len() - 1) + self.beyond
    }

    /// Gives what a step costs as a cut, if it is one.
    fn step(&self, from: usize, to: usize, price: &Price) -> Option<f64> {
        let straight = distance(float(self.points[from]), float(self.points[to])) / INCH;
        let cut = price.cut + price.length * straight;
        if to == from + 1 {
            return Some(price.run.unwrap_or(cut));
        }
        let behind = self.behind(from, to);
        // The lid itself is a cut only where the sheet reaches beyond it.
        let is_lid = from == 0 && to + 1 == self.points.len() && self.beyond < SLIVER;
        (behind > -SLIVER && straight > 0.0 && !is_lid).then(|| cut + price.left * behind / (INCH * INCH))
    }

    fn best(&self, price: &Price) -> Bay {
        let last = self.points.len() - 1;
        let leave = price.left * self.area() / (INCH * INCH);
        let mut best = vec![(f64::INFINITY, 0); last + 1];
        (best[0].0, best[last].0) = (0.0, leave);
        for to in 1..=last {
            for from in to.saturating_sub(REACH)..to {
                let Some(cost) = self.step(from, to, price) else { continue };
                let total = best[from].0 + cost;
                if total < best[to].0 - 1e-9 && (to == from + 1 || self.sees(from, to)) {
                    best[to] = (total, from);
                }
            }
        }
        if best[last].0 >= leave {
            return Bay { way: Vec::new(), removed: 0.0, cost: leave };
        }
        self.told(&best)
    }

    fn sees(&self, from: usize, to: usize) -> bool {
        self.mask.is_clear(self.corners[from], self.corners[to])
    }

    /// Walks the best way back.
    fn told(&self, best: &[(f64, usize)]) -> Bay {
        let last = best.len() - 1;
        let mut way = vec![last];
        while let Some(&at) = way.last().filter(|&&at| at > 0) {
            way.push(best[at].1);
        }
        way.reverse();
        let kept: f64 = way.windows(2).map(|pair| self.behind(pair[0], pair[1])).sum();
        let removed = self.area() - kept;
        Bay { way: way.into_iter().map(|at| self.points[at]).collect(), removed, cost: best[last].0 }
    }
}

#[cfg(test)]
mod tests {
    use super::super::board::Board;
    use super::super::convex::rectangle;
    use super::super::through::through;
    use super::*;

    const U: i64 = 3_657_600;
    /// The chain is the outline itself: its runs are cut anyway.
    const ON_LINE: Price = Price { cut: 1.0, length: 0.25, left: 3.0, run: Some(1.0) };
    const NOTCH: [&str; 5] = ["#.......#", "##.....##", "###...###", "####.####", "#########"];

    fn found(drawing: &[&str], pitch: i64, clearance: i64, price: &Price) -> Vec<Bay> {
        let board = Board::drawn(drawing, pitch, 12 * U);
        let mask = board.grown(clearance);
        let (labels, parts) = mask.parts();
        let one = parts.iter().position(Option::is_some).expect("a figure in one piece");
        let mask = mask.joined(&labels, &[one], parts[one].expect("its bounds"));
        let ring = mask.ring();
        let points: Vec<Point> = ring.iter().map(|&corner| mask.point(corner)).collect();
        let edges = [0, 0, 12 * U, 12 * U];
        let through = through(&rectangle(edges), &points, INCH * INCH);
        let mut found = bays(&mask, &ring, &through, edges, price);
        found.sort_by(Bay::sooner);
        found
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-4
    }

    fn chords(bay: &Bay) -> Vec<f64> {
        let pairs = bay.way.windows(2);
        pairs.map(|pair| distance(float(pair[0]), float(pair[1])) / INCH).collect()
    }

    /// Worked out beforehand with shapely 2.1 and by brute force over all subsets of the corners.
    #[test]
    fn a_notch_without_clearance_gets_the_best_way() {
        let bay = &found(&NOTCH, U / 2, 0, &ON_LINE)[0];
        assert!(near(bay.cost, 6.8624) && near(bay.removed / INCH / INCH, 3.125), "{bay:?}");
        let mut lengths = chords(bay);
        lengths.sort_by(f64::total_cmp);
        assert!(near(lengths[1], 2.1213) && near(lengths[2], 2.8284), "{lengths:?}");
        let dear = |left| found(&NOTCH, U / 2, 0, &Price { left, ..ON_LINE });
        assert!(dear(1.0)[0].way.is_empty() && near(dear(1.0)[0].cost, 4.0));
        assert!(near(dear(2.0)[0].cost, 5.9053) && near(dear(2.0)[0].removed / INCH / INCH, 2.625));
        let wide = &found(&NOTCH, U, 0, &ON_LINE)[0];
        assert!(near(wide.cost, 14.75) && near(wide.removed / INCH / INCH, 15.0), "{wide:?}");
    }

    /// By hand: a bay of 12 square inches whose three sides are runs of the outline, and stairs of half a
    /// square inch that are not worth a cut.
    #[test]
    fn a_square_bay_is_cut_on_its_sides_and_stairs_are_left() {
        let u = ["##.##", "##.##", "##.##", "#####", "#####"];
        let bay = &found(&u, 2 * U, 0, &ON_LINE)[0];
        assert!(near(bay.cost, 3.0) && near(bay.removed / INCH / INCH, 12.0), "{bay:?}");
        let stairs: Vec<String> =
            (1..=9).map(|n| format!("{}{}", "#".repeat(n), ".".repeat(9 - n))).collect();
        let stairs: Vec<&str> = stairs.iter().map(String::as_str).collect();
        let bays = found(&stairs, U, 0, &ON_LINE);
        let steps = bays.iter().filter(|bay| bay.way.is_empty() && near(bay.cost, 1.5));
        assert_eq!(steps.count(), 8, "{bays:?}");
        let plus = found(&[".#.", "###", ".#."], 3 * U, U / 4, &ON_LINE);
        assert_eq!(plus.iter().filter(|bay| near(bay.removed / INCH / INCH, 4.5)).count(), 4);
        assert!(plus.iter().all(|bay| bay.way.len() == 3), "two runs and no chord");
    }

    /// With a clearance the chain lies in the waste and every run is a cut that has its price: by brute force over
    /// all ways, each checked with a line that is walked in small steps.
    #[test]
    fn with_a_clearance_the_way_is_the_best_of_all_ways() {
        for (pitch, clearance) in [(U / 2, U / 8), (U, U / 8), (U, U / 4)] {
            let price = Price::default();
            let board = Board::drawn(&NOTCH, pitch, 12 * U);
            let mask = board.grown(clearance);
            let bay = found(&NOTCH, pitch, clearance, &price).remove(0);
            let ring: Vec<Point> = mask.ring().into_iter().map(|corner| mask.point(corner)).collect();
            let (best, removed) = brute(&mask, &ring, &price);
            assert!(near(bay.cost, best), "{pitch} {clearance}: {} for {best}", bay.cost);
            assert!(near(bay.removed / INCH / INCH, removed), "{} for {removed}", bay.removed / INCH / INCH);
        }
    }

    /// Mirrors and turns may lead to a twin of the way, never to another cost.
    #[test]
    fn mirrors_and_turns_change_no_cost() {
        let mut chance = 7_u64;
        for _ in 0..12 {
            let mut figure = grown_by_chance(&mut chance, 12);
            let costs = |figure: &[Vec<bool>]| {
                let drawing: Vec<String> = figure
                    .iter()
                    .map(|row| row.iter().map(|&cell| if cell { '#' } else { '.' }).collect())
                    .collect();
                let drawing: Vec<&str> = drawing.iter().map(String::as_str).collect();
                found(&drawing, U / 2, U / 8, &Price::default()).iter().map(|bay| bay.cost).sum::<f64>()
            };
            let first = costs(&figure);
            assert!(first > 1.0, "there is something to cut");
            for _ in 0..4 {
                figure =
                    (0..12).map(|column| (0..12).rev().map(|row| figure[row][column]).collect()).collect();
                assert!((costs(&figure) - first).abs() < 1e-6);
                let mirrored: Vec<Vec<bool>> =
                    figure.iter().map(|row| row.iter().rev().copied().collect()).collect();
                assert!((costs(&mirrored) - first).abs() < 1e-6);
            }
        }
    }

    /// Grows a figure in one piece from the middle, cell by cell (a linear congruence after Knuth, from memory).
    fn grown_by_chance(chance: &mut u64, side: usize) -> Vec<Vec<bool>> {
        let mut figure = vec![vec![false; side]; side];
        figure[side / 2][side / 2] = true;
        let mut draw = |count: usize| {
            *chance = chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            usize::try_from(*chance >> 33).expect("31 bits") % count
        };
        let mut cells = 1;
        while cells < side * side / 2 {
            let (row, column) = (draw(side), draw(side));
            let filled =
                |row: usize, column: usize| figure.get(row).is_some_and(|r| r.get(column) == Some(&true));
            let beside = filled(row + 1, column)
                || filled(row, column + 1)
                || filled(row.wrapping_sub(1), column)
                || filled(row, column.wrapping_sub(1));
            if beside && !figure[row][column] {
                figure[row][column] = true;
                cells += 1;
            }
        }
        figure
    }

    /// Tries every set of corners of the one chain between the two top edges.
    fn brute(mask: &Mask, ring: &[Point], price: &Price) -> (f64, f64) {
        let top = ring.iter().map(|point| point.1).min().expect("a ring");
        let middle = 6 * U;
        let on_top = |&&point: &&Point| point.1 == top;
        let from = *ring.iter().filter(on_top).filter(|p| p.0 > middle).min().expect("right");
        let start = ring.iter().position(|&point| point == from).expect("on the ring");
        let mut chain = vec![from];
        for step in 1.. {
            let point = ring[(start + step) % ring.len()];
            chain.push(point);
            if point.1 == top && point.0 < middle {
                break;
            }
        }
        let last = chain.len() - 1;
        let twice = |points: &[Point]| -> f64 {
            let next = points.iter().cycle().skip(1);
            points.iter().zip(next).map(|(&a, &b)| turn((0, 0), a, b) as f64).sum()
        };
        let whole = -twice(&chain) / 2.0;
        // What each step costs and leaves, if it is one.
        let steps: Vec<Vec<Option<(f64, f64)>>> = (0..=last)
            .map(|from| {
                let step = |to: usize| {
                    let behind = -twice(chain.get(from..=to)?) / 2.0;
                    let straight = distance(float(chain[from]), float(chain[to])) / INCH;
                    let cost = price.cut + price.length * straight + price.left * behind / INCH / INCH;
                    (to > from && behind >= 0.0 && walked(mask, chain[from], chain[to]))
                        .then_some((cost, behind))
                };
                (0..=last).map(step).collect()
            })
            .collect();
        let mut best = (price.left * whole / INCH / INCH, 0.0);
        for chosen in 1_u32..1 << (last - 1) {
            let mut way = vec![0];
            way.extend((1..last).filter(|&place| chosen >> (place - 1) & 1 == 1));
            way.push(last);
            let found: Option<Vec<(f64, f64)>> = way.windows(2).map(|pair| steps[pair[0]][pair[1]]).collect();
            let Some(found) = found else { continue };
            let cost: f64 = found.iter().map(|step| step.0).sum();
            let kept: f64 = found.iter().map(|step| step.1).sum();
            if cost < best.0 - 1e-9 {
                best = (cost, (whole - kept) / INCH / INCH);
            }
        }
        best
    }

    fn walked(mask: &Mask, a: Point, b: Point) -> bool {
        (1..1000).all(|step| {
            let share = f64::from(step) / 1000.0;
            let (x, y) = (a.0 as f64 + (b.0 - a.0) as f64 * share, a.1 as f64 + (b.1 - a.1) as f64 * share);
            let strictly = |lines: &[i64], at: f64| {
                (1..lines.len()).find(|&n| lines[n - 1] as f64 + 9.0 < at && at < lines[n] as f64 - 9.0)
            };
            let cell = strictly(&mask.xs, x).zip(strictly(&mask.ys, y));
            cell.is_none_or(|(column, row)| !mask.at(column, row))
        })
    }
}
