//! Thin parts: what joins two bodies, stands out from one, or is thin all through.
//!
//! Bodies after mathematical morphology (openings by squares; Serra, 1982, from memory); what a neck would
//! sever by cut points of a graph (Tarjan, 1973, from memory).

use crate::grid::patch::neighbours;

use super::body::{Labels, Mask, NONE};
use super::sever::{Mass, severed};

/// A thin part before it is judged.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Thin {
    /// Its cells as places, ascending.
    pub(super) cells: Vec<usize>,
    /// The top-left cells of the squares of its width that lie in it.
    pub(super) squares: Vec<usize>,
    /// How many bodies it touches.
    pub(super) joins: usize,
    /// How many cells it stands out from them, or its length when it touches none.
    pub(super) reach: usize,
    /// How many cells would come off if it broke.
    pub(super) beyond: usize,
    /// How far from the break their middle lies, in cells.
    pub(super) lever: f64,
}

/// Squares of two sides on a figure: those of `width`, and those one cell wider that make up bodies.
struct Level<'a> {
    mask: &'a Mask,
    sides: &'a [u16],
    width: usize,
    bodies: Labels,
}

/// Finds the parts that are `width` cells thin: those of two or more bodies, and others of any reach.
pub(super) fn thin_parts(mask: &Mask, sides: &[u16], width: usize) -> Vec<Thin> {
    let bodies = mask.label(|place| usize::from(sides[place]) > width);
    let level = Level { mask, sides, width, bodies };
    let joints = level.joints();
    if joints.count == 0 {
        return Vec::new();
    }
    let touched = level.touched(&joints);
    let cover = mask.cover(&level.bodies.of, width + 1);
    let cells = level.cells(&joints, &cover);
    let parts = level.parts(&joints, &touched, &cover);
    let reaches = level.reaches(&joints);
    let squares = joints.places();
    let each = cells.into_iter().zip(squares).zip(touched).zip(parts).zip(reaches);
    each.map(|((((cells, squares), bodies), parts), reach)| {
        let (joins, own) = (bodies.len(), Mass::sum(mask, &cells));
        let reach = if joins == 0 { level.length(&cells) } else { reach };
        let rest = lost(parts, own);
        let (beyond, lever) = if joins > 1 && rest.count > 0 {
            (rest.count, rest.distance(own))
        } else {
            // An arm breaks where it begins, and takes what hangs on it along.
            let (own, all) = (own.count as f64, own.count + rest.count);
            (all, (own * reach as f64 / 2.0 + rest.count as f64 * reach as f64) / all as f64)
        };
        Thin { cells, squares, joins, reach, beyond, lever }
    })
    .collect()
}

/// Adds up all parts but the heaviest: what falls off.
fn lost(mut parts: Vec<Mass>, neck: Mass) -> Mass {
    // Of two that are as heavy, the one that pulls harder counts as lost.
    parts.sort_by(|a, b| b.count.cmp(&a.count).then(a.distance(neck).total_cmp(&b.distance(neck))));
    parts.iter().skip(1).fold(Mass::default(), |sum, &part| sum + part)
}

