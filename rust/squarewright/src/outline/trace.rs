//! Tracing boundaries along the cracks between cells, each boundary once.
//!
//! A crack lies between two cells of different label; what is outside or bare has label 0. The corners of
//! cells at which three or four cracks meet are nodes; cracks between two nodes form an arc, and cracks that
//! meet no node form a closed arc. Figure cells hang together over edges only, so a corner at which two
//! figure cells touch is always a node, and rings meet there without crossing (crack-edge tracing after
//! Rosenfeld and Kak, from memory; checked against Euler's formula in the tests).

use serde::{Deserialize, Serialize};

use crate::grid::Grid;

/// A corner of a cell: the top-left corner of the cell at the same row and column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Corner {
    /// Counted from the top edge.
    pub row: usize,
    /// Counted from the left edge.
    pub column: usize,
}

/// One of the four ways along the lines of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Heading {
    /// Towards larger columns.
    East,
    /// Towards larger rows.
    South,
    /// Towards smaller columns.
    West,
    /// Towards smaller rows.
    North,
}

/// A straight piece of an arc.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Run {
    /// Which way it goes.
    pub heading: Heading,
    /// How many cells long it is.
    pub length: usize,
}

impl Run {
    /// Gives where it ends when it starts at a corner.
    pub fn end(self, start: Corner) -> Corner {
        self.heading.leap(start, self.length)
    }
}

/// A boundary between two labels, from node to node or closed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Arc {
    /// Where it starts.
    pub start: Corner,
    /// Its straight pieces; two neighbours never have the same heading.
    pub runs: Vec<Run>,
    /// Whether it ends where it starts without meeting a node.
    pub closed: bool,
    /// The label on its left hand, 0 for bare or outside, else 1 + the place in the palette.
    pub left: u16,
    /// The label on its right hand.
    pub right: u16,
}

/// A closed walk round figure cells that keeps them on its left: counter-clockwise for an outer ring,
/// clockwise round a hole.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ring {
    /// Its turning points.
    pub corners: Vec<Corner>,
    /// Whether it goes round a hole.
    pub hole: bool,
}

/// All boundaries of a grid.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outline {
    /// Corners where three or four cracks meet.
    pub nodes: Vec<Corner>,
    /// Boundaries, each once, ordered by start and first heading.
    pub arcs: Vec<Arc>,
    /// The rings of the silhouette.
    pub rings: Vec<Ring>,
}

impl Heading {
    const ALL: [Self; 4] = [Self::East, Self::South, Self::West, Self::North];

    fn turned(self, quarters: usize) -> Self {
        Self::ALL[(self as usize + quarters) % 4]
    }

    fn step(self, from: Corner) -> Corner {
        self.leap(from, 1)
    }

    fn leap(self, Corner { row, column }: Corner, by: usize) -> Corner {
        match self {
            Self::East => Corner { row, column: column + by },
            Self::South => Corner { row: row + by, column },
            Self::West => Corner { row, column: column - by },
            Self::North => Corner { row: row - by, column },
        }
    }
}

impl Arc {
    /// Counts the cracks that it runs along.
    pub fn length(&self) -> usize {
        self.runs.iter().map(|run| run.length).sum()
    }

    /// Gives its start, its turning points and its end.
    pub fn corners(&self) -> Vec<Corner> {
        let mut corners = vec![self.start];
        let mut at = self.start;
        for run in &self.runs {
            at = run.end(at);
            corners.push(at);
        }
        corners
    }

    /// Tells whether it is part of the silhouette.
    pub fn is_outline(&self) -> bool {
        self.left == 0 || self.right == 0
    }
}

impl Ring {
    /// Counts the cells that it encloses (shoelace formula): negative for a hole.
    pub fn area(&self) -> i64 {
        #[expect(clippy::cast_possible_wrap, reason = "a grid has at most 512 cells a side")]
        let at = |corner: &Corner| (corner.column as i64, corner.row as i64);
        let next = self.corners.iter().cycle().skip(1);
        let twice: i64 =
            self.corners.iter().zip(next).map(|(a, b)| at(a).1 * at(b).0 - at(a).0 * at(b).1).sum();
        twice / 2
    }
}

impl Outline {
    /// Gives the boundaries between two colours.
    pub fn inner_lines(&self) -> impl Iterator<Item = &Arc> {
        self.arcs.iter().filter(|arc| !arc.is_outline())
    }

    /// Gives the boundaries between the figure and what is bare.
    pub fn silhouette(&self) -> impl Iterator<Item = &Arc> {
        self.arcs.iter().filter(|arc| arc.is_outline())
    }
}

/// Traces a grid; bare cells are outside.
pub fn trace(grid: &Grid) -> Outline {
    let labels: Vec<u16> =
        grid.cells().iter().map(|cell| cell.map_or(0, |index| u16::from(index) + 1)).collect();
    trace_labels(grid.rows(), grid.columns(), &labels)
}

