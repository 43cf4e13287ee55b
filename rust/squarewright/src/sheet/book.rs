//! All sheets of a figure in order, the template as one drawing, and the preview.

use super::draw::{Draw, Page};
use super::figure::{Lattice, boundaries, fills, layers};
use super::page::{HAIR, INK, Leaf, QUIET, finish};
use super::paper::Paper;
use super::{
    backing, bench, buying, chart, colours, cover, cutting, gluing, hanging, labels, marks, mixing, painting,
    spots, steps, strips, swatches, template,
};
use crate::colour::Rgb;
use crate::fault::{Result, Watch};
use crate::length::{Area, Length, Place};
use crate::plan::Plan;

/// The look of raw cork in the preview.
pub(super) const CORK: Rgb = Rgb([0xc9, 0xa2, 0x77]);

/// Lays out every sheet of a plan.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
pub fn book(plan: &Plan, paper: Paper, watch: &dyn Watch) -> Result<Vec<Page>> {
    let kinds: &[fn(&Plan, Paper) -> Vec<Leaf>] = &[
        cover::leaves,
        steps::leaves,
        bench::leaves,
        spots::leaves,
        buying::leaves,
        colours::leaves,
        mixing::leaves,
        swatches::leaves,
        marks::leaves,
        strips::leaves,
        chart::leaves,
        painting::leaves,
        labels::leaves,
        template::leaves,
        cutting::leaves,
        gluing::leaves,
        backing::leaves,
        hanging::leaves,
    ];
    let mut leaves = Vec::new();
    for kind in kinds {
        leaves.extend(kind(plan, paper));
        watch.check(0.0)?;
    }
    let count = leaves.len();
    let numbered = (1..).zip(leaves);
    let page = |(number, leaf)| {
        watch.check(number as f32 / count as f32 / 2.0)?;
        Ok(finish(leaf, paper, plan.name(), (number, count)))
    };
    numbered.map(page).collect()
}

/// Draws the whole template at full size.
pub fn drawing(plan: &Plan) -> Page {
    let (width, height) = (plan.fit().width().nearest(), plan.fit().height().nearest());
    let lattice = Lattice { origin: Place::default(), pitch: plan.fit().pitch };
    let draws = layers(plan, lattice, Area::new(Place::default(), width, height));
    Page { width, height, title: plan.name().to_owned(), draws }
}

/// Draws the painted figure on its panels.
pub fn preview(plan: &Plan) -> Page {
    let (grid, fit) = (plan.grid(), plan.fit());
    let side = |length: Length, count: usize| length * i64::try_from(count).unwrap_or(1);
    let (width, height) = (side(fit.panel.width(), fit.across), side(fit.panel.height(), fit.down));
    let window = Area::new(Place::default(), width, height);
    let origin = Place::new(fit.margins.left.nearest(), fit.margins.top.nearest());
    let lattice = Lattice { origin, pitch: fit.pitch };
    let mut draws = vec![Draw::block(window, plan.making().ground.unwrap_or(CORK))];
    let seam = |from, to| Draw::line(from, to, Length::PT, QUIET);
    draws.extend(
        (1..fit.across)
            .map(|count| side(fit.panel.width(), count))
            .map(|x| seam(Place::new(x, Length::ZERO), Place::new(x, height))),
    );
    draws.extend(
        (1..fit.down)
            .map(|count| side(fit.panel.height(), count))
            .map(|y| seam(Place::new(Length::ZERO, y), Place::new(width, y))),
    );
    draws.extend(fills(grid, lattice, window, Some));
    let path = boundaries(plan.outline().silhouette(), lattice, window);
    draws.push(Draw::stroke(path, HAIR, INK));
    Page { width, height, title: plan.name().to_owned(), draws }
}
