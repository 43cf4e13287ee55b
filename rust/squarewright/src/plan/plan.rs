//! A figure, its place on the board and what was decided about it.

use serde::{Deserialize, Serialize};

use super::{Ending, Making, Mixes, Stage, Step};
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::grid::{Grid, Tally, tally};
use crate::length::{Length, Ratio, Ruler};
use crate::outline::{Corner, Outline, corner_joints, islands, trace};
use crate::panel::{Fit, Fitting, Panel, Pitches, Size, fit};

/// By which door the grid came in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Door {
    /// The maker gave the grid.
    Given,
    /// It was pixelated from a photo or a drawing.
    Pixelated,
    /// It was recovered from pixel art.
    Recovered {
        /// Width and height of a cell in pixels.
        pitch_px: (f64, f64),
        /// How sure the reading is, 0 to 1.
        confidence: f64,
    },
}

/// Which figure it is and where its grid came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// The name that the pages bear.
    pub name: String,
    /// By which door the grid came in.
    pub door: Door,
}

/// What makes a figure fragile or its board doubtful.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Warning {
    /// Corners that nothing holds together.
    #[error("at {0} corners two cells of the figure touch and nothing holds them together once cut")]
    CornerJoints(usize),
    /// Parts that share no edge.
    #[error("the figure falls into {0} separate parts once cut")]
    Islands(usize),
    /// A panel whose corner leans, in millimetres.
    #[error("the panel is out of square by {0:.1} mm: measure all marks from the start edges only")]
    OutOfSquare(f64),
}

/// Everything about one figure; it never changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    name: String,
    door: Door,
    grid: Grid,
    fit: Fit,
    making: Making,
    outline: Outline,
    tally: Vec<Tally>,
    mixes: Mixes,
}

impl Plan {
    /// The version of the plan's JSON; 0 until its shape is settled.
    pub const SCHEMA_VERSION: u32 = 0;
    /// The longest name that a page has room for.
    const NAME: usize = 80;

    /// Plans a grid on panels.
    ///
    /// # Errors
    /// Those of [`fit()`], and [`Error::Argument`] when the raw colour is not one of the grid's.
    pub fn new(source: Source, grid: Grid, panel: Panel, asked: &Fitting, making: Making) -> Result<Self> {
        let Source { name, door } = source;
        let fit = fit(grid.columns(), grid.rows(), panel, asked)?;
        if let Some(raw) = making.raw.filter(|&raw| grid.palette().position(raw).is_none()) {
            let must = "a colour of the grid".into();
            return Err(Error::Argument { name: "raw", must, got: raw.to_string() });
        }
        let shown = name.chars().map(|letter| if printable(letter) { letter } else { ' ' });
        let name: String = shown.take(Self::NAME).collect();
        let name = if name.trim().is_empty() { "figure".into() } else { name.trim().to_owned() };
        let (outline, tally) = (trace(&grid), tally(&grid));
        Ok(Self { name, door, grid, fit, making, outline, tally, mixes: Mixes::default() })
    }

    /// Gives the name of the figure.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Tells where the grid came from.
    pub fn door(&self) -> Door {
        self.door
    }

    /// Gives the grid.
    pub fn grid(&self) -> &Grid {
        &self.grid
    }

    /// Gives the place of the grid on the panels.
    pub fn fit(&self) -> &Fit {
        &self.fit
    }

    /// Gives what was decided about making it.
    pub fn making(&self) -> &Making {
        &self.making
    }

    /// Gives the boundaries of figure and colours.
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// Gives the count of each colour, in the order of the codes.
    pub fn tally(&self) -> &[Tally] {
        &self.tally
    }

    /// Gives how its colours are mixed; no recipes when no stock was given.
    pub fn mixes(&self) -> &Mixes {
        &self.mixes
    }

    pub(super) fn with_mixes(self, mixes: Mixes) -> Self {
        Self { mixes, ..self }
    }

    /// Lists the corners at which the figure hangs together by nothing.
    pub fn corner_joints(&self) -> Vec<Corner> {
        corner_joints(&self.grid)
    }

    /// Lists the separate parts of the figure, largest first, as places of cells in row-major order.
    pub fn islands(&self) -> Vec<Vec<usize>> {
        islands(&self.grid)
    }

