//! What a seam between two panels would cross at each boundary of cells.
//!
//! **Colour boundaries.** A seam crosses one wherever a line goes on straight from one side of it to the other:
//! at a corner of cells where the two cells before the seam differ and the two after it differ as well. The
//! outline counts like the lines between colours, and beyond the grid all is bare. A line that ends at the seam,
//! or turns and runs along it, need not be carried across by brush or knife; so a seam along a boundary, or
//! through bare cells, is free.
//!
//! **Weak parts.** A seam touches a thin part when it parts one of its cells from another cell of the figure, and
//! a corner joint when it runs through that corner. It makes new ones, on either side: a part that it cuts off
//! and that is one cell deep or has fewer than nine cells (judgement), and a sliver, where only one cell lies
//! between seam and bare cells along more than [`Limits::slender`] cells for each end that holds it. A thin part
//! that is sound, as [`weak_spots`](super::weak_spots()) judges, counts as sound here too.

use super::{Limits, WeakSpot, WeakSpots, Weakness, weak_spots};
use crate::fault::Result;
use crate::grid::patch::root;
use crate::grid::{Cell, Grid};
use crate::panel::{Fit, Fitting, Panel, SeamCost, SeamCosts, fit};

/// A part with fewer cells is too small to lie on a panel by itself: a square of three (judgement).
const CRUMB: usize = 9;

/// Places a grid on panels, its seams where they harm least.
///
/// # Errors
/// Those of [`fit()`].
pub fn placed(grid: &Grid, panel: Panel, asked: &Fitting) -> Result<Fit> {
    let even = fit(grid.columns(), grid.rows(), panel, asked)?;
    if even.pieces.len() == 1 {
        return Ok(even);
    }
    let spots = weak_spots(grid, &Limits::of(&even))?;
    Ok(seamed(grid, even, &spots))
}

/// Moves the seams of an even share to where they harm least; a fit on one panel has none.
pub fn seamed(grid: &Grid, even: Fit, spots: &WeakSpots) -> Fit {
    if even.pieces.len() == 1 { even } else { even.with_seams(&seam_costs(grid, spots)) }
}

/// Counts what a seam at each boundary would cross, upright and level, each as if it were the only one; `spots`
/// are the weak spots of the grid.
pub fn seam_costs(grid: &Grid, spots: &WeakSpots) -> SeamCosts {
    let necks: Vec<Vec<(usize, usize)>> = spots.weak_parts();
    let joint = |spot: &WeakSpot| match spot.weakness {
        Weakness::CornerJoint { corner } => Some((corner.row, corner.column)),
        _ => None,
    };
    let joints: Vec<(usize, usize)> = spots.corner_joints.iter().filter_map(joint).collect();
    let turned = |&(row, column): &(usize, usize)| (column, row);
    let turned_necks: Vec<Vec<_>> = necks.iter().map(|neck| neck.iter().map(turned).collect()).collect();
    let turned_joints: Vec<_> = joints.iter().map(turned).collect();
    let slender = spots.limits.slender;
    SeamCosts {
        columns: Lines::columns(grid).costs(&turned_necks, &turned_joints, slender),
        rows: Lines::rows(grid).costs(&necks, &joints, slender),
    }
}

/// The lines of cells along which seams lie, one after the other: columns for upright seams, rows for level ones.
struct Lines {
    length: usize,
    cells: Vec<Cell>,
}

impl Lines {
    fn rows(grid: &Grid) -> Self {
        Self { length: grid.columns(), cells: grid.cells().to_vec() }
    }

    fn columns(grid: &Grid) -> Self {
        let column = |column: usize| grid.cells().iter().skip(column).step_by(grid.columns()).copied();
        Self { length: grid.rows(), cells: (0..grid.columns()).flat_map(column).collect() }
    }

    /// Turns the order of the lines round.
    fn reversed(&self) -> Self {
        let cells = self.cells.chunks(self.length).rev().flatten().copied().collect();
        Self { length: self.length, cells }
    }

    fn line(&self, index: usize) -> &[Cell] {
        &self.cells[index * self.length..(index + 1) * self.length]
    }

    fn count(&self) -> usize {
        self.cells.len() / self.length
    }

    fn is_figure(&self, line: usize, at: usize) -> bool {
        self.line(line)[at].is_some()
    }