/// Traces any labels, row by row; label 0 is outside.
pub fn trace_labels(rows: usize, columns: usize, labels: &[u16]) -> Outline {
    let cracks = Cracks { rows, columns, labels };
    let corners = (0..=rows).flat_map(|row| (0..=columns).map(move |column| Corner { row, column }));
    let corners: Vec<Corner> = corners.collect();
    let nodes: Vec<Corner> = corners.iter().copied().filter(|&corner| cracks.degree(corner) > 2).collect();
    let mut walked = vec![false; 2 * corners.len()];
    let mut arcs = Vec::new();
    for &node in &nodes {
        for heading in Heading::ALL {
            if cracks.open(node, heading) && !walked[cracks.place(node, heading)] {
                arcs.push(cracks.walk(node, heading, &mut walked));
            }
        }
    }
    for &corner in &corners {
        if cracks.open(corner, Heading::East) && !walked[cracks.place(corner, Heading::East)] {
            arcs.push(cracks.walk(corner, Heading::East, &mut walked));
        }
    }
    arcs.sort_by_key(|arc| (arc.start, arc.runs[0].heading));
    Outline { nodes, arcs, rings: cracks.rings() }
}

struct Cracks<'a> {
    rows: usize,
    columns: usize,
    labels: &'a [u16],
}

impl Cracks<'_> {
    /// Gives the labels to the left and to the right of the crack that leaves `from`.
    fn sides(&self, from: Corner, heading: Heading) -> (u16, u16) {
        let Corner { row, column } = from;
        let above = |column: usize| row.checked_sub(1).map_or(0, |row| self.label(row, Some(column)));
        match heading {
            Heading::East => (above(column), self.label(row, Some(column))),
            Heading::West => (self.label(row, column.checked_sub(1)), column.checked_sub(1).map_or(0, above)),
            Heading::South => (self.label(row, Some(column)), self.label(row, column.checked_sub(1))),
            Heading::North => {
                (row.checked_sub(1).map_or(0, |row| self.label(row, column.checked_sub(1))), above(column))
            }
        }
    }

    fn label(&self, row: usize, column: Option<usize>) -> u16 {
        match column {
            Some(column) if row < self.rows && column < self.columns => {
                self.labels[row * self.columns + column]
            }
            _ => 0,
        }
    }

    /// Tells whether a crack leaves `from` that way.
    fn open(&self, from: Corner, heading: Heading) -> bool {
        let (left, right) = self.sides(from, heading);
        left != right
    }

    fn degree(&self, corner: Corner) -> usize {
        Heading::ALL.into_iter().filter(|&heading| self.open(corner, heading)).count()
    }

    /// Numbers cracks: two for each corner, eastward and southward.
    fn place(&self, from: Corner, heading: Heading) -> usize {
        let at = |corner: Corner| corner.row * (self.columns + 1) + corner.column;
        match heading {
            Heading::East => 2 * at(from),
            Heading::South => 2 * at(from) + 1,
            Heading::West => 2 * at(heading.step(from)),
            Heading::North => 2 * at(heading.step(from)) + 1,
        }
    }

    fn walk(&self, start: Corner, first: Heading, walked: &mut [bool]) -> Arc {
        let (left, right) = self.sides(start, first);
        let mut runs: Vec<Run> = Vec::new();
        let (mut at, mut heading) = (start, first);
        loop {
            walked[self.place(at, heading)] = true;
            match runs.last_mut() {
                Some(run) if run.heading == heading => run.length += 1,
                _ => runs.push(Run { heading, length: 1 }),
            }
            at = heading.step(at);
            if at == start || self.degree(at) > 2 {
                break;
            }
            // Two cracks meet here: go on along the one that we did not come by.
            let onward = [3, 0, 1].into_iter().map(|quarters| heading.turned(quarters));
            heading = onward.into_iter().find(|&onward| self.open(at, onward)).unwrap_or(heading);
        }
        let closed = at == start && self.degree(start) == 2;
        Arc { start, runs, closed, left, right }
    }

    /// Tells whether a crack of the silhouette leaves `from` with the figure on its left.
    fn keeps_figure_left(&self, from: Corner, heading: Heading) -> bool {
        matches!(self.sides(from, heading), (left, 0) if left != 0)
    }

    fn rings(&self) -> Vec<Ring> {
        let mut walked = vec![false; 2 * (self.rows + 1) * (self.columns + 1)];
        let mut rings = Vec::new();
        for row in 0..=self.rows {
            for column in 0..=self.columns {
                for heading in Heading::ALL {
                    let from = Corner { row, column };
                    if self.keeps_figure_left(from, heading) && !walked[self.place(from, heading)] {
                        rings.push(self.ring(from, heading, &mut walked));
                    }
                }
            }
        }
        rings
    }

    fn ring(&self, start: Corner, first: Heading, walked: &mut [bool]) -> Ring {
        let mut corners = Vec::new();
        let (mut at, mut heading) = (start, first);
        loop {
            walked[self.place(at, heading)] = true;
            at = heading.step(at);
            // Turning left first keeps to the same cell where two cells touch at a corner.
            let onward = [3, 0, 1].into_iter().map(|quarters| heading.turned(quarters));
            let next =
                onward.into_iter().find(|&onward| self.keeps_figure_left(at, onward)).unwrap_or(heading);
            if next != heading {
                corners.push(at);
            }
            heading = next;
            if at == start && heading == first {
                break;
            }
        }
        let mut ring = Ring { corners, hole: false };
        ring.hole = ring.area() < 0;
        ring
    }
}
