//! The cheapest cut of a lattice in two, after Boykov and Kolmogorov (2004, doi 10.1109/TPAMI.2004.60).
//!
//! Two trees grow from the source and from the sink along edges that still have room; where they meet, flow
//! is pushed through and the trees are mended. Capacities are whole numbers, so the cut is exact, and
//! everything is visited in a fixed order, so it is always the same one. Cells without edges and demands cost
//! nothing.

use std::collections::VecDeque;

use crate::fault::{Result, Watch};

/// Steps between two looks at the watch.
const STRIDE: usize = 1 << 14;

/// The four directions in which a cell has an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Left,
    Right,
    Up,
    Down,
}

const WAYS: [Way; 4] = [Way::Left, Way::Right, Way::Up, Way::Down];

impl Way {
    fn back(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::Up => Self::Down,
            Self::Down => Self::Up,
        }
    }
}

/// Where a cell hangs in its tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Parent {
    /// In no tree.
    Free,
    /// At the source or the sink itself.
    Root,
    /// Cut off just now.
    Orphan,
    Cell(Way),
}

#[derive(Debug, Clone)]
struct Node {
    /// Room left towards each neighbour.
    room: [i32; 4],
    /// Room left from the source, or below zero to the sink.
    demand: i32,
    parent: Parent,
    /// Whether it is in the sink's tree.
    sink: bool,
    queued: bool,
    /// Whether it is part of the lattice that is cut.
    known: bool,
    /// When `distance` was last known to be right.
    stamp: u32,
    distance: u32,
}

const EMPTY: Node = Node {
    room: [0; 4],
    demand: 0,
    parent: Parent::Free,
    sink: false,
    queued: false,
    known: false,
    stamp: 0,
    distance: 0,
};

/// A lattice of cells to be cut.
#[derive(Debug)]
pub(super) struct Cut {
    columns: usize,
    /// With a spare row before and after, so that a step off the lattice stays in memory; no edge leads
    /// there.
    nodes: Vec<Node>,
    /// The nodes that are part of it.
    known: Vec<usize>,
    active: VecDeque<usize>,
    orphans: VecDeque<usize>,
    clock: u32,
}

impl Cut {
    pub(super) fn new(rows: usize, columns: usize) -> Self {
        let nodes = vec![EMPTY; (rows + 2) * columns];
        let (active, orphans) = (VecDeque::new(), VecDeque::new());
        Self { columns, nodes, known: Vec::new(), active, orphans, clock: 0 }
    }

    /// Forgets everything but the shape.
    pub(super) fn clear(&mut self) {
        for node in self.known.drain(..) {
            self.nodes[node] = EMPTY;
        }
    }

    /// Makes it cost `more` to have the cell on the sink's side than on the source's; any cell with edges needs
    /// this, be it with 0.
    pub(super) fn demand(&mut self, place: usize, more: i32) {
        let node = &mut self.nodes[place + self.columns];
        node.demand += more;
        if !node.known {
            node.known = true;
            self.known.push(place + self.columns);
        }
    }

    /// Makes it cost `cost` to have the cell on the source's side and its neighbour on the sink's.
    pub(super) fn edge(&mut self, place: usize, way: Way, cost: i32) {
        self.nodes[place + self.columns].room[way as usize] += cost;
    }

    /// Says whether the cell is on the sink's side; where both sides cost the same it is not.
    pub(super) fn at_sink(&self, place: usize) -> bool {
        let node = &self.nodes[place + self.columns];
        node.sink && node.parent != Parent::Free
    }

    /// Finds the cheapest cut.
    pub(super) fn solve(&mut self, watch: &dyn Watch) -> Result<()> {
        self.plant();
        let (mut current, mut turn) = (None, 0_usize);
        while let Some(place) = current.take().or_else(|| self.next_active()) {
            turn += 1;
            if turn.is_multiple_of(STRIDE) {
                watch.check(0.5)?;
            }
            let Some((from, way)) = self.grow(place) else { continue };
            self.clock += 1;
            self.push_flow(from, way);
            self.mend();
            // The same cell may touch the other tree again.
            current = (self.nodes[place].parent != Parent::Free).then_some(place);
        }
        Ok(())
    }

    fn plant(&mut self) {
        self.active.clear();
        self.clock = 0;
        for at in 0..self.known.len() {
            let place = self.known[at];
            let node = &mut self.nodes[place];
            if node.demand != 0 {
                (node.parent, node.sink, node.distance) = (Parent::Root, node.demand < 0, 1);
                self.wake(place);
            }
        }
    }

