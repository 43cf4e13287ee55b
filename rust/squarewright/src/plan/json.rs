//! A plan as JSON, out and in.

use serde::{Deserialize, Serialize};

use super::plan::{Door, Plan, Source};
use super::{Making, Mixes, Painting, Stage, Step};
use crate::cut::{CutPlan, Cutting};
use crate::fault::{Error, Result, Unwatched};
use crate::grid::{Grid, Tally};
use crate::length::{Length, Ratio, Ruler};
use crate::outline::WeakSpots;
use crate::paint::{Amounts, Pass};
use crate::panel::{Fit, Fitting, Panel, Pitches, Size};

impl Plan {
    /// Writes the plan as JSON with [`Plan::SCHEMA_VERSION`].
    ///
    /// # Panics
    /// Never: every part of a plan can be written.
    pub fn to_json(&self) -> String {
        let written = Written {
            schema_version: Self::SCHEMA_VERSION,
            name: self.name().to_owned(),
            door: self.door(),
            making: *self.making(),
            grid: self.grid().clone(),
            fit: self.fit().clone(),
            colours: self.tally().to_vec(),
            mixes: self.mixes().clone(),
            cuts: self.cuts().cloned(),
            painting: self.painting().clone(),
            amounts: self.amounts().clone(),
            passes: self.passes(),
            weak_spots: self.weak_spots().clone(),
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
        let (panel, asked) = (stored.fit.panel, stored.fit.asked());
        let source = Source { name: stored.name, door: stored.door };
        let plan = Self::new(source, stored.grid, panel, &asked, stored.making)?.with_mixes(stored.mixes);
        // Amounts are kept as they were reckoned: bottles and their sizes are no part of a plan.
        let plan = plan.painted(stored.painting, None)?;
        let plan = match stored.amounts {
            Some(amounts) => plan.with_amounts(amounts),
            None => plan,
        };
        match stored.cuts {
            Some(Asked { cutting }) => plan.cut(&cutting, &Unwatched),
            None => Ok(plan),
        }
    }
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
    cuts: Option<CutPlan>,
    painting: Painting,
    amounts: Amounts,
    passes: Vec<Pass>,
    weak_spots: WeakSpots,
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
    #[serde(default)]
    painting: Painting,
    amounts: Option<Amounts>,
    cuts: Option<Asked>,
}

/// What was asked of the cuts: they follow from it.
#[derive(Deserialize)]
struct Asked {
    cutting: Cutting,
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

impl Placed {
    /// Asks for the same place again.
    fn asked(&self) -> Fitting {
        let size = Size::Pitch(self.pitch);
        let (across, down) = (Some(self.across), Some(self.down));
        Fitting { ruler: self.ruler, pitches: Pitches::Friendly, size, across, down, margin: self.margin }
    }
}
