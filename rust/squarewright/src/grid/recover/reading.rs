//! What is found: the best reading of a picture as cells, the others, and what to know about them.

use serde::{Deserialize, Serialize};

use super::Background;
use super::copy::{Copy, Kind};
use super::ground;
use super::sample::Sampled;
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::grid::Grid;

/// One way to read a picture as cells.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
    /// What kind of copy the picture is.
    pub kind: Kind,
    /// What the maker should know about it.
    pub warnings: Vec<Warning>,
}

impl Reading {
    /// The least confidence that a plan is built on.
    const SURE: f64 = 0.5;

    /// Makes a reading of cells with their colours.
    pub(super) fn new(copy: Copy, background: Background) -> Result<Self> {
        let sampled = Sampled::of(copy.rows, copy.columns, copy.colours);
        let ground = ground::find(&sampled, background);
        let (grid, place, mut warnings) = sampled.grid(&ground)?;
        warnings.extend(ground.colour.map(Warning::Ground));
        warnings.extend(copy.is_ambiguous.then_some(Warning::FewEdges));
        let unsure = copy.confidence < Self::SURE && !copy.is_ambiguous;
        warnings.extend(unsure.then_some(Warning::Blended));
        let cell_colours = sampled.colours_of(place, &grid);
        let at = |offset: f64, pitch: f64, cells: usize| offset + pitch * cells as f64;
        Ok(Self {
            grid,
            cell_colours,
            pitch_px: copy.pitch,
            offset_px: (at(copy.offset.0, copy.pitch.0, place.1), at(copy.offset.1, copy.pitch.1, place.0)),
            confidence: copy.confidence,
            kind: copy.kind,
            warnings,
        })
    }

    /// Moves it to where a part of the picture was cut out, and to the size it had.
    pub(super) fn placed(mut self, corner: (f64, f64), factor: f64) -> Self {
        self.pitch_px = (self.pitch_px.0 * factor, self.pitch_px.1 * factor);
        self.offset_px = (self.offset_px.0 * factor + corner.0, self.offset_px.1 * factor + corner.1);
        self
    }

    /// Gives the grid, cut to its painted cells, when the reading is sure enough to plan with.
    ///
    /// # Errors
    /// [`Error::Unsure`] when its confidence is under 0.5, [`Error::NoGrid`] when the picture looks like a
    /// photo.
    pub fn sure(&self) -> Result<Grid> {
        let confidence = self.confidence;
        if confidence >= Self::SURE {
            self.grid.trimmed()
        } else if self.warnings.contains(&Warning::Blended) {
            let why = format!("the picture looks like a photo (confidence {confidence:.2})");
            Err(Error::NoGrid { why })
        } else {
            Err(Error::Unsure { confidence })
        }
    }
}

/// The best reading, and the others worth a look.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recovery {
    /// The best reading.
    pub best: Reading,
    /// Other readings, best first.
    pub alternatives: Vec<Reading>,
}

impl Recovery {
    /// Says the same of a picture that is larger by a factor.
    pub(super) fn scaled(self, factor: f64) -> Self {
        let scaled = |reading: Reading| reading.placed((0.0, 0.0), factor);
        Self { best: scaled(self.best), alternatives: self.alternatives.into_iter().map(scaled).collect() }
    }
}

/// What the maker should know about a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error, Serialize, Deserialize)]
#[non_exhaustive]
pub enum Warning {
    /// A flat colour round the figure was taken away.
    #[error("the {0} cells around the figure are taken as background; use background=\"keep\" to paint them")]
    Ground(Rgb),
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
    #[error(
        "the picture looks like a photo, not like cells of flat colour; pixelate it instead, or give a hint"
    )]
    Blended,
    /// A checkerboard behind the figure was taken for transparency.
    #[error("the checkerboard around the figure is taken as see-through")]
    Checkerboard,
}