    /// Adds up what each boundary costs; weak parts are pairs of line and place in it.
    fn costs(
        &self,
        necks: &[Vec<(usize, usize)>],
        joints: &[(usize, usize)],
        slender: usize,
    ) -> Vec<SeamCost> {
        let count = self.count();
        let mut costs = vec![SeamCost::default(); count + 1];
        for (seam, cost) in costs.iter_mut().enumerate().take(count).skip(1) {
            cost.crossed = self.crossed(seam);
        }
        for seam in necks.iter().flat_map(|neck| self.parting(neck)).chain(joints.iter().map(|joint| joint.0))
        {
            costs[seam].weak += 1;
        }
        for (seam, weak) in self.left_over(slender).into_iter().enumerate() {
            costs[seam].weak += weak;
        }
        for (seam, weak) in self.reversed().left_over(slender).into_iter().enumerate() {
            costs[count - seam].weak += weak;
        }
        costs
    }

    /// Counts the colour boundaries that go on straight across a seam.
    fn crossed(&self, seam: usize) -> usize {
        let changes = |line: &[Cell], at: usize| {
            let before = at.checked_sub(1).and_then(|at| line[at]);
            before != line.get(at).copied().flatten()
        };
        let (before, after) = (self.line(seam - 1), self.line(seam));
        (0..=self.length).filter(|&at| changes(before, at) && changes(after, at)).count()
    }

    /// Lists the seams that part a cell of a thin part from another cell of the figure.
    fn parting(&self, neck: &[(usize, usize)]) -> Vec<usize> {
        let parted = |seam: usize, at: usize| {
            seam > 0 && seam < self.count() && self.is_figure(seam - 1, at) && self.is_figure(seam, at)
        };
        let beside = neck.iter().flat_map(|&(line, at)| [(line, at), (line + 1, at)]);
        let mut seams: Vec<usize> =
            beside.filter(|&(seam, at)| parted(seam, at)).map(|(seam, _)| seam).collect();
        seams.sort_unstable();
        seams.dedup();
        seams
    }

    /// Counts, for each seam, the weak parts that it leaves before it: loose ones and slivers.
    fn left_over(&self, slender: usize) -> Vec<usize> {
        let length = self.length;
        let mut parts = Parts::new(self.cells.len());
        let mut found = vec![0];
        for seam in 1..self.count() {
            let line = seam - 1;
            for at in (0..length).filter(|&at| self.is_figure(line, at)) {
                let place = line * length + at;
                if at > 0 && self.is_figure(line, at - 1) {
                    parts.join(place, place - 1);
                }
                if line > 0 && self.is_figure(line - 1, at) {
                    parts.join(place, place - length);
                }
            }
            let cut = (0..length).filter(|&at| self.is_figure(line, at) && self.is_figure(seam, at));
            let mut severed: Vec<usize> = cut.map(|at| parts.of(line * length + at)).collect();
            severed.sort_unstable();
            severed.dedup();
            // A part goes by its first place, so a part that begins in this line is one cell deep.
            let loose =
                severed.into_iter().filter(|&part| parts.sizes[part] < CRUMB || part / length == line);
            found.push(loose.count() + self.slivers(seam, slender));
        }
        found.push(0);
        found
    }

    /// Counts the slivers before a seam that something holds.
    fn slivers(&self, seam: usize, slender: usize) -> usize {
        let line = seam - 1;
        let thin = |at: usize| {
            let behind = line > 0 && self.is_figure(line - 1, at);
            self.is_figure(line, at) && self.is_figure(seam, at) && !behind
        };
        let mut slivers = 0;
        let mut from = 0;
        while from < self.length {
            let mut to = from;
            while to < self.length && thin(to) {
                to += 1;
            }
            let held = usize::from(from > 0 && self.is_figure(line, from - 1))
                + usize::from(to < self.length && self.is_figure(line, to));
            slivers += usize::from(held > 0 && to - from > slender * held);
            from = to + 1;
        }
        slivers
    }
}

/// Parts that grow together, each known by its first place.
struct Parts {
    first: Vec<usize>,
    sizes: Vec<usize>,
}

impl Parts {
    fn new(places: usize) -> Self {
        Self { first: (0..places).collect(), sizes: vec![1; places] }
    }

    fn of(&mut self, place: usize) -> usize {
        root(&mut self.first, place)
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.of(one), self.of(other));
        if one != other {
            let (early, late) = (one.min(other), one.max(other));
            self.first[late] = early;
            self.sizes[early] += self.sizes[late];
        }
    }
}
