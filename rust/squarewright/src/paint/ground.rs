//! A colour for the ground of a whole square that sits well behind a figure.
//!
//! A ground should leave every border of the figure easy to see, in black and white too, and be quieter than the
//! figure (common practice of poster and sign painting; hues that lie opposite each other set each other off).

use serde::{Deserialize, Serialize};

use super::mixture::{Blend, Surface, blend};
use super::paint::Paint;
use super::recipe::Part;
use super::{Stock, whitest};
use crate::colour::{Lab, Rgb, ciede2000};
use crate::fault::Result;

/// Paint and white, in parts, that are looked at.
const TINTS: [(u32, u32); 4] = [(1, 0), (1, 1), (1, 3), (1, 7)];
/// Closer to a border colour than this, a ground swallows the border (CIEDE2000).
const CLEAR: f64 = 15.0;
/// Lightness is to differ by this much, so that it shows in grey.
const STEP: f64 = 15.0;
/// More chroma than this is loud.
const QUIET: f64 = 30.0;
/// How far from the opposite hue still counts as opposite, in degrees.
const AROUND: f64 = 45.0;
/// Beyond this difference a border is no clearer.
const ENOUGH: f64 = 40.0;

/// In what way a ground sets the figure off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Manner {
    /// Light and quiet.
    Light,
    /// Dark and quiet.
    Dark,
    /// Of the hue that lies opposite.
    Opposite,
}

/// A ground worth a try.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Ground {
    /// In what way it sets the figure off.
    pub manner: Manner,
    /// The colour.
    pub colour: Rgb,
    /// How it is mixed.
    pub parts: Vec<Part>,
    /// How far it is from the border colour that it is nearest to, CIEDE2000.
    pub difference: f64,
}

struct Candidate {
    lab: Lab,
    ground: Ground,
    score: f64,
}

/// Suggests a ground of each manner that can be had: `figure` lists the colours with their cells, `border` those
/// that touch bare cells.
///
/// # Errors
/// As [`blend`].
pub fn grounds(figure: &[(Rgb, usize)], border: &[Rgb], stock: &Stock) -> Result<Vec<Ground>> {
    let border: Vec<Lab> = border.iter().map(|&colour| colour.into()).collect();
    let white = whitest(stock);
    let mut candidates = Vec::new();
    for (place, paint) in stock.paints().iter().enumerate() {
        for (own, other) in TINTS {
            let white =
                white.filter(|&white| other > 0 && white != place).map(|white| &stock.paints()[white]);
            if other == 0 || white.is_some() {
                let white = white.map(|white| (white, other));
                candidates.extend(candidate((paint, own), white, stock.surface(), &border)?);
            }
        }
    }
    let opposite = mean_hue(figure).map(|hue| if hue < 180.0 { hue + 180.0 } else { hue - 180.0 });
    let across = |lab: Lab| {
        let apart = opposite.map_or(360.0, |hue| libm::fabs(lab.hue() - hue));
        apart.min(360.0 - apart) <= AROUND && lab.chroma() >= QUIET / 3.0
    };
    let suits = |manner: Manner, lab: Lab| match manner {
        Manner::Light => lab.l >= 70.0 && lab.chroma() <= QUIET,
        Manner::Dark => lab.l <= 40.0 && lab.chroma() <= QUIET,
        Manner::Opposite => across(lab),
    };
    let best = |manner: Manner| {
        let fit = candidates.iter().filter(|candidate| suits(manner, candidate.lab));
        let best = fit.max_by(|one, other| one.score.total_cmp(&other.score))?;
        Some(Ground { manner, ..best.ground.clone() })
    };
    let mut found: Vec<Ground> = Vec::new();
    for ground in [Manner::Light, Manner::Dark, Manner::Opposite].into_iter().filter_map(best) {
        if !found.iter().any(|other| other.colour == ground.colour) {
            found.push(ground);
        }
    }
    Ok(found)
}

/// Judges a paint, or its mixture with white; none when a border would be hard to see.
fn candidate(
    own: (&Paint, u32),
    white: Option<(&Paint, u32)>,
    surface: Surface,
    border: &[Lab],
) -> Result<Option<Candidate>> {
    let all: Vec<(&Paint, u32)> = [Some(own), white].into_iter().flatten().collect();
    let amounts: Vec<(&Paint, f64)> = all.iter().map(|&(paint, parts)| (paint, f64::from(parts))).collect();
    let Blend { colour, lab, .. } = blend(&amounts, surface)?;
    let differences = border.iter().map(|&other| ciede2000(lab, other));
    let difference = differences.fold(ENOUGH, f64::min);
    let step = border.iter().map(|other| libm::fabs(lab.l - other.l)).fold(f64::INFINITY, f64::min);
    if difference < CLEAR || step < STEP {
        return Ok(None);
    }
    let parts = all.iter().map(|&(paint, parts)| Part { paint: paint.name.clone(), parts }).collect();
    let score = difference - (lab.chroma() - QUIET).max(0.0);
    let ground = Ground { manner: Manner::Light, colour, parts, difference };
    Ok(Some(Candidate { lab, ground, score }))
}

/// Finds the hue of a figure, in degrees: each cell pulls with its chroma. A grey figure has none.
fn mean_hue(figure: &[(Rgb, usize)]) -> Option<f64> {
    let pull = |&(colour, cells): &(Rgb, usize)| {
        let lab = Lab::from(colour);
        (lab.a * cells as f64, lab.b * cells as f64)
    };
    let (a, b) = figure.iter().map(pull).fold((0.0, 0.0), |sum, next| (sum.0 + next.0, sum.1 + next.1));
    let cells: usize = figure.iter().map(|&(_, cells)| cells).sum();
    let mean = Lab { l: 50.0, a: a / cells.max(1) as f64, b: b / cells.max(1) as f64 };
    (mean.chroma() >= 3.0).then(|| mean.hue())
}
