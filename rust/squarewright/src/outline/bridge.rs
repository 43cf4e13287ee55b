//! Joining separate parts with few cells.

use std::collections::BTreeSet;

use super::body::{Mask, NONE};
use crate::grid::patch::neighbours;

/// What joins a part to its neighbour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Bridge {
    /// The cells of the part, as places.
    pub(super) part: Vec<usize>,
    /// The bare cells between, as places.
    pub(super) cells: Vec<usize>,
    /// Whether the part is small enough to be dropped, and smaller than its bridge.
    pub(super) crumb: bool,
}

/// The most cells that a part may have to be dropped.
pub(super) const CRUMB: usize = 2;

/// The parts that are left, with who belongs to whom.
struct Parts {
    cells: Vec<Vec<usize>>,
    /// The part of each cell, by its first name.
    of: Vec<u32>,
    /// The name that a part goes by now.
    now: Vec<u32>,
    /// Size and name of each part that is left.
    left: BTreeSet<(usize, u32)>,
}

/// Joins all parts: the smallest that is left goes to its nearest neighbour by the shortest way, again and
/// again. With `drop`, a crumb that is smaller than its bridge is taken away instead.
pub(super) fn bridge_all(mask: &mut Mask, drop: bool) -> Vec<Bridge> {
    let labels = mask.label(|place| mask.filled[place]);
    let cells = labels.places();
    let left = (0..).zip(&cells).map(|(name, cells)| (cells.len(), name)).collect();
    let now = (0..).take(cells.len()).collect();
    let mut parts = Parts { cells, of: labels.of, now, left };
    let mut walked = vec![(NONE, 0); mask.filled.len()];
    let mut bridges = Vec::new();
    for turn in 0.. {
        let Some(&(size, name)) = parts.left.first().filter(|_| parts.left.len() > 1) else { break };
        let part = parts.cells[name as usize].clone();
        let cells = shortest(mask, &parts, name, (&mut walked, turn));
        let crumb = size <= CRUMB && size < cells.len();
        if crumb && drop {
            parts.left.remove(&(size, name));
            for &cell in &part {
                mask.filled[cell] = false;
                parts.of[cell] = NONE;
            }
        } else {
            for &cell in &cells {
                mask.filled[cell] = true;
            }
            parts.join(mask, name, &cells);
        }
        bridges.push(Bridge { part, cells, crumb });
    }
    bridges
}

/// Finds the bare cells on the shortest way from a part to any other. `walked` tells from where each cell was
/// reached in which turn.
fn shortest(mask: &Mask, parts: &Parts, name: u32, walked: (&mut Vec<(u32, usize)>, u32)) -> Vec<usize> {
    let (walked, turn) = walked;
    let mut front = parts.cells[name as usize].clone();
    front.sort_unstable();
    for &cell in &front {
        walked[cell] = (turn, cell);
    }
    let mut done = 0;
    while let Some(&cell) = front.get(done) {
        done += 1;
        for next in neighbours(mask.rows, mask.columns, cell) {
            if walked[next].0 == turn {
                continue;
            }
            if mask.filled[next] {
                let mut path = Vec::new();
                let mut at = cell;
                while walked[at].1 != at {
                    path.push(at);
                    at = walked[at].1;
                }
                return path;
            }
            walked[next] = (turn, cell);
            front.push(next);
        }
    }
    Vec::new()
}

impl Parts {
    fn name(&self, cell: usize) -> Option<u32> {
        let mut name = Some(self.of[cell]).filter(|&name| name != NONE)?;
        while self.now[name as usize] != name {
            name = self.now[name as usize];
        }
        Some(name)
    }

    /// Makes one part of `name`, the cells of its bridge, and all that the bridge touches.
    fn join(&mut self, mask: &Mask, name: u32, bridge: &[usize]) {
        let beside = bridge.iter().flat_map(|&cell| neighbours(mask.rows, mask.columns, cell));
        let mut names: Vec<u32> = beside.filter_map(|cell| self.name(cell)).chain([name]).collect();
        names.sort_unstable();
        names.dedup();
        // The largest takes the others in.
        let Some(&host) = names.iter().max_by_key(|&&name| self.cells[name as usize].len()) else { return };
        for &name in &names {
            self.left.remove(&(self.cells[name as usize].len(), name));
            self.now[name as usize] = host;
        }
        for &name in names.iter().filter(|&&name| name != host) {
            let guests = std::mem::take(&mut self.cells[name as usize]);
            self.cells[host as usize].extend(guests);
        }
        self.cells[host as usize].extend(bridge);
        for &cell in bridge {
            self.of[cell] = host;
        }
        self.left.insert((self.cells[host as usize].len(), host));
    }
}
