//! What may be done about weak spots: lists of cells, the best first.

use serde::{Deserialize, Serialize};

use super::body::Mask;
use super::bridge::{Bridge, CRUMB, bridge_all};
use super::fill::{fill_corners, grown};
use super::inks::{Ink, Inks, Work};
use super::thicken::thicken;
use super::weak::{WeakSpot, WeakSpots, Weakness, weak_necks};
use super::{Corner, Severity};
use crate::colour::Rgb;
use crate::fault::Result;
use crate::grid::Grid;

/// A way to help a weak spot, in the order in which they are proposed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cure {
    /// Fill a cell beside a corner joint.
    FillCorner,
    /// Make a thin part one cell wider.
    Thicken,
    /// Join a loose part by a bridge of cells.
    Bridge,
    /// Put a border of one cell round the whole figure.
    Border,
    /// Leave narrow waste uncut, and paint it.
    LeaveUncut,
    /// Do without a part of one or two cells.
    DropCrumb,
}

impl Cure {
    /// Gives the words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::FillCorner => "fill a corner",
            Self::Thicken => "thicken",
            Self::Bridge => "bridge",
            Self::Border => "border",
            Self::LeaveUncut => "leave uncut",
            Self::DropCrumb => "drop a crumb",
        }
    }
}

/// One proposal: cells that become of a colour, or bare.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Remedy {
    /// What is done.
    pub cure: Cure,
    /// The cells (row, column) that change.
    pub cells: Vec<(usize, usize)>,
    /// What they become; none for bare.
    pub colour: Option<Rgb>,
    /// Whether it is one of those that together mend the figure; others are further ways.
    pub recommended: bool,
    /// The spot that it helps; none for a border, which helps many.
    pub spot: Option<WeakSpot>,
}

/// Proposes what may be done about the weak spots of a grid: what is recommended first, then further ways.
///
/// # Errors
/// [`Error::Colours`](crate::fault::Error::Colours) when a colour of `inks` would be one too many.
pub fn remedies(grid: &Grid, spots: &WeakSpots, inks: Inks) -> Result<Vec<Remedy>> {
    let work = Work::new(grid, inks)?;
    let mut found = Vec::new();
    let mut mask = work.mask.clone();
    found.extend(fills(&work, &mut mask, spots));
    found.extend(thicker(&work, spots));
    if !spots.islands.is_empty() {
        let mut island = vec![0; mask.filled.len()];
        for (number, spot) in spots.islands.iter().enumerate() {
            for place in work.places(&spot.cells) {
                island[place] = number;
            }
        }
        for bridge in bridge_all(&mut mask, true) {
            // The smallest island that the part holds is the one that looks loose.
            let number = bridge.part.iter().map(|&place| island[place]).max().unwrap_or(0);
            found.extend(joins(&work, &bridge, &spots.islands[number]));
        }
    }
    for spot in spots.slots.iter().chain(&spots.pinholes) {
        let places = work.places(&spot.cells);
        found.push(work.remedy(Cure::LeaveUncut, &places, Ink::Ground, Some(spot.clone())).further());
    }
    found.extend(border(&work));
    found.sort_by_key(|remedy| (!remedy.recommended, remedy.cure));
    Ok(found)
}

fn fills(work: &Work, mask: &mut Mask, spots: &WeakSpots) -> Vec<Remedy> {
    let joint = |spot: &WeakSpot| match spot.weakness {
        Weakness::CornerJoint { corner } => Some(corner),
        _ => None,
    };
    let corners: Vec<Corner> = spots.corner_joints.iter().filter_map(joint).collect();
    let cells = fill_corners(mask, &corners).into_iter().zip(&spots.corner_joints);
    let cells = cells.filter(|(cells, _)| !cells.is_empty());
    cells
        .map(|(cells, spot)| work.remedy(Cure::FillCorner, &cells, Ink::Outline, Some(spot.clone())))
        .collect()
}

fn thicker(work: &Work, spots: &WeakSpots) -> Vec<Remedy> {
    let limits = &spots.limits;
    let necks = weak_necks(&work.mask, limits, limits.widest()).into_iter().zip(&spots.necks);
    let wider = necks.filter_map(|((neck, thin), spot)| {
        let cells = thicken(&work.mask, &thin, neck.width)?;
        let remedy = work.remedy(Cure::Thicken, &cells, Ink::Outline, Some(spot.clone()));
        Some(if neck.severity == Severity::Severe { remedy } else { remedy.further() })
    });
    wider.collect()
}

/// Proposes a bridge for a loose part, and for a crumb to do without it; the shorter of the two first.
fn joins(work: &Work, bridge: &Bridge, spot: &WeakSpot) -> Vec<Remedy> {
    let join = work.remedy(Cure::Bridge, &bridge.cells, Ink::Outline, Some(spot.clone()));
    if bridge.part.len() > CRUMB {
        return vec![join];
    }
    let drop = work.remedy(Cure::DropCrumb, &bridge.part, Ink::Bare, Some(spot.clone()));
    if bridge.crumb { vec![drop, join.further()] } else { vec![join, drop.further()] }
}

fn border(work: &Work) -> Option<Remedy> {
    let wide = grown(&work.mask);
    let new = |&place: &usize| wide.filled[place] && !work.mask.filled[place];
    let cells: Vec<usize> = (0..wide.filled.len()).filter(new).collect();
    (!cells.is_empty()).then(|| work.remedy(Cure::Border, &cells, Ink::Outline, None).further())
}

impl Remedy {
    fn further(self) -> Self {
        Self { recommended: false, ..self }
    }
}
