//! Recovering the cells of pixel art from any copy of it.
//!
//! | step | files | asks |
//! |---|---|---|
//! | region | `region` | which part, and is it upright? |
//! | background | `checker`, `peel` | where is the figure: checkerboard, margins, frames |
//! | exact copies | `edges`, `comb`, `sample` | do all changes of colour lie on even whole pixels? |
//! | candidates | `field`, `profile`, `spectrum` | which pitches do the changes suggest? |
//! | fits | `sketch`, `kernel`, `shape`, `fit`, `hypothesis`, `axis`, `censor` | which scaler and lattice explain each axis? |
//! | choice | `joint`, `solve`, `harmonic`, `polish`, `rungs`, `rivals`, `hint` | which pair, to a hundredth of a pixel? |
//! | cells | `extent`, `paint`, `cells`, `storage`, `blocks`, `view` | how many cells, of which colours? |
//! | palette | `linkage` | which colours differ by noise alone? |
//! | reading | `ground`, `confidence`, `nature`, `reading` | what is bare, and how sure is it? |
//!
//! A smooth picture fits almost any lattice, so that a small residual proves nothing: true cells are known by
//! fitting at one phase and at no other.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "places stay within the sides of a picture, and levels are clamped before they become bytes"
)]

mod axis;
mod blocks;
mod cells;
mod censor;
mod checker;
mod comb;
mod confidence;
mod copy;
mod edges;
mod extent;
mod field;
mod fit;
mod ground;
mod harmonic;
mod hint;
mod hypothesis;
mod joint;
mod kernel;
mod linkage;
mod nature;
mod paint;
mod peel;
mod polish;
mod profile;
mod reading;
mod region;
mod rivals;
mod rungs;
mod sample;
mod shape;
mod sketch;
mod solve;
mod spectrum;
mod storage;
mod view;

pub use copy::Kind;
pub use ground::Background;
pub use hint::Hint;
pub use reading::{Reading, Recovery, Warning};
pub use region::Region;

use self::comb::Comb;
use self::copy::Source;
use self::hint::Range;
use crate::fault::{Error, PictureFault, Result, Watch};
use crate::grid::Grid;
use crate::picture::Picture;

/// How a grid is recovered.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovering {
    /// Which cells are no part of the figure.
    pub background: Background,
    /// The part of the picture to look at; none means all of it.
    pub region: Option<Region>,
    /// What is known about the cells.
    pub hint: Option<Hint>,
    /// The most cells a side that an answer may have.
    pub most_cells: usize,
}

impl Default for Recovering {
    fn default() -> Self {
        Self { background: Background::Auto, region: None, hint: None, most_cells: Grid::SIDE }
    }
}

/// Sides of this length and more are looked at in a smaller copy first.
const BIG: u32 = 900;
/// The smaller copy is at most this long.
const SMALL: u32 = 400;
/// Longer pictures are not looked at in full: 512 cells a side still have three pixels each.
const LARGE: u32 = 1600;
/// The side of the part that is looked at first where cells are small.
const PART: u32 = 400;
/// A part that is less sure than this shows no cells, and how far its pitch may be off.
const DOUBTFUL: f64 = 0.3;
const NEAR: f64 = 0.03;
/// Cells of the smaller copy must be this wide at least, and its reading this sure.
const ENOUGH: (f64, f64) = (5.0, 0.9);

/// Reads the cell grid of a picture.
///
/// # Errors
/// [`PictureFault::Blank`] when every pixel is transparent, [`PictureFault::Shape`] when one row or column of
/// cells would already be too long, [`Error::NoGrid`] when no grid of at most `most_cells` a side explains the
/// picture, [`Error::Argument`] for a region, a hint or a number of cells that cannot be, [`Error::Stopped`]
/// when the watcher stops it.
pub fn recover(picture: &Picture, asked: &Recovering, watch: &dyn Watch) -> Result<Recovery> {
    if asked.most_cells == 0 || asked.most_cells > Grid::SIDE {
        let (must, got) = (format!("1 to {}", Grid::SIDE), asked.most_cells.to_string());
        return Err(Error::Argument { name: "max_cells", must, got });
    }
    if let Some(hint) = asked.hint {
        hint.check()?;
    }
    let cut = asked.region.map(|region| region.cut(picture, watch)).transpose()?;
    let picture = cut.as_ref().unwrap_or(picture);
    if picture.is_blank() {
        return Err(PictureFault::Blank.into());
    }
    if picture.is_thinner_than(Grid::SIDE) {
        return Err(PictureFault::Shape { width: picture.width(), height: picture.height() }.into());
    }
    let corner = asked.region.map_or((0.0, 0.0), Region::corner);
    let found = seen(picture, asked, watch)?;
    let placed = |reading: Reading| reading.placed(corner, 1.0);
    Ok(Recovery {
        best: placed(found.best),
        alternatives: found.alternatives.into_iter().map(placed).collect(),
    })
}

/// Reads a picture with its checkerboard taken away.
fn seen(picture: &Picture, asked: &Recovering, watch: &dyn Watch) -> Result<Recovery> {
    let lifted = checker::lifted(picture);
    let unclear = lifted.as_ref().map_or(Vec::new(), |lifted| lifted.unclear.clone());
    let mut found = whole(lifted.as_ref().map_or(picture, |lifted| &lifted.picture), unclear, asked, watch)?;
    if lifted.is_some() {
        found.best.warnings.push(Warning::Checkerboard);
    }
    Ok(found)
}