    fn wake(&mut self, place: usize) {
        if !self.nodes[place].queued {
            self.nodes[place].queued = true;
            self.active.push_back(place);
        }
    }

    fn next_active(&mut self) -> Option<usize> {
        while let Some(place) = self.active.pop_front() {
            self.nodes[place].queued = false;
            if self.nodes[place].parent != Parent::Free {
                return Some(place);
            }
        }
        None
    }

    fn beside(&self, place: usize, way: Way) -> usize {
        match way {
            Way::Left => place.wrapping_sub(1),
            Way::Right => place + 1,
            Way::Up => place.wrapping_sub(self.columns),
            Way::Down => place + self.columns,
        }
    }

    /// Gives the room for flow between a cell and its neighbour, away from the source or towards the sink.
    fn room(&self, place: usize, way: Way, sink: bool) -> i32 {
        if sink {
            self.nodes.get(self.beside(place, way)).map_or(0, |node| node.room[way.back() as usize])
        } else {
            self.nodes[place].room[way as usize]
        }
    }

    /// Grows the tree at a cell; gives the edge, seen from the source's side, where it meets the other tree.
    fn grow(&mut self, place: usize) -> Option<(usize, Way)> {
        let Node { sink, stamp, distance, .. } = self.nodes[place];
        for way in WAYS {
            if self.room(place, way, sink) == 0 {
                continue;
            }
            let next = self.beside(place, way);
            let node = &mut self.nodes[next];
            if node.parent == Parent::Free {
                node.parent = Parent::Cell(way.back());
                (node.sink, node.stamp, node.distance) = (sink, stamp, distance + 1);
                self.wake(next);
            } else if node.sink != sink {
                return Some(if sink { (next, way.back()) } else { (place, way) });
            } else if node.stamp <= stamp && node.distance > distance + 1 && node.parent != Parent::Root {
                node.parent = Parent::Cell(way.back());
                (node.stamp, node.distance) = (stamp, distance + 1);
            }
        }
        None
    }

    /// Pushes as much flow as fits through an edge between the two trees.
    fn push_flow(&mut self, from: usize, way: Way) {
        let to = self.beside(from, way);
        let least = self.narrowest(from, false).min(self.narrowest(to, true));
        let least = least.min(self.nodes[from].room[way as usize]);
        self.nodes[from].room[way as usize] -= least;
        self.nodes[to].room[way.back() as usize] += least;
        self.drain(from, false, least);
        self.drain(to, true, least);
    }

    fn narrowest(&self, mut place: usize, sink: bool) -> i32 {
        let mut least = i32::MAX;
        while let Parent::Cell(way) = self.nodes[place].parent {
            let above = self.beside(place, way);
            least = least.min(self.room(above, way.back(), sink));
            place = above;
        }
        least.min(self.nodes[place].demand.abs())
    }

    /// Takes flow from the edges between a cell and its root; where nothing is left, the branch falls off.
    fn drain(&mut self, mut place: usize, sink: bool, flow: i32) {
        while let Parent::Cell(way) = self.nodes[place].parent {
            let above = self.beside(place, way);
            let (giver, taker, out) = if sink { (place, above, way) } else { (above, place, way.back()) };
            self.nodes[giver].room[out as usize] -= flow;
            self.nodes[taker].room[out.back() as usize] += flow;
            if self.nodes[giver].room[out as usize] == 0 {
                self.orphan(place);
            }
            place = above;
        }
        self.nodes[place].demand += if sink { flow } else { -flow };
        if self.nodes[place].demand == 0 {
            self.orphan(place);
        }
    }

    fn orphan(&mut self, place: usize) {
        self.nodes[place].parent = Parent::Orphan;
        self.orphans.push_back(place);
    }

    /// Finds new parents for the branches that fell off, or takes them apart.
    fn mend(&mut self) {
        while let Some(place) = self.orphans.pop_front() {
            let sink = self.nodes[place].sink;
            let mut best: Option<(u32, Way)> = None;
            for way in WAYS {
                if let Some(distance) = self.offer(place, way, sink)
                    && best.is_none_or(|(least, _)| distance < least)
                {
                    best = Some((distance, way));
                }
            }
            if let Some((distance, way)) = best {
                let node = &mut self.nodes[place];
                (node.parent, node.stamp, node.distance) = (Parent::Cell(way), self.clock, distance + 1);
            } else {
                self.release(place, sink);
            }
        }
    }

