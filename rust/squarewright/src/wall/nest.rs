//! Nesting: figures on as few panels as can be found.

use serde::{Deserialize, Serialize};

use super::board::Board;
use super::bound;
use super::figure::{Figure, Shape};
use super::lattice::Lattice;
use super::lay::{Job, Laid, Layout};
use super::offcut::{Free, OffCut};
use super::search::search;
use super::share::fewer;
use super::spacing::Spacing;
use super::start::{Fixed, Origin, Start, board, together};
use crate::fault::{Error, Result, Watch};
use crate::length::{Length, Ratio};
use crate::panel::Panel;

/// Figures in their places on panels of one size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Nesting {
    /// Every panel, as measured.
    pub panel: Panel,
    /// What was asked.
    pub spacing: Spacing,
    /// The figures, in the order given.
    pub figures: Vec<Figure>,
    /// What lies on each panel.
    pub panels: Vec<NestedPanel>,
    /// The number of panels that no nesting with this spacing goes below, as far as is known.
    pub lower_bound: usize,
}

/// What lies on one panel, and what is left of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NestedPanel {
    /// Where it comes from.
    pub origin: Origin,
    /// Its figures, from the top down and from the left.
    pub figures: Vec<Nested>,
    /// What is left and worth keeping, the largest first; no two overlap.
    pub offcuts: Vec<OffCut>,
}

impl NestedPanel {
    /// Gives its width and its height, when whole panels are of this size.
    pub fn size(&self, panel: Panel) -> (Length, Length) {
        match self.origin {
            Origin::OffCut(width, height) => (width, height),
            Origin::New | Origin::InUse => (panel.width(), panel.height()),
        }
    }
}

/// One figure in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Nested {
    /// Which of the figures it is.
    pub figure: usize,
    /// From the left edge of the panel to the box round its cells.
    pub x: Length,
    /// From the top edge of the panel to the box round its cells.
    pub y: Length,
    /// The width of that box, as it lies.
    pub width: Ratio,
    /// The height of that box, as it lies.
    pub height: Ratio,
    /// How many quarter turns clockwise it has made, 0 to 3.
    pub quarter_turns: u8,
}

/// The most figures that are nested together.
const FIGURES: usize = 500;

/// Nests figures on panels of one size.
///
/// # Errors
/// [`Error::Argument`] when there are no figures or more than 500, [`Error::Fit`] when a figure is larger than
/// the panel, and as [`Spacing::checked`]; [`Error::Stopped`] when the watcher asks to stop.
pub fn nest(figures: Vec<Figure>, panel: Panel, spacing: Spacing, watch: &dyn Watch) -> Result<Nesting> {
    let spacing = spacing.checked(panel)?;
    if figures.is_empty() || figures.len() > FIGURES {
        let (must, got) = (format!("a list of 1 to {FIGURES} grids"), figures.len().to_string());
        return Err(Error::Argument { name: "grids", must, got });
    }
    nest_on(Vec::new(), figures, (panel, spacing), watch)
}

