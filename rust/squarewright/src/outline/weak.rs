//! Where a cut figure would not hold together, and where its waste is hard to cut.

use std::cmp::Reverse;

use serde::{Deserialize, Serialize};

use super::body::Mask;
use super::neck::{Thin, thin_parts};
use super::slot::{Narrow, pinholes, slots};
use super::{Corner, Limits};
use crate::fault::Result;
use crate::grid::Grid;
use crate::grid::patch::connected;
use crate::length::{Length, Ratio};

/// How badly a spot may fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// It will break or is loose already.
    Severe,
    /// It may break, or is hard to cut.
    Caution,
}

impl Severity {
    /// Gives the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Severe => "severe",
            Self::Caution => "caution",
        }
    }
}

/// What a thin part is like.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Neck {
    /// Its width in cells.
    pub width: usize,
    /// How many wider parts it holds together; 1 when it only stands out, 0 when its whole piece is thin.
    pub joins: usize,
    /// The cells that come off if it breaks.
    pub beyond: usize,
    /// How far from the break their middle lies, in cells.
    pub lever: f64,
    /// The bending that it must bear, by which thin parts are ranked: beyond × lever ÷ width³.
    pub index: f64,
    /// How badly it may fail.
    pub severity: Severity,
}

/// What is weak about a spot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Weakness {
    /// Two cells meet only at a corner.
    CornerJoint {
        /// The corner.
        corner: Corner,
    },
    /// A part of the figure shares no edge with any other.
    Island,
    /// A part of the figure is thin.
    Neck(Neck),
    /// Waste between parts of the figure is narrow.
    Slot {
        /// Its width in cells.
        width: usize,
    },
    /// A hole is small.
    Pinhole {
        /// Its width in cells.
        width: usize,
    },
}

/// A place where the figure is weak.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WeakSpot {
    /// What is weak.
    #[serde(flatten)]
    pub weakness: Weakness,
    /// Its width on the board; none for corner joints and islands.
    pub span: Option<Ratio>,
    /// Its cells (row, column) in row-major order: those of the figure, or the bare ones of slot and hole.
    pub cells: Vec<(usize, usize)>,
}

/// All weak spots of a figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WeakSpots {
    /// The thresholds that they were found with.
    pub limits: Limits,
    /// Corners that nothing holds together, in row-major order.
    pub corner_joints: Vec<WeakSpot>,
    /// The separate parts, the largest first; empty when the figure is in one piece.
    pub islands: Vec<WeakSpot>,
    /// Thin parts, the weakest first.
    pub necks: Vec<WeakSpot>,
    /// Narrow waste, by first cell.
    pub slots: Vec<WeakSpot>,
    /// Small holes, by first cell.
    pub pinholes: Vec<WeakSpot>,
}

/// Wider necks of two cells than this are sound unless they bear much.
const SOUND: Length = Length::inches(3, 4);

impl Limits {
    /// Judges a neck; none when it is sound.
    fn severity(&self, width: usize, beyond: usize) -> Option<Severity> {
        let (span, square) = (self.span(width), width * width);
        let below = |length: Length| span < length.ratio();
        if width == 1 && (below(self.severe_width) || beyond > self.severe_load) {
            return Some(Severity::Severe);
        }
        let loaded = beyond > self.caution_load * square && (width == 2 || below(self.caution_width));
        let weak = width == 1 || (width == 2 && below(SOUND)) || below(self.thickness) || loaded;
        weak.then_some(Severity::Caution)
    }

    /// Judges a thin part; none when it is sound, or only a bump of the outline.
    fn judged(&self, thin: &Thin, width: usize) -> Option<Neck> {
        let slender = thin.reach > self.slender * width;
        if thin.joins < 2 && !slender {
            return None;
        }
        let severity = self.severity(width, thin.beyond)?;
        let index = thin.beyond as f64 * thin.lever / (width * width * width) as f64;
        let Thin { joins, beyond, lever, .. } = *thin;
        Some(Neck { width, joins, beyond, lever, index, severity })
    }
}

impl WeakSpot {
    fn new(mask: &Mask, cells: Vec<usize>, span: Option<Ratio>, weakness: Weakness) -> Self {
        Self { weakness, span, cells: cells.into_iter().map(|place| mask.at(place)).collect() }
    }

    pub(super) fn corner_joint(mask: &Mask, corner: Corner) -> Self {
        let below = corner.row * mask.columns + corner.column;
        let around = [below - mask.columns - 1, below - mask.columns, below - 1, below];
        let touching = around.into_iter().filter(|&place| mask.filled[place]).collect();
        Self::new(mask, touching, None, Weakness::CornerJoint { corner })
    }

    pub(super) fn island(mask: &Mask, part: Vec<usize>) -> Self {
        Self::new(mask, part, None, Weakness::Island)
    }

    pub(super) fn thin(mask: &Mask, limits: &Limits, (neck, thin): (Neck, Thin)) -> Self {
        Self::new(mask, thin.cells, Some(limits.span(neck.width)), Weakness::Neck(neck))
    }

    /// Tells how badly it may fail.
    pub fn severity(&self) -> Severity {
        match self.weakness {
            Weakness::CornerJoint { .. } => Severity::Severe,
            Weakness::Neck(neck) => neck.severity,
            Weakness::Island | Weakness::Slot { .. } | Weakness::Pinhole { .. } => Severity::Caution,
        }
    }

