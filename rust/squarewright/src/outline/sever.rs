//! What falls off when one node of a graph is taken out.

use std::ops::{Add, Range, Sub};

use super::body::Mask;

/// Cells counted, with the sums of their rows and columns: where their middle lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Mass {
    pub(super) count: usize,
    rows: usize,
    columns: usize,
}

impl Mass {
    pub(super) fn of((row, column): (usize, usize)) -> Self {
        Self { count: 1, rows: row, columns: column }
    }

    pub(super) fn sum(mask: &Mask, cells: &[usize]) -> Self {
        cells.iter().fold(Self::default(), |sum, &cell| sum + Self::of(mask.at(cell)))
    }

    /// Gives the distance between the middles of two masses, in cells; 0 when one has no cells.
    pub(super) fn distance(self, other: Self) -> f64 {
        if self.count == 0 || other.count == 0 {
            return 0.0;
        }
        // One common denominator keeps this the same however the figure is turned.
        let apart = |a: usize, b: usize| (a * other.count).abs_diff(b * self.count) as f64;
        let (down, across) = (apart(self.rows, other.rows), apart(self.columns, other.columns));
        (down * down + across * across).sqrt() / (self.count * other.count) as f64
    }
}

impl Add for Mass {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let (rows, columns) = (self.rows + other.rows, self.columns + other.columns);
        Self { count: self.count + other.count, rows, columns }
    }
}

impl Sub for Mass {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        let (rows, columns) = (self.rows - other.rows, self.columns - other.columns);
        Self { count: self.count - other.count, rows, columns }
    }
}

/// A depth-first walk through a graph, as far as it has come.
struct Walk {
    /// When each node was met, from 1 on; 0 for not yet.
    met: Vec<usize>,
    /// The earliest node that is reached from below without going through the parent.
    low: Vec<usize>,
    /// The mass of each node with all below it.
    below: Vec<Mass>,
    /// The masses that hang on each node alone.
    cut: Vec<Vec<Mass>>,
    /// The first node of the tree that each node is in.
    root: Vec<usize>,
}

/// Lists, for each wanted node, the masses of the parts into which its component falls without it (cut
/// points after Hopcroft and Tarjan, 1973, from memory). `edges` go both ways.
pub(super) fn severed(masses: &[Mass], mut edges: Vec<(u32, u32)>, wanted: Range<usize>) -> Vec<Vec<Mass>> {
    edges.sort_unstable();
    edges.dedup();
    let count = masses.len();
    let mut starts = vec![0; count + 1];
    for &(from, _) in &edges {
        starts[from as usize + 1] += 1;
    }
    for node in 0..count {
        starts[node + 1] += starts[node];
    }
    let mut walk = Walk {
        met: vec![0; count],
        low: vec![0; count],
        below: masses.to_vec(),
        cut: vec![Vec::new(); count],
        root: (0..count).collect(),
    };
    let mut clock = 0;
    for node in 0..count {
        if walk.met[node] == 0 {
            walk.tree(node, &edges, &starts, &mut clock);
        }
    }
    let parts = |node: usize| {
        let hanging = walk.cut[node].iter().fold(Mass::default(), |sum, &part| sum + part);
        let rest = walk.below[walk.root[node]] - masses[node] - hanging;
        let mut parts = walk.cut[node].clone();
        parts.push(rest);
        parts.retain(|part| part.count > 0);
        parts
    };
    wanted.map(parts).collect()
}

impl Walk {
    fn tree(&mut self, root: usize, edges: &[(u32, u32)], starts: &[usize], clock: &mut usize) {
        let mut path: Vec<(usize, usize)> = Vec::new();
        self.meet(root, root, clock);
        path.push((root, starts[root]));
        while let Some(&mut (node, ref mut at)) = path.last_mut() {
            if *at < starts[node + 1] {
                let next = edges[*at].1 as usize;
                *at += 1;
                if self.met[next] == 0 {
                    self.meet(next, root, clock);
                    path.push((next, starts[next]));
                } else {
                    self.low[node] = self.low[node].min(self.met[next]);
                }
                continue;
            }
            path.pop();
            if let Some(&(parent, _)) = path.last() {
                self.below[parent] = self.below[parent] + self.below[node];
                self.low[parent] = self.low[parent].min(self.low[node]);
                if self.low[node] >= self.met[parent] {
                    let hanging = self.below[node];
                    self.cut[parent].push(hanging);
                }
            }
        }
    }

    fn meet(&mut self, node: usize, root: usize, clock: &mut usize) {
        *clock += 1;
        self.met[node] = *clock;
        self.low[node] = *clock;
        self.root[node] = root;
    }
}
