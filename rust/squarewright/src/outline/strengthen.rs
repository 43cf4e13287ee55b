//! Carrying remedies out, and looking at the figure again.

use serde::{Deserialize, Serialize};

use super::bridge::bridge_all;
use super::fill::fill_corners;
use super::inks::{Ink, Inks, Work};
use super::remedy::{Cure, Remedy};
use super::thicken::thicken;
use super::weak::{WeakSpot, WeakSpots, joints, weak_necks, weak_spots};
use super::{Limits, Severity};
use crate::fault::{Result, Watch};
use crate::grid::Grid;

/// Which remedies are carried out.
#[derive(Debug, Clone, PartialEq)]
pub enum Choice {
    /// All that it takes to leave no corner joint, no loose part and no severe neck.
    All,
    /// These alone, in this order.
    These(Vec<Remedy>),
}

/// A figure with its remedies carried out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Strengthened {
    /// The new grid, of the same size; its palette is the old one with new colours behind.
    pub grid: Grid,
    /// What was done, in order.
    pub remedies: Vec<Remedy>,
    /// The cells (row, column) that differ, in row-major order: those of the remedies together.
    pub cells: Vec<(usize, usize)>,
    /// The weak spots that there were.
    pub before: WeakSpots,
    /// Those that there are now.
    pub after: WeakSpots,
}

/// Carries remedies out.
///
/// # Errors
/// As [`weak_spots`]; [`Error::Colours`](crate::fault::Error::Colours) for a colour too many,
/// [`Error::Argument`](crate::fault::Error::Argument) when a remedy is for another grid, and
/// [`Error::Stopped`](crate::fault::Error::Stopped).
pub fn strengthened(
    grid: &Grid,
    limits: &Limits,
    choice: Choice,
    inks: Inks,
    watch: &dyn Watch,
) -> Result<Strengthened> {
    let before = weak_spots(grid, limits)?;
    let mut work = Work::new(grid, inks)?;
    let done = match choice {
        Choice::All => mend(&mut work, limits, watch)?,
        Choice::These(remedies) => {
            remedies.iter().try_for_each(|remedy| work.apply(remedy))?;
            remedies
        }
    };
    let new = work.grid()?;
    let remedies = settled(grid, &new, done);
    let mut cells: Vec<(usize, usize)> = remedies.iter().flat_map(|remedy| remedy.cells.clone()).collect();
    cells.sort_unstable();
    let after = weak_spots(&new, limits)?;
    Ok(Strengthened { grid: new, remedies, cells, before, after })
}

/// Mends round by round, as what is added may bring new weak spots about. But for crumbs, which go in the
/// first round alone, cells are only ever added: so there is a last round.
fn mend(work: &mut Work, limits: &Limits, watch: &dyn Watch) -> Result<Vec<Remedy>> {
    let mut done = Vec::new();
    for round in 0.. {
        watch.check(0.0)?;
        let before = done.len();
        fill(work, &mut done)?;
        join(work, round == 0, &mut done)?;
        thicken_severe(work, limits, &mut done)?;
        if done.len() == before {
            break;
        }
    }
    Ok(done)
}

fn fill(work: &mut Work, done: &mut Vec<Remedy>) -> Result<()> {
    let corners = joints(&work.mask);
    let mut mask = work.mask.clone();
    for (cells, corner) in fill_corners(&mut mask, &corners).into_iter().zip(corners) {
        if !cells.is_empty() {
            let spot = WeakSpot::corner_joint(&work.mask, corner);
            let remedy = work.remedy(Cure::FillCorner, &cells, Ink::Outline, Some(spot));
            work.apply(&remedy)?;
            done.push(remedy);
        }
    }
    Ok(())
}

fn join(work: &mut Work, drop: bool, done: &mut Vec<Remedy>) -> Result<()> {
    let mut mask = work.mask.clone();
    for bridge in bridge_all(&mut mask, drop) {
        let spot = Some(WeakSpot::island(&mask, bridge.part.clone()));
        let remedy = if drop && bridge.crumb {
            work.remedy(Cure::DropCrumb, &bridge.part, Ink::Bare, spot)
        } else {
            work.remedy(Cure::Bridge, &bridge.cells, Ink::Outline, spot)
        };
        work.apply(&remedy)?;
        done.push(remedy);
    }
    Ok(())
}

fn thicken_severe(work: &mut Work, limits: &Limits, done: &mut Vec<Remedy>) -> Result<()> {
    // Severe ones are one cell wide.
    for (neck, thin) in weak_necks(&work.mask, limits, 1) {
        let severe = neck.severity == Severity::Severe;
        let Some(cells) = thicken(&work.mask, &thin, neck.width).filter(|_| severe) else { continue };
        let spot = WeakSpot::thin(&work.mask, limits, (neck, thin));
        let remedy = work.remedy(Cure::Thicken, &cells, Ink::Outline, Some(spot));
        work.apply(&remedy)?;
        done.push(remedy);
    }
    Ok(())
}

/// Keeps of each remedy the cells that it was the last to change, and that did change.
fn settled(before: &Grid, after: &Grid, done: Vec<Remedy>) -> Vec<Remedy> {
    let mut open: Vec<bool> =
        before.cells().iter().zip(after.cells()).map(|(before, after)| before != after).collect();
    let mut kept: Vec<Remedy> = Vec::new();
    for mut remedy in done.into_iter().rev() {
        remedy
            .cells
            .retain(|&(row, column)| std::mem::replace(&mut open[row * before.columns() + column], false));
        if !remedy.cells.is_empty() {
            kept.push(remedy);
        }
    }
    kept.reverse();
    kept
}
