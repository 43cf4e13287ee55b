//! Recovering the cells of pixel art from a copy of it.
//!
//! The steps, each in its own file: where colours change along an axis (`edges`), which even comb of cell
//! boundaries explains these places (`comb`), what colour each cell has (`sample`), which cells are
//! background (`ground`), and how sure the answer is (`confidence`).
//!
//! Exact copies are read here: 1:1 and whole-number enlargements without blending, with margins and at any
//! crop. Any other copy makes edges everywhere, so that the comb falls to single pixels and the confidence
//! with it.

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
mod hypothesis;
mod joint;
mod kernel;
mod linkage;
mod paint;
mod peel;
mod polish;
mod profile;
mod rungs;
mod sample;
mod sketch;
mod solve;
mod spectrum;
mod storage;

pub use ground::Background;

use self::comb::Comb;
use self::sample::Sampled;
use crate::fault::{Error, PictureFault, Result, Watch};
use crate::grid::Grid;
use crate::picture::Picture;

/// How a grid is recovered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovering {
    /// Which cells are no part of the figure.
    pub background: Background,
    /// The most cells a side that an answer may have.
    pub most_cells: usize,
}

impl Default for Recovering {
    fn default() -> Self {
        Self { background: Background::Auto, most_cells: Grid::SIDE }
    }
}

/// One way to read a picture as cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The grid, trimmed to the figure.
    pub grid: Grid,
    /// The colour of each cell of the grid with its alpha, row by row.
    pub cell_colours: Vec<[u8; 4]>,
    /// Width and height of a cell in pixels.
    pub pitch_px: (f64, f64),
    /// The outer corner of the first cell, from the picture's top-left corner.
    pub offset_px: (f64, f64),
    /// How sure this reading is, 0 to 1.
    pub confidence: f64,
    /// What the maker should know about it.
    pub warnings: Vec<Warning>,
}

impl Reading {
    /// The least confidence that a plan is built on.
    const SURE: f64 = 0.5;

    /// Gives the grid when the reading is sure enough to plan with.
    ///
    /// # Errors
    /// [`Error::Unsure`] when its confidence is under 0.5.
    pub fn sure(&self) -> Result<&Grid> {
        let confidence = self.confidence;
        if confidence < Self::SURE { Err(Error::Unsure { confidence }) } else { Ok(&self.grid) }
    }
}

/// The best reading, and the others worth a look.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovery {
    /// The best reading.
    pub best: Reading,
    /// Other readings, best first.
    pub alternatives: Vec<Reading>,
}

/// What the maker should know about a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Warning {
    /// A flat colour round the figure was taken away.
    #[error("the {0} cells around the figure are taken as background; use background=\"keep\" to paint them")]
    Ground(crate::colour::Rgb),
    /// Too many colours for a grid.
    #[error("{0} colours were found and the nearest were merged to 64")]
    Merged(usize),
    /// Too few edges to be sure of the size of a cell.
    #[error("the picture has so few edges that smaller cells would fit as well; see the alternatives")]
    FewEdges,
    /// Cells that are half see-through.
    #[error("{0} cells are partly see-through: those under half are left bare, the others painted solid")]
    Soft(usize),
    /// Nothing but one colour.
    #[error("the picture has one colour only")]
    OneColour,
    /// It looks like a picture that was never drawn in cells.
    #[error("the picture looks like a photo or a blended copy, not like cells of flat colour")]
    Blended,
}