/// Nests figures, those first that have a place already: what is left of their boards is filled before a new one.
///
/// # Errors
/// As [`nest`].
pub(super) fn nest_on(
    starts: Vec<Start>,
    figures: Vec<Figure>,
    (panel, spacing): (Panel, Spacing),
    watch: &dyn Watch,
) -> Result<Nesting> {
    let spacing = spacing.checked(panel)?;
    let shapes: Vec<Shape> = figures.iter().map(Shape::new).collect();
    let fixed: Vec<usize> = starts.iter().flat_map(|start| &start.fixed).map(|each| each.figure).collect();
    let free: Vec<usize> = (0..shapes.len()).filter(|place| !fixed.contains(place)).collect();
    let wanted: Vec<Shape> = free.iter().map(|&place| shapes[place].clone()).collect();
    let lattice = Lattice::new(if free.is_empty() { &shapes } else { &wanted }, panel, &spacing)?;
    let boards = starts.iter().map(|start| board(start, &shapes, &lattice, spacing.margin)).collect();
    let (starts, boards) = together(starts, boards);
    let job = Job { free, starts: boards, ..Job::new(&shapes, lattice, spacing.turning) };
    if let Some(&large) = job.free.iter().find(|&&figure| job.of(figure).is_empty()) {
        return Err(too_large(&shapes[large], large, panel, &spacing));
    }
    let mut least = bound::by_area(&job, &wanted);
    let mut layout = search(&job, least, (spacing.smallest_offcut, spacing.seed), watch)?;
    if layout.boards.len() > least && job.lattice.exact && starts.is_empty() {
        least = least.max(bound::by_pairs(&job));
        let (better, proven) = fewer(&job, least, layout.boards.len(), watch)?;
        least = proven;
        layout = better.unwrap_or(layout);
    }
    let panels = panels((&job, &shapes), &layout, &starts, spacing.smallest_offcut);
    // Off-cuts on which nothing lies are no panels.
    let lower_bound = least + panels.len() - layout.boards.len();
    Ok(Nesting { panel, spacing, figures, panels, lower_bound })
}

impl Nesting {
    /// Tells whether no nesting with this spacing needs fewer panels.
    pub fn is_proven(&self) -> bool {
        self.panels.len() == self.lower_bound
    }
}

fn too_large(shape: &Shape, place: usize, panel: Panel, spacing: &Spacing) -> Error {
    let margins = if spacing.margin == Length::ZERO {
        String::new()
    } else {
        format!(" with margins of {}", spacing.margin)
    };
    let turned = if spacing.turning { "" } else { ", allow turning" };
    Error::Fit {
        cells: format!("grids[{place}] is {} x {}: its", shape.width(), shape.height()),
        room: format!("one panel of {panel}{margins}"),
        remedy: format!(
            "Plan it on several panels first, and nest what lies on each{turned}, or use a smaller pitch."
        ),
    }
}

fn panels(
    (job, shapes): (&Job, &[Shape]),
    layout: &Layout,
    starts: &[Start],
    smallest: Length,
) -> Vec<NestedPanel> {
    let panel = |(board, taken): (usize, &Board)| {
        let start = starts.get(board);
        let origin = start.map_or(Origin::New, |start| start.origin);
        let there = start.into_iter().flat_map(|start| &start.fixed).map(|each| lying(shapes, each));
        let laid = layout.laid.iter().filter(|laid| laid.board == board).map(|laid| nested(job, laid));
        let mut figures: Vec<Nested> = there.chain(laid).collect();
        figures.sort_by_key(|nested| (nested.y, nested.x, nested.figure));
        NestedPanel { origin, figures, offcuts: Free::new(taken, &job.lattice, smallest, 1).all() }
    };
    let is_used = |panel: &NestedPanel| !panel.figures.is_empty();
    layout.boards.iter().enumerate().map(panel).filter(is_used).collect()
}

/// Gives a figure that had its place before.
fn lying(shapes: &[Shape], fixed: &Fixed) -> Nested {
    let shape = &shapes[fixed.figure];
    let (width, height) = (shape.width(), shape.height());
    let (width, height) =
        if fixed.quarter_turns.is_multiple_of(2) { (width, height) } else { (height, width) };
    let (x, y) = (fixed.x.nearest(), fixed.y.nearest());
    Nested { figure: fixed.figure, x, y, width, height, quarter_turns: fixed.quarter_turns }
}

fn nested(job: &Job, laid: &Laid) -> Nested {
    let footprint = &job.of(laid.figure)[laid.turn];
    Nested {
        figure: laid.figure,
        x: job.lattice.at(laid.spot.0),
        y: job.lattice.at(laid.spot.1),
        width: footprint.width,
        height: footprint.height,
        quarter_turns: footprint.quarter_turns,
    }
}