/// Reads a picture, a big one in a smaller copy when that is enough.
fn whole(picture: &Picture, unclear: Vec<u8>, asked: &Recovering, watch: &dyn Watch) -> Result<Recovery> {
    let combs = comb::candidates(&edges::find(picture, watch)?);
    let side = picture.width().max(picture.height());
    let (across, down) = combs[0].pitch();
    if unclear.is_empty() && across.min(down) == 1 && side >= BIG {
        return big(picture, &combs, asked, watch);
    }
    let source = Source { picture, unclear, hint: asked.hint, likely: None };
    readings(copy::read(source, &combs, watch)?, asked)
}

/// Reads a big picture: large cells in a small copy; small ones are looked for in a part of it first, so that
/// all of it is fitted only where there are cells, and near their pitch.
fn big(picture: &Picture, combs: &[Comb], asked: &Recovering, watch: &dyn Watch) -> Result<Recovery> {
    let side = picture.width().max(picture.height());
    let factor = side.div_ceil(SMALL);
    let small = reduced(picture, factor, asked, watch)?;
    let (across, down) = small.best.pitch_px;
    if across.min(down) >= ENOUGH.0 * f64::from(factor) && small.best.confidence >= ENOUGH.1 {
        return Ok(small);
    }
    if side > LARGE {
        let factor = side.div_ceil(LARGE);
        let found = closely(&nature::smaller(picture, factor, watch)?, None, asked, watch)?;
        return Ok(found.map_or(small, |found| found.scaled(f64::from(factor))));
    }
    Ok(closely(picture, Some(combs), asked, watch)?.unwrap_or(small))
}

/// Reads all of a picture when a part of it shows cells, or when the maker says that there are.
fn closely(
    picture: &Picture,
    combs: Option<&[Comb]>,
    asked: &Recovering,
    watch: &dyn Watch,
) -> Result<Option<Recovery>> {
    let likely = if asked.hint.is_some() {
        None
    } else {
        match nature::part(picture, PART, watch)?.map(|part| found_in(&part, asked, watch)).transpose()? {
            Some(Some(pitch)) => Some(around(pitch)),
            Some(None) => return Ok(None),
            None => None,
        }
    };
    let own;
    let combs = if let Some(combs) = combs {
        combs
    } else {
        own = comb::candidates(&edges::find(picture, watch)?);
        &own
    };
    let source = Source { picture, unclear: Vec::new(), hint: asked.hint, likely };
    readings(copy::read(source, combs, watch)?, asked).map(Some)
}

/// Gives the pitch of the cells that a part of a picture shows, when it shows any.
fn found_in(part: &Picture, asked: &Recovering, watch: &dyn Watch) -> Result<Option<(f64, f64)>> {
    let combs = comb::candidates(&edges::find(part, watch)?);
    let source = Source { picture: part, unclear: Vec::new(), hint: None, likely: None };
    let found = readings(copy::read(source, &combs, watch)?, asked);
    Ok(found.ok().filter(|found| found.best.confidence >= DOUBTFUL).map(|found| found.best.pitch_px))
}

/// Gives the pitches near a pair of them.
fn around((x, y): (f64, f64)) -> (Range, Range) {
    let near = |pitch: f64| (pitch * (1.0 - NEAR), pitch * (1.0 + NEAR));
    (near(x), near(y))
}

/// Reads a copy that is smaller by a whole factor.
fn reduced(picture: &Picture, factor: u32, asked: &Recovering, watch: &dyn Watch) -> Result<Recovery> {
    let small = nature::smaller(picture, factor, watch)?;
    let combs = comb::candidates(&edges::find(&small, watch)?);
    let hint = asked.hint.map(|hint| hint.reduced(f64::from(factor)));
    let source = Source { picture: &small, unclear: Vec::new(), hint, likely: None };
    Ok(readings(copy::read(source, &combs, watch)?, asked)?.scaled(f64::from(factor)))
}

/// Makes readings of cells; those that cannot be are left out when another one can.
fn readings(copies: Vec<copy::Copy>, asked: &Recovering) -> Result<Recovery> {
    let mut found = Vec::new();
    let mut trouble = None;
    for copy in copies {
        if copy.rows.max(copy.columns) > asked.most_cells {
            let why = format!(
                "its cells of {:.2} × {:.2} pixels make {} × {} cells, more than {} a side",
                copy.pitch.0, copy.pitch.1, copy.columns, copy.rows, asked.most_cells
            );
            trouble.get_or_insert(Error::NoGrid { why });
            continue;
        }
        match Reading::new(copy, asked.background) {
            Ok(reading) => found.push(reading),
            Err(error) => {
                trouble.get_or_insert(error);
            }
        }
    }
    let mut found = found.into_iter();
    match (found.next(), trouble) {
        (Some(best), _) => Ok(Recovery { best, alternatives: found.collect() }),
        (None, Some(error)) => Err(error),
        (None, None) => Err(Error::NoGrid { why: "no even cells explain it".into() }),
    }
}