    /// Gives what a thin part is like.
    pub fn neck(&self) -> Option<Neck> {
        if let Weakness::Neck(neck) = self.weakness { Some(neck) } else { None }
    }
}

impl WeakSpots {
    /// Counts the spots.
    pub fn count(&self) -> usize {
        self.worst_first().len()
    }

    /// Lists all spots: severe ones first; of one severity corner joints, necks, islands, slots, pinholes.
    pub fn worst_first(&self) -> Vec<&WeakSpot> {
        // The largest of several parts is the figure itself.
        let loose = self.islands.iter().skip(1);
        let spots = self.corner_joints.iter().chain(&self.necks).chain(loose);
        let mut spots: Vec<&WeakSpot> = spots.chain(&self.slots).chain(&self.pinholes).collect();
        spots.sort_by_key(|spot| spot.severity());
        spots
    }

    /// Lists the cells (row, column) of each thin part, the weakest first: what is to be cut last.
    pub fn weak_parts(&self) -> Vec<Vec<(usize, usize)>> {
        self.necks.iter().map(|neck| neck.cells.clone()).collect()
    }

    /// Tells whether nothing is loose, meets at a corner alone, or hangs by a severe neck.
    pub fn holds_together(&self) -> bool {
        let severe = |neck: &WeakSpot| neck.severity() == Severity::Severe;
        self.corner_joints.is_empty() && self.islands.is_empty() && !self.necks.iter().any(severe)
    }
}

/// Finds the weak spots of a figure.
///
/// # Errors
/// As [`Limits::checked`].
pub fn weak_spots(grid: &Grid, limits: &Limits) -> Result<WeakSpots> {
    let limits = limits.checked()?;
    let mask = Mask::figure(grid);
    let parts = Some(islands(grid)).filter(|parts| parts.len() > 1).unwrap_or_default();
    let holes = pinholes(&mask, limits.cells(limits.pinhole));
    let waste = slots(&mask, limits.cells(limits.slot.max(limits.thickness)), &holes);
    let narrow = |Narrow { cells, width }, slot| {
        let weakness = if slot { Weakness::Slot { width } } else { Weakness::Pinhole { width } };
        WeakSpot::new(&mask, cells, Some(limits.span(width)), weakness)
    };
    let necks = weak_necks(&mask, &limits, limits.widest()).into_iter();
    Ok(WeakSpots {
        limits,
        corner_joints: joints(&mask)
            .into_iter()
            .map(|corner| WeakSpot::corner_joint(&mask, corner))
            .collect(),
        islands: parts.into_iter().map(|part| WeakSpot::island(&mask, part)).collect(),
        necks: necks.map(|thin| WeakSpot::thin(&mask, &limits, thin)).collect(),
        slots: waste.into_iter().map(|at| narrow(at, true)).collect(),
        pinholes: holes.into_iter().map(|at| narrow(at, false)).collect(),
    })
}

/// Finds the thin parts that are not sound, up to a width in cells, the weakest first.
pub(super) fn weak_necks(mask: &Mask, limits: &Limits, widest: usize) -> Vec<(Neck, Thin)> {
    let sides = mask.squares();
    let mut found: Vec<(Neck, Thin)> = Vec::new();
    for width in 1..=widest {
        let thin = thin_parts(mask, &sides, width).into_iter();
        found.extend(thin.filter_map(|thin| Some((limits.judged(&thin, width)?, thin))));
    }
    found.sort_by(|(a, thin), (b, other)| {
        let worse = a.severity.cmp(&b.severity).then(b.index.total_cmp(&a.index));
        worse.then_with(|| thin.cells.cmp(&other.cells))
    });
    found
}

/// Lists the corners at which two figure cells touch and share no edge: cut out, nothing joins them there.
pub fn corner_joints(grid: &Grid) -> Vec<Corner> {
    joints(&Mask::figure(grid))
}

pub(super) fn joints(mask: &Mask) -> Vec<Corner> {
    let filled = |row: usize, column: usize| mask.filled[row * mask.columns + column];
    let inner = (1..mask.rows).flat_map(|row| (1..mask.columns).map(move |column| (row, column)));
    let joint = |&(row, column): &(usize, usize)| {
        let falling = (filled(row - 1, column - 1), filled(row, column));
        let rising = (filled(row - 1, column), filled(row, column - 1));
        matches!((falling, rising), ((true, true), (false, false)) | ((false, false), (true, true)))
    };
    inner.filter(joint).map(|(row, column)| Corner { row, column }).collect()
}

/// Lists the parts of the figure that share no edge with each other, as places of cells in row-major order:
/// the largest first, then by first cell. A figure in one piece gives one part.
pub fn islands(grid: &Grid) -> Vec<Vec<usize>> {
    let filled = |place: usize| grid.cells()[place].is_some();
    let (labels, count) = connected(grid.rows(), grid.columns(), filled);
    let mut parts = vec![Vec::new(); count];
    for (place, &label) in labels.iter().enumerate().filter(|(place, _)| filled(*place)) {
        parts[label].push(place);
    }
    parts.retain(|part| !part.is_empty());
    parts.sort_by_key(|part| (Reverse(part.len()), part[0]));
    parts
}
