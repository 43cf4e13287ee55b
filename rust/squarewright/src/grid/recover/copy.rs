//! Reading a copy: exact where its edges say so, else by fitting models of the scalers it may have been
//! through.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::comb::Comb;
use super::confidence;
use super::field::Field;
use super::hint::{Hint, Range};
use super::kernel::Family;
use super::nature::{is_native, noise};
use super::paint::Care;
use super::peel;
use super::sample::Sampled;
use super::solve::{Axes, solve};
use super::storage::Storage;
use super::view::View;
use crate::fault::{Result, Watch};
use crate::picture::Picture;

/// What kind of copy a picture is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum Kind {
    /// Each pixel is a cell.
    Native,
    /// Enlarged with sharp or slightly softened edges.
    Sharp,
    /// Enlarged with colours blended between the middles of cells.
    Smooth,
    /// Sharp, with lines drawn between the cells.
    Lined,
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Native => "native",
            Self::Sharp => "sharp",
            Self::Smooth => "smooth",
            Self::Lined => "lined",
        })
    }
}

/// Cells with their colours, and where they stand in the picture.
#[derive(Debug, Clone)]
pub(super) struct Copy {
    pub(super) pitch: (f64, f64),
    /// The outer corner of the first cell.
    pub(super) offset: (f64, f64),
    pub(super) rows: usize,
    pub(super) columns: usize,
    pub(super) colours: Vec<[u8; 4]>,
    pub(super) confidence: f64,
    pub(super) kind: Kind,
    /// Whether so few edges were seen that smaller cells would fit as well.
    pub(super) is_ambiguous: bool,
}

impl Copy {
    /// Reads the cells of an even comb.
    fn of_comb(picture: &Picture, comb: &Comb) -> Self {
        let sampled = Sampled::new(picture, comb);
        let both = |(x, y): (i64, i64)| (x as f64, y as f64);
        Self {
            pitch: both(comb.pitch()),
            offset: both(comb.offset()),
            rows: sampled.rows,
            columns: sampled.columns,
            confidence: confidence::of(comb, &sampled),
            colours: sampled.colours,
            kind: if comb.pitch() == (1, 1) { Kind::Native } else { Kind::Sharp },
            is_ambiguous: comb.is_ambiguous(),
        }
    }
}

/// What is known before cells are looked for.
#[derive(Debug, Clone)]
pub(super) struct Source<'a> {
    pub(super) picture: &'a Picture,
    /// Flags of pixels that a checkerboard leaves unclear; empty without one.
    pub(super) unclear: Vec<u8>,
    pub(super) hint: Option<Hint>,
    /// The pitches that a part of the picture suggests.
    pub(super) likely: Option<(Range, Range)>,
}

/// Values that differ by less are one colour with noise on it.
const TOLERANCE: f32 = 10.0;
/// Drawn lines of two or three pixels can make an exact copy look like smaller cells.
pub(super) const LINE: i64 = 3;

/// Reads a picture; the best reading comes first.
pub(super) fn read(source: Source<'_>, combs: &[Comb], watch: &dyn Watch) -> Result<Vec<Copy>> {
    let Source { picture, unclear, hint, likely } = source;
    let exactly = || combs.iter().map(|comb| Copy::of_comb(picture, comb)).collect();
    let lifted = !unclear.is_empty();
    let step = combs[0].pitch().0.min(combs[0].pitch().1);
    let exact = !lifted && step > 1;
    let field = Field::new(picture, unclear, watch)?;
    let noise = noise(&field);
    let tolerance = TOLERANCE + if noise > 2.0 { 3.0 * noise } else { 0.0 };
    let content = peel::content(&field, tolerance + 3.0);
    let turned = field.transposed();
    let storage = Storage::of(picture, &field);
    let tolerance = tolerance + 6.0;
    let view = View { picture, field: &field, turned: &turned, content, tolerance, storage: &storage };
    let suits = |pitch: (f64, f64)| hint.is_none_or(|hint| hint.allows(pitch, &view));
    if !lifted && let Some(copy) = view.framed(step, watch)?.filter(|copy| suits(copy.pitch)) {
        return Ok(vec![copy]);
    }
    let both = combs[0].pitch();
    if exact && step > LINE && suits((both.0 as f64, both.1 as f64)) {
        return Ok(exactly());
    }
    let axes = Axes::new(storage.bright().unwrap_or(&field), content);
    let wanted = hint.map(|hint| hint.pitches(&view)).or(likely);
    let Some(solved) = solve(&axes, wanted, watch)? else { return Ok(exactly()) };
    let lined = solved.x.kernel.family() == Family::Lined && solved.rss < 0.05;
    let native = !lifted && is_native(picture, content, &solved);
    if hint.is_none() && ((exact && !lined) || native) {
        return Ok(exactly());
    }
    let confidence = confidence::of_solved(&solved);
    let best = if solved.is_exact {
        view.sampled(solved.x, solved.y, confidence)
    } else {
        view.painted(solved.x, solved.y, confidence, Care::Full)
    };
    let mut copies = vec![best];
    for (place, &(x, y)) in solved.others.iter().enumerate() {
        watch.check(0.9)?;
        copies.push(view.painted(x, y, confidence::of_other(confidence, place), Care::Quick));
    }
    Ok(copies)
}
