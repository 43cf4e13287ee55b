//! A plan in a few figures, to hold beside those of others.

use super::{Ending, Plan, Timed};
use crate::length::Ratio;
use crate::outline::{Severity, WeakSpot, WeakSpots};

/// What a plan comes to; each figure is one that its book prints.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Rows of the grid.
    pub rows: usize,
    /// Columns of the grid.
    pub columns: usize,
    /// The cells to paint.
    pub cells: usize,
    /// The areas of one colour that they form.
    pub patches: usize,
    /// The colours.
    pub colours: usize,
    /// The side of a cell.
    pub pitch: Ratio,
    /// Panels side by side and one below the other.
    pub panels: (usize, usize),
    /// The jars of colour.
    pub jars: usize,
    /// What these hold in all, in millilitres.
    pub colour_ml: f64,
    /// The bottles; none without a stock.
    pub bottles: Option<Bottles>,
    /// Hands at work and waiting, in minutes.
    pub minutes: Timed<()>,
    /// What is weak once it is cut out; nothing of a square that stays whole.
    pub weak: Weak,
}

/// The bottles that a plan takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bottles {
    /// How many paints.
    pub paints: usize,
    /// How many bottles in all.
    pub all: u32,
    /// How many of them are of paints that are not at hand.
    pub to_buy: u32,
}

/// How many weak spots of each kind a figure has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Weak {
    /// Corners that nothing holds together.
    pub corner_joints: usize,
    /// Parts that hang on nothing, the largest not counted.
    pub loose_parts: usize,
    /// Thin parts.
    pub thin_parts: usize,
    /// Those of them that may snap.
    pub may_snap: usize,
    /// Waste too narrow to cut with ease.
    pub narrow_gaps: usize,
    /// Holes too small to cut with ease.
    pub small_holes: usize,
}

impl Weak {
    fn new(spots: &WeakSpots) -> Self {
        let severe = |neck: &&WeakSpot| neck.severity() == Severity::Severe;
        Self {
            corner_joints: spots.corner_joints.len(),
            loose_parts: spots.islands.len().saturating_sub(1),
            thin_parts: spots.necks.len(),
            may_snap: spots.necks.iter().filter(severe).count(),
            narrow_gaps: spots.slots.len(),
            small_holes: spots.pinholes.len(),
        }
    }

    /// Counts what breaks or is loose unless something is done.
    pub fn severe(self) -> usize {
        self.corner_joints + self.loose_parts + self.may_snap
    }
}

impl Plan {
    /// Sums it up.
    pub fn summary(&self) -> Summary {
        let amounts = self.amounts();
        let count = |to_buy: bool| {
            let needs = amounts.paints.iter().filter(|need| !to_buy || !need.paint.owned);
            needs.map(|need| need.bottles).sum()
        };
        let paints = amounts.paints.len();
        let bottles = Bottles { paints, all: count(false), to_buy: count(true) };
        let is_cut = self.making().ending == Ending::CutOut;
        Summary {
            rows: self.grid().rows(),
            columns: self.grid().columns(),
            cells: self.grid().figure_cells(),
            patches: self.tally().iter().map(|tally| tally.patches).sum(),
            colours: self.tally().len(),
            pitch: self.fit().pitch,
            panels: (self.fit().across, self.fit().down),
            jars: amounts.jars.len(),
            colour_ml: amounts.colour_ml(),
            bottles: (paints > 0).then_some(bottles),
            minutes: self.hours().total(),
            weak: if is_cut { Weak::new(self.weak_spots()) } else { Weak::default() },
        }
    }
}