impl Level<'_> {
    fn fits(&self, place: usize) -> bool {
        usize::from(self.sides[place]) >= self.width
    }

    /// Lists the bodies of which the square at `place` is part, ascending.
    fn owners(&self, place: usize) -> Owners {
        let (row, column) = self.mask.at(place);
        let mut owners = Owners::default();
        for up in 0..=row.min(1) {
            for left in 0..=column.min(1) {
                owners.add(self.bodies.of[place - up * self.mask.columns - left]);
            }
        }
        owners
    }

    fn neighbours(&self, place: usize) -> impl Iterator<Item = usize> {
        neighbours(self.mask.rows, self.mask.columns, place).filter(|&next| self.fits(next))
    }

    /// Labels the squares that are part of no body, and those at which two bodies touch.
    fn joints(&self) -> Labels {
        let joint = |place: usize| {
            if !self.fits(place) {
                return false;
            }
            let owners = self.owners(place);
            let strange = |next: usize| {
                let others = self.owners(next);
                others.count > 0 && !others.shares(&owners)
            };
            owners.count != 1 || self.neighbours(place).any(strange)
        };
        let joints: Vec<bool> = (0..self.sides.len()).map(joint).collect();
        self.mask.label(|place| joints[place])
    }

    /// Lists the bodies that each joint touches.
    fn touched(&self, joints: &Labels) -> Vec<Vec<u32>> {
        let mut touched: Vec<Vec<u32>> = vec![Vec::new(); joints.count];
        for (place, &label) in joints.of.iter().enumerate().filter(|(_, label)| **label != NONE) {
            let found = &mut touched[label as usize];
            let owners = self.owners(place);
            found.extend(owners.list());
            if owners.count == 0 {
                found.extend(self.neighbours(place).flat_map(|next| self.owners(next).list().to_vec()));
            }
        }
        for bodies in &mut touched {
            bodies.sort_unstable();
            bodies.dedup();
        }
        touched
    }

    /// Lists the cells of each joint that are in no body, or all of them when every one is.
    fn cells(&self, joints: &Labels, cover: &[(u32, u32)]) -> Vec<Vec<usize>> {
        let (width, columns) = (self.width, self.mask.columns);
        let cells = joints.places().into_iter().map(|squares| {
            let square = |at: usize| {
                (0..width).flat_map(move |row| (0..width).map(move |column| at + row * columns + column))
            };
            let mut cells: Vec<usize> = squares.into_iter().flat_map(square).collect();
            cells.sort_unstable();
            cells.dedup();
            let own: Vec<usize> = cells.iter().copied().filter(|&cell| cover[cell].0 == NONE).collect();
            if own.is_empty() { cells } else { own }
        });
        cells.collect()
    }

    /// Gives, for each joint, the parts into which its piece of the figure would fall without it.
    ///
    /// Each cell is of one body, of one joint, or of what is thinner still or shared.
    fn parts(&self, joints: &Labels, touched: &[Vec<u32>], cover: &[(u32, u32)]) -> Vec<Vec<Mass>> {
        let (mask, bodies) = (self.mask, self.bodies.count);
        let held = mask.cover(&joints.of, self.width);
        let sole = |(low, high): (u32, u32)| (low != NONE && low == high).then_some(low as usize);
        let known: Vec<Option<usize>> = (0..held.len())
            .map(|cell| sole(cover[cell]).or_else(|| sole(held[cell]).map(|joint| bodies + joint)))
            .collect();
        let rest = mask.label(|cell| mask.filled[cell] && known[cell].is_none());
        let first = bodies + joints.count;
        let node = |cell: usize| known[cell].unwrap_or_else(|| first + rest.of[cell] as usize);
        let mut masses = vec![Mass::default(); first + rest.count];
        let mut edges: Vec<(u32, u32)> = Vec::new();
        let mut link = |a: usize, b: usize| edges.extend([(index(a), index(b)), (index(b), index(a))]);
        let mut via: Vec<Vec<u32>> = vec![Vec::new(); bodies];
        for (joint, list) in touched.iter().enumerate() {
            for &body in list {
                link(body as usize, bodies + joint);
                via[body as usize].push(index(joint));
            }
        }
        for cell in (0..held.len()).filter(|&cell| mask.filled[cell]) {
            let here = node(cell);
            masses[here] = masses[here] + Mass::of(mask.at(cell));
            let beside = neighbours(mask.rows, mask.columns, cell);
            for next in beside.filter(|&next| next > cell && mask.filled[next]) {
                let there = node(next);
                // Two bodies that touch over a joint would be held together by that joint.
                let joined = here < bodies && there < bodies && meet(&via[here], &via[there]);
                if here != there && !joined {
                    link(here, there);
                }
            }
        }
        severed(&masses, edges, bodies..first)
    }

    /// Counts how far each joint reaches from the bodies that it touches.
    fn reaches(&self, joints: &Labels) -> Vec<usize> {
        let mut reaches = vec![0; joints.count];
        let mut far = vec![0_usize; joints.of.len()];
        let held = |place: usize| {
            let beside = |next| self.owners(next).count > 0;
            self.owners(place).count > 0 || self.neighbours(place).any(beside)
        };
        let mut front: Vec<usize> =
            (0..far.len()).filter(|&place| joints.of[place] != NONE && held(place)).collect();
        for &place in &front {
            far[place] = 1;
        }
        while !front.is_empty() {
            let mut next_front = Vec::new();
            for place in front {
                let reach = &mut reaches[joints.of[place] as usize];
                *reach = far[place].max(*reach);
                for next in neighbours(self.mask.rows, self.mask.columns, place) {
                    if joints.of[next] == joints.of[place] && far[next] == 0 {
                        far[next] = far[place] + 1;
                        next_front.push(next);
                    }
                }
            }
            front = next_front;
        }
        reaches
    }

    /// Gives the longer side of the box round some cells.
    fn length(&self, cells: &[usize]) -> usize {
        let span = |values: &mut dyn Iterator<Item = usize>| {
            let (low, high) = values.fold((usize::MAX, 0), |(low, high), at| (at.min(low), at.max(high)));
            high + 1 - low
        };
        let at = |&cell: &usize| self.mask.at(cell);
        span(&mut cells.iter().map(|cell| at(cell).0)).max(span(&mut cells.iter().map(|cell| at(cell).1)))
    }
}

fn index(node: usize) -> u32 {
    u32::try_from(node).unwrap_or(NONE)
}

/// Tells whether two ascending lists have something in common.
fn meet(a: &[u32], b: &[u32]) -> bool {
    let (few, many) = if a.len() < b.len() { (a, b) } else { (b, a) };
    few.iter().any(|value| many.binary_search(value).is_ok())
}

/// Up to four different labels.
#[derive(Debug, Clone, Copy, Default)]
struct Owners {
    labels: [u32; 4],
    count: usize,
}

impl Owners {
    fn list(&self) -> &[u32] {
        &self.labels[..self.count]
    }

    fn add(&mut self, label: u32) {
        if label != NONE && !self.list().contains(&label) {
            self.labels[self.count] = label;
            self.count += 1;
        }
    }

    fn shares(&self, other: &Self) -> bool {
        self.list().iter().any(|label| other.list().contains(label))
    }
}
