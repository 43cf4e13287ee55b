//! The book of a wall: what all of its figures share.

mod boards;
mod buying;
mod colours;
mod cover;
mod days;
mod hanging;
mod left;
mod map;
mod view;

use super::draw::Page;
use super::page::{Leaf, finish};
use super::press::Press;
use super::told::{Chapter, gathered};
use super::words::Reader;
use crate::fault::{Result, Watch};
use crate::plan::Plan;
use crate::wall::WallPlan;

pub use view::{WallView, wall_view};

/// A wall and how it is printed.
#[derive(Debug, Clone, Copy)]
struct Book<'a> {
    press: &'a Press,
    wall: &'a WallPlan,
    /// The first figure, in the units of the book: its ruler and paints are those of the wall.
    plan: &'a Plan,
}

/// All kinds of sheets in the order of the work.
const KINDS: [fn(Book<'_>) -> Vec<Leaf>; 8] = [
    cover::leaves,
    left::leaves,
    buying::leaves,
    colours::leaves,
    days::leaves,
    boards::leaves,
    map::leaves,
    hanging::leaves,
];

/// Lays out the book of a wall.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
pub fn wall_book(press: &Press, wall: &WallPlan, watch: &dyn Watch) -> Result<Vec<Page>> {
    let leaves = leaves(press, wall, watch)?;
    let count = leaves.len();
    let page = |(number, leaf)| finish(press, leaf, wall.name(), (number, count));
    Ok((1..).zip(leaves).map(page).collect())
}

/// Gives what the sheets of a wall say, title by title.
///
/// # Errors
/// As [`wall_book`].
pub fn wall_chapters(press: &Press, wall: &WallPlan, watch: &dyn Watch) -> Result<Vec<Chapter>> {
    Ok(gathered(leaves(press, wall, watch)?))
}

fn leaves(press: &Press, wall: &WallPlan, watch: &dyn Watch) -> Result<Vec<Leaf>> {
    let plan = &press.measured(&wall.figures()[0].plan);
    let mut leaves = Vec::new();
    for kind in KINDS {
        leaves.extend(kind(Book { press, wall, plan }));
        watch.check(0.0)?;
    }
    Ok(leaves)
}

impl Book<'_> {
    fn ruler(&self) -> Reader {
        self.press.ruler(self.plan)
    }

    /// Gives the number under which one copy of a figure stands in the book, from 1.
    fn number(&self, figure: usize, copy: usize) -> usize {
        1 + copy + self.wall.figures()[..figure].iter().map(|each| each.copies).sum::<usize>()
    }

    /// Counts the pieces of a figure.
    fn pieces(&self, figure: usize) -> usize {
        self.wall.figures()[figure].plan.fit().pieces.len()
    }

    /// Names one copy of a figure.
    fn name(&self, figure: usize, copy: usize) -> String {
        let each = &self.wall.figures()[figure];
        if each.copies == 1 { each.name.clone() } else { format!("{} {}", each.name, copy + 1) }
    }

    /// Gives the numbers of all copies of a figure.
    fn numbers(&self, figure: usize) -> String {
        let (first, copies) = (self.number(figure, 0), self.wall.figures()[figure].copies);
        if copies == 1 { first.to_string() } else { format!("{first}–{}", first + copies - 1) }
    }
}