    /// Lists what makes the figure fragile or the board doubtful.
    pub fn warnings(&self) -> Vec<Warning> {
        let mut found = Vec::new();
        if self.making.ending == Ending::CutOut {
            let (joints, islands) = (self.corner_joints().len(), self.islands().len());
            found.extend((joints > 0).then_some(Warning::CornerJoints(joints)));
            found.extend((islands > 1).then_some(Warning::Islands(islands)));
        }
        let panel = self.fit.panel;
        found.extend(panel.is_out_of_square().then(|| Warning::OutOfSquare(panel.lean_mm().abs())));
        found
    }

    /// Lists the stages of the job.
    pub fn stages(&self) -> Vec<Stage> {
        Stage::all(&self.making)
    }

    /// Tells whether cells of this colour are left as raw board.
    pub fn is_raw(&self, colour: Rgb) -> bool {
        self.making.raw == Some(colour)
    }

    /// Gives the area of one cell in square centimetres.
    pub fn cell_cm2(&self) -> f64 {
        let side = self.fit.pitch.mm() / 10.0;
        side * side
    }

    /// Writes the plan as JSON with [`Plan::SCHEMA_VERSION`].
    ///
    /// # Panics
    /// Never: every part of a plan can be written.
    pub fn to_json(&self) -> String {
        let written = Written {
            schema_version: Self::SCHEMA_VERSION,
            name: self.name.clone(),
            door: self.door,
            making: self.making,
            grid: self.grid.clone(),
            fit: self.fit.clone(),
            colours: self.tally.clone(),
            mixes: self.mixes.clone(),
            corner_joints: self.corner_joints(),
            islands: self.islands().iter().map(Vec::len).collect(),
            stages: self.stages(),
            first_hour: Step::FIRST_HOUR.to_vec(),
        };
        let mut text = serde_json::to_string_pretty(&written).expect("a plan can be written as JSON");
        text.push('\n');
        text
    }

    /// Reads a plan back from its JSON; everything that follows from grid, panel and pitch is worked out
    /// anew.
    ///
    /// # Errors
    /// [`Error::Argument`] when the text is not such a plan or is of a newer version.
    pub fn from_json(text: &str) -> Result<Self> {
        let must = "a plan as written by to_json()";
        let bad = |got: String| Error::Argument { name: "plan", must: must.into(), got };
        let stored: Stored = serde_json::from_str(text).map_err(|error| bad(error.to_string()))?;
        if stored.schema_version != Self::SCHEMA_VERSION {
            return Err(bad(format!("version {}, which this release does not know", stored.schema_version)));
        }
        let Placed { panel, ruler, pitch, across, down, margin } = stored.fit;
        let asked = Fitting {
            ruler,
            pitches: Pitches::Friendly,
            size: Size::Pitch(pitch),
            across: Some(across),
            down: Some(down),
            margin,
        };
        let source = Source { name: stored.name, door: stored.door };
        Ok(Self::new(source, stored.grid, panel, &asked, stored.making)?.with_mixes(stored.mixes))
    }
}

/// Tells whether a page can bear a character: it is no control, turns no line around (Unicode UAX #9, table
/// of directional formatting characters) and breaks none, and XML 1.0, section 2.2, lets it stand.
fn printable(letter: char) -> bool {
    let turns = matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let breaks = matches!(letter, '\u{2028}' | '\u{2029}');
    !(letter.is_control() || turns || breaks || matches!(letter, '\u{fffe}' | '\u{ffff}'))
}

#[derive(Serialize)]
struct Written {
    schema_version: u32,
    name: String,
    door: Door,
    making: Making,
    grid: Grid,
    fit: Fit,
    colours: Vec<Tally>,
    mixes: Mixes,
    corner_joints: Vec<Corner>,
    islands: Vec<usize>,
    stages: Vec<Stage>,
    first_hour: Vec<Step>,
}

/// What is read back.
#[derive(Deserialize)]
struct Stored {
    schema_version: u32,
    name: String,
    door: Door,
    making: Making,
    grid: Grid,
    fit: Placed,
    #[serde(default)]
    mixes: Mixes,
}

#[derive(Deserialize)]
struct Placed {
    panel: Panel,
    ruler: Ruler,
    pitch: Ratio,
    across: usize,
    down: usize,
    margin: Length,
}
