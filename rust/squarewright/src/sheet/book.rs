//! All sheets of a figure in order, the template as one drawing, and the preview.

use super::draw::{Draw, Page};
use super::figure::{Lattice, boundaries, fills, grid_lines};
use super::page::{HAIR, INK, QUIET, RULE, finish};
use super::paper::Paper;
use super::{bench, chart, colours, cover, marks, strips, template};
use crate::colour::Rgb;
use crate::length::{Area, Length, Place, Ratio};
use crate::plan::Plan;

/// The look of raw cork in the preview.
const CORK: Rgb = Rgb([0xc9, 0xa2, 0x77]);

/// Lays out every sheet of a plan.
pub fn book(plan: &Plan, paper: Paper) -> Vec<Page> {
    let mut leaves = cover::leaves(plan, paper);
    leaves.extend(bench::leaves(plan, paper));
    leaves.extend(colours::leaves(plan, paper));
    leaves.extend(marks::leaves(plan, paper));
    leaves.extend(strips::leaves(plan, paper));
    leaves.extend(chart::leaves(plan, paper));
    leaves.extend(template::leaves(plan, paper));
    let count = leaves.len();
    (1..).zip(leaves).map(|(number, leaf)| finish(leaf, paper, plan.name(), (number, count))).collect()
}

/// Draws the whole template at full size.
pub fn drawing(plan: &Plan) -> Page {
    let (grid, fit, outline) = (plan.grid(), plan.fit(), plan.outline());
    let (width, height) = (fit.width().nearest(), fit.height().nearest());
    let window = Area::new(Place::default(), width, height);
    let lattice = Lattice { origin: Place::default(), pitch: fit.pitch };
    let stroke = |path, rgb, pt10: i64| Draw::Stroke {
        path,
        width: Length::from_units(Length::PT.units() * pt10 / 10),
        rgb,
        dashed: false,
    };
    let mut draws = Vec::new();
    for (name, path, rgb, weight) in [
        ("grid", grid_lines(grid, lattice, window), RULE, 3),
        ("inner-lines", boundaries(outline.inner_lines(), lattice, window), QUIET, 6),
        ("outline", boundaries(outline.silhouette(), lattice, window), INK, 14),
    ] {
        draws.extend([Draw::Layer(name), stroke(path, rgb, weight), Draw::EndLayer]);
    }
    Page { width, height, title: plan.name().to_owned(), draws }
}

/// Draws the painted figure on its panels.
pub fn preview(plan: &Plan) -> Page {
    let (grid, fit) = (plan.grid(), plan.fit());
    let side = |length: Length, count: usize| length * i64::try_from(count).unwrap_or(1);
    let (width, height) = (side(fit.panel.width(), fit.across), side(fit.panel.height(), fit.down));
    let window = Area::new(Place::default(), width, height);
    let first = |start: Ratio| start.nearest();
    let origin = Place::new(first(fit.margins.left), first(fit.margins.top));
    let lattice = Lattice { origin, pitch: fit.pitch };
    let mut draws = vec![Draw::block(window, plan.making().ground.unwrap_or(CORK))];
    for (count, upright) in [(fit.across, true), (fit.down, false)] {
        for seam in 1..count {
            let (x, y) = (side(fit.panel.width(), seam), side(fit.panel.height(), seam));
            let (from, to) = if upright {
                (Place::new(x, Length::ZERO), Place::new(x, height))
            } else {
                (Place::new(Length::ZERO, y), Place::new(width, y))
            };
            draws.push(Draw::line(from, to, Length::PT, QUIET));
        }
    }
    draws.extend(fills(grid, lattice, window, |rgb| rgb));
    let path = boundaries(plan.outline().silhouette(), lattice, window);
    draws.push(Draw::Stroke { path, width: HAIR, rgb: INK, dashed: false });
    Page { width, height, title: plan.name().to_owned(), draws }
}