    /// Gives how far a neighbour is from its root, when it can be the parent of `place`.
    fn offer(&mut self, place: usize, way: Way, sink: bool) -> Option<u32> {
        let next = self.beside(place, way);
        if self.nodes.get(next).is_none_or(|node| node.sink != sink || node.parent == Parent::Free)
            || self.room(next, way.back(), sink) == 0
        {
            return None;
        }
        let (mut at, mut steps) = (next, 0);
        let distance = loop {
            let node = &self.nodes[at];
            if node.stamp == self.clock && node.parent != Parent::Orphan {
                break steps + node.distance;
            }
            match node.parent {
                Parent::Root => break steps + 1,
                Parent::Cell(way) => at = self.beside(at, way),
                Parent::Free | Parent::Orphan => return None,
            }
            steps += 1;
        };
        let (mut at, mut left) = (next, distance);
        while self.nodes[at].stamp != self.clock {
            let node = &mut self.nodes[at];
            (node.stamp, node.distance) = (self.clock, left);
            let Parent::Cell(way) = node.parent else { break };
            at = self.beside(at, way);
            left -= 1;
        }
        Some(distance)
    }

    /// Sets an orphan free: its children are orphans now, and its neighbours may grow here again.
    fn release(&mut self, place: usize, sink: bool) {
        self.nodes[place].parent = Parent::Free;
        for way in WAYS {
            let next = self.beside(place, way);
            if self.nodes.get(next).is_none_or(|node| node.sink != sink || node.parent == Parent::Free) {
                continue;
            }
            if self.room(next, way.back(), sink) > 0 {
                self.wake(next);
            }
            if self.nodes[next].parent == Parent::Cell(way.back()) {
                self.orphan(next);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fault::Unwatched;

    /// Numbers that differ from case to case, the same on every run.
    fn number(state: &mut u32, below: u32) -> i32 {
        *state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        i32::try_from((*state >> 16) % below).unwrap_or(0)
    }

    fn cost(demands: &[i32], edges: &[(usize, usize, i32)], sides: usize) -> i32 {
        let at_sink = |place: usize| sides >> place & 1 == 1;
        let demand: i32 =
            (0..demands.len()).filter(|&place| at_sink(place)).map(|place| demands[place]).sum();
        let cut = edges.iter().filter(|(from, to, _)| !at_sink(*from) && at_sink(*to));
        demand + cut.map(|(.., cost)| cost).sum::<i32>()
    }

    #[test]
    fn a_cut_costs_what_the_best_of_all_cuts_costs() {
        let mut state = 1;
        for case in 0..600 {
            let (rows, columns) = [(1, 1), (1, 6), (5, 1), (2, 2), (3, 3), (3, 4), (4, 3)][case % 7];
            let (range, room) = ([3, 10, 50][case % 3], [2, 12, 30][case / 3 % 3]);
            let mut cut = Cut::new(rows, columns);
            cut.clear();
            let demands: Vec<i32> = (0..rows * columns)
                .map(|_| number(&mut state, 2 * range) - i32::try_from(range).unwrap())
                .collect();
            let mut edges = Vec::new();
            for (place, &demand) in demands.iter().enumerate() {
                cut.demand(place, demand);
                let (row, column) = (place / columns, place % columns);
                let next = [
                    (Way::Left, column > 0, place.wrapping_sub(1)),
                    (Way::Right, column + 1 < columns, place + 1),
                    (Way::Up, row > 0, place.wrapping_sub(columns)),
                    (Way::Down, row + 1 < rows, place + columns),
                ];
                for (way, _, to) in next.into_iter().filter(|(_, there, _)| *there) {
                    let cost = number(&mut state, room);
                    cut.edge(place, way, cost);
                    edges.push((place, to, cost));
                }
            }
            cut.solve(&Unwatched).unwrap();
            let found = (0..rows * columns)
                .filter(|&place| cut.at_sink(place))
                .fold(0, |all, place| all | 1 << place);
            let best = (0..1 << (rows * columns)).map(|sides| cost(&demands, &edges, sides)).min();
            assert_eq!(Some(cost(&demands, &edges, found)), best, "case {case}");
        }
    }
}
