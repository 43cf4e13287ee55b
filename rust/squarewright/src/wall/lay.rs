//! Laying figures one by one, each to the top left of the first panel that has room.

use std::cmp::Reverse;

use super::board::Board;
use super::figure::Shape;
use super::footprint::Footprint;
use super::lattice::Lattice;

/// A place of the lattice, as its column and its row.
pub(super) type Spot = (usize, usize);

/// The figures of a nesting as footprints; figures of one kind have the same shape.
#[derive(Debug)]
pub(super) struct Job {
    pub(super) lattice: Lattice,
    /// The kind of each figure.
    pub(super) kinds: Vec<usize>,
    /// The turns of each kind that the panel has room for.
    pub(super) turns: Vec<Vec<Footprint>>,
    /// The figures that want a place; all others have one.
    pub(super) free: Vec<usize>,
    /// What is taken of the boards that are there already: they are filled first.
    pub(super) starts: Vec<Board>,
}

/// Which turn a figure takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// The one that starts nearest to the top.
    Top,
    /// The one that ends nearest to the top.
    Bottom,
}

/// A figure in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Laid {
    pub(super) figure: usize,
    /// Which of the turns of its kind it takes.
    pub(super) turn: usize,
    pub(super) board: usize,
    pub(super) spot: Spot,
}

/// Figures in their places and what they take of each panel.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub(super) boards: Vec<Board>,
    pub(super) laid: Vec<Laid>,
}

/// A panel that is being filled: for every turn of every kind, the first place that is still worth a look.
///
/// A place that clashes once clashes ever after.
struct Open {
    board: Board,
    next: Vec<Vec<Option<Spot>>>,
}

impl Job {
    /// Sorts shapes into kinds and lays them on the lattice; a shape of no turn is larger than the panel.
    pub(super) fn new(shapes: &[Shape], lattice: Lattice, turning: bool) -> Self {
        let mut known: Vec<&Shape> = Vec::new();
        let mut kinds = Vec::with_capacity(shapes.len());
        for shape in shapes {
            let kind = known.iter().position(|other| *other == shape).unwrap_or_else(|| {
                known.push(shape);
                known.len() - 1
            });
            kinds.push(kind);
        }
        let turns = known.iter().map(|shape| {
            let turns = shape.turns(turning);
            turns.iter().filter_map(|(count, shape)| Footprint::new(*count, shape, &lattice)).collect()
        });
        let (turns, free) = (turns.collect(), (0..shapes.len()).collect());
        Self { lattice, kinds, turns, free, starts: Vec::new() }
    }

    /// Counts the places of a panel.
    pub(super) fn places(&self) -> usize {
        self.lattice.columns * self.lattice.rows
    }

    /// Gives the turns of a figure.
    pub(super) fn of(&self, figure: usize) -> &[Footprint] {
        &self.turns[self.kinds[figure]]
    }

    /// Counts the places that a figure takes.
    pub(super) fn area(&self, figure: usize) -> usize {
        self.of(figure)[0].area
    }

    /// Lays figures in an order; `looks` counts the rows that were looked at.
    pub(super) fn lay(&self, order: &[usize], rule: Rule, looks: &mut u64) -> Layout {
        let opened = |board: Board| {
            let next = self.turns.iter().map(|turns| vec![Some((0, 0)); turns.len()]).collect();
            Open { board, next }
        };
        let mut open: Vec<Open> = self.starts.iter().cloned().map(opened).collect();
        let mut laid = Vec::with_capacity(order.len());
        for &figure in order {
            let found = (0..open.len())
                .find_map(|board| Some((board, self.best(&mut open[board], figure, rule, looks)?)));
            let (board, (turn, spot)) = found.unwrap_or_else(|| {
                open.push(opened(Board::new(&self.lattice)));
                let board = open.len() - 1;
                let place = self.best(&mut open[board], figure, rule, looks);
                (board, place.expect("a figure fits on an empty panel"))
            });
            open[board].board.put(&self.of(figure)[turn], spot);
            laid.push(Laid { figure, turn, board, spot });
        }
        Layout { boards: open.into_iter().map(|open| open.board).collect(), laid }
    }

    fn best(&self, open: &mut Open, figure: usize, rule: Rule, looks: &mut u64) -> Option<(usize, Spot)> {
        if self.places() - open.board.taken < self.area(figure) {
            return None;
        }
        let (kind, every) = (self.kinds[figure], self.lattice.every);
        for (turn, footprint) in self.turns[kind].iter().enumerate() {
            let next = &mut open.next[kind][turn];
            *next = next.and_then(|start| open.board.first(footprint, start, every, looks));
        }
        let found = open.next[kind].iter().enumerate().filter_map(|(turn, spot)| Some((turn, (*spot)?)));
        found.min_by_key(|&(turn, (x, y))| {
            let height = if rule == Rule::Bottom { self.turns[kind][turn].height() } else { 0 };
            (y + height, x, turn)
        })
    }

    /// Gives an order by what counts, most first, in the order given where it is the same.
    pub(super) fn by<K: Ord>(&self, most: impl Fn(&Footprint) -> K) -> Vec<usize> {
        let mut order = self.free.clone();
        order.sort_by_key(|&figure| Reverse(most(&self.of(figure)[0])));
        order
    }
}