/// Reads the cell grid of a picture.
///
/// # Errors
/// [`PictureFault::Blank`] when every pixel is transparent, [`Error::NoGrid`] when no grid of at most
/// `most_cells` a side explains the picture, [`Error::Stopped`] when the watcher stops it.
pub fn recover(picture: &Picture, asked: &Recovering, watch: &dyn Watch) -> Result<Recovery> {
    if asked.most_cells == 0 || asked.most_cells > Grid::SIDE {
        let (must, got) = (format!("1 to {}", Grid::SIDE), asked.most_cells.to_string());
        return Err(Error::Argument { name: "max_cells", must, got });
    }
    if picture.is_blank() {
        return Err(PictureFault::Blank.into());
    }
    let lifted = checker::lifted(picture);
    let picture = lifted.as_ref().map_or(picture, |lifted| &lifted.picture);
    let unclear = lifted.as_ref().map_or(Vec::new(), |lifted| lifted.unclear.clone());
    let edges = edges::find(picture, watch)?;
    let combs = comb::candidates(&edges);
    let copies = copy::read(picture, unclear, &combs, watch)?;
    let mut readings = Vec::new();
    for copy in copies {
        readings.extend(read_copy(copy, asked).ok());
    }
    if !readings.is_empty() {
        let best = readings.remove(0);
        return Ok(Recovery { best, alternatives: readings });
    }
    exact(picture, edges, combs, asked, watch)
}

fn read_copy(copy: copy::Copy, asked: &Recovering) -> Result<Reading> {
    let sampled = Sampled::of(copy.rows, copy.columns, copy.colours);
    let ground = ground::find(&sampled, asked.background);
    let (grid, place, mut warnings) = sampled.grid(&ground)?;
    warnings.extend(ground.colour.map(Warning::Ground));
    let cell_colours = sampled.colours_of(place, &grid);
    let at = |offset: f64, pitch: f64, cells: usize| offset + pitch * cells as f64;
    Ok(Reading {
        grid,
        cell_colours,
        pitch_px: copy.pitch,
        offset_px: (at(copy.offset.0, copy.pitch.0, place.1), at(copy.offset.1, copy.pitch.1, place.0)),
        confidence: copy.confidence,
        warnings,
    })
}

fn exact(picture: &Picture, edges: edges::Edges, combs: Vec<Comb>, asked: &Recovering, watch: &dyn Watch) -> Result<Recovery> {
    watch.check(0.6)?;
    let mut readings = Vec::new();
    for comb in combs.into_iter().filter(|comb| comb.cells().0.max(comb.cells().1) <= asked.most_cells) {
        match read(picture, &comb, asked) {
            Ok(reading) => readings.push(reading),
            Err(error) if readings.is_empty() => return Err(error),
            Err(_) => {}
        }
        watch.check(0.8)?;
    }
    let mut readings = readings.into_iter();
    let best = readings.next().ok_or_else(|| Error::NoGrid {
        why: format!(
            "its even squares are {} pixels, which makes more than {} cells a side",
            edges.smallest_step(),
            asked.most_cells
        ),
    })?;
    Ok(Recovery { best, alternatives: readings.collect() })
}

fn read(picture: &Picture, comb: &Comb, asked: &Recovering) -> Result<Reading> {
    let sampled = Sampled::new(picture, comb);
    let ground = ground::find(&sampled, asked.background);
    let (grid, place, mut warnings) = sampled.grid(&ground)?;
    warnings.extend(ground.colour.map(Warning::Ground));
    warnings.extend(comb.is_ambiguous().then_some(Warning::FewEdges));
    let confidence = confidence::of(comb, &sampled);
    warnings.extend((confidence < Reading::SURE && !comb.is_ambiguous()).then_some(Warning::Blended));
    let cell_colours = sampled.colours_of(place, &grid);
    let (pitch, offset) = (comb.pitch(), comb.offset());
    #[expect(clippy::cast_possible_wrap, reason = "a grid has at most 512 cells a side")]
    let at = |offset: i64, pitch: i64, cells: usize| (offset + pitch * cells as i64) as f64;
    Ok(Reading {
        grid,
        cell_colours,
        pitch_px: (pitch.0 as f64, pitch.1 as f64),
        offset_px: (at(offset.0, pitch.0, place.1), at(offset.1, pitch.1, place.0)),
        confidence,
        warnings,
    })
}
