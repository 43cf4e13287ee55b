//! All sheets of a figure in order, and the preview.

use super::draw::{Draw, Page};
use super::drawing::seams;
use super::figure::{Lattice, boundaries, fills};
use super::page::{HAIR, INK, Leaf, QUIET, finish};
use super::press::Press;
use super::{
    backing, bench, buying, chart, colours, counting, cover, cutting, gluing, hanging, labels, marks, mixing,
    overview, painting, record, spots, steps, strips, swatches, template, transfer, wall_template,
};
use crate::colour::Rgb;
use crate::fault::{Error, Result, Watch};
use crate::length::{Area, Length, Place};
use crate::plan::Plan;

/// The look of raw cork in the preview.
pub(super) const CORK: Rgb = Rgb([0xc9, 0xa2, 0x77]);

/// A kind of sheet.
struct Kind {
    name: &'static str,
    leaves: fn(&Press, &Plan) -> Vec<Leaf>,
}

/// All kinds in the order of the work.
const KINDS: [Kind; 23] = [
    Kind { name: "cover", leaves: cover::leaves },
    Kind { name: "steps", leaves: steps::leaves },
    Kind { name: "bench", leaves: bench::leaves },
    Kind { name: "weak spots", leaves: spots::leaves },
    Kind { name: "buying", leaves: buying::leaves },
    Kind { name: "colours", leaves: colours::leaves },
    Kind { name: "mixing", leaves: mixing::leaves },
    Kind { name: "swatches", leaves: swatches::leaves },
    Kind { name: "marks", leaves: marks::leaves },
    Kind { name: "strips", leaves: strips::leaves },
    Kind { name: "chart", leaves: chart::leaves },
    Kind { name: "symbols", leaves: overview::leaves },
    Kind { name: "counting", leaves: counting::leaves },
    Kind { name: "painting", leaves: painting::leaves },
    Kind { name: "labels", leaves: labels::leaves },
    Kind { name: "template", leaves: template::leaves },
    Kind { name: "transfer", leaves: transfer::leaves },
    Kind { name: "cutting", leaves: cutting::leaves },
    Kind { name: "gluing", leaves: gluing::leaves },
    Kind { name: "card", leaves: backing::leaves },
    Kind { name: "hanging", leaves: hanging::leaves },
    Kind { name: "wall", leaves: wall_template::leaves },
    Kind { name: "record", leaves: record::leaves },
];

/// Kinds that are drawings alone.
const DRAWN: [&str; 5] = ["swatches", "strips", "chart", "template", "card"];

/// Which kinds of sheets a book has; all of them by default.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pages([bool; KINDS.len()]);

impl Default for Pages {
    fn default() -> Self {
        Self([true; KINDS.len()])
    }
}

impl Pages {
    /// Chooses kinds by their names.
    ///
    /// # Errors
    /// [`Error::Argument`] for a name that is none, or no name at all.
    pub fn named(names: &[&str]) -> Result<Self> {
        let refused = |got: String| {
            let must = format!("some of {}", Self::names().collect::<Vec<_>>().join(", "));
            Error::Argument { name: "pages", must, got }
        };
        if names.is_empty() {
            return Err(refused("none".into()));
        }
        let mut chosen = [false; KINDS.len()];
        for name in names {
            let found = KINDS.iter().position(|kind| kind.name == name.trim().to_ascii_lowercase());
            chosen[found.ok_or_else(|| refused(format!("{name:?}")))?] = true;
        }
        Ok(Self(chosen))
    }

    /// Gives the names of all kinds, in the order of the book.
    pub fn names() -> impl Iterator<Item = &'static str> {
        KINDS.iter().map(|kind| kind.name)
    }
}

/// Lays out the sheets of a plan.
///
/// # Errors
/// [`Error::Stopped`] when the watcher asks to stop, and [`Error::Argument`] when the figure needs none of the
/// pages that were chosen.
pub fn book(press: &Press, plan: &Plan, watch: &dyn Watch) -> Result<Vec<Page>> {
    let plan = &press.measured(plan);
    let mut leaves = Vec::new();
    for (kind, _) in KINDS.iter().zip(press.pages.0).filter(|(_, chosen)| *chosen) {
        leaves.extend((kind.leaves)(press, plan));
        watch.check(0.0)?;
    }
    if leaves.is_empty() {
        let must = "pages that this figure needs".into();
        return Err(Error::Argument { name: "pages", must, got: "none of them".into() });
    }
    let count = leaves.len();
    let numbered = (1..).zip(leaves);
    let page = |(number, leaf)| {
        watch.check(number as f32 / count as f32 / 2.0)?;
        Ok(finish(press, leaf, plan.name(), (number, count)))
    };
    numbered.map(page).collect()
}

/// Lays out the sheets that are not drawings alone, whichever pages the book has.
pub(super) fn written(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let kinds = KINDS.iter().filter(|kind| !DRAWN.contains(&kind.name));
    kinds.flat_map(|kind| (kind.leaves)(press, plan)).collect()
}

/// Draws the painted figure on its panels.
pub fn preview(plan: &Plan) -> Page {
    let (grid, fit) = (plan.grid(), plan.fit());
    let (width, height) = fit.joined();
    let window = Area::new(Place::default(), width, height);
    let origin = Place::new(fit.margins.left.nearest(), fit.margins.top.nearest());
    let lattice = Lattice { origin, pitch: fit.pitch };
    let mut draws = vec![Draw::block(window, plan.making().ground.unwrap_or(CORK))];
    draws.push(Draw::stroke(seams(fit, lattice, window), Length::PT, QUIET));
    draws.extend(fills(grid, lattice, window, Some));
    let path = boundaries(plan.outline().silhouette(), lattice, window);
    draws.push(Draw::stroke(path, HAIR, INK));
    Page { width, height, title: plan.name().to_owned(), draws }
}
