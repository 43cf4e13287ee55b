//! A plan as JSON, out and in.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::plan::{Door, Plan, Source};
use super::{Edge, Hanging, Hours, Making, Marked, Mixes, Mounting, Painting, Stage, Step, Timing};
use crate::cut::{Backing, CutPlan, Cutting, Estimate};
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
        let mut text = serde_json::to_string_pretty(self).expect("a plan can be written as JSON");
        text.push('\n');
        text
    }

    /// Reads a plan back from its JSON; everything that follows from grid, panel and pitch is worked out
    /// anew.
    ///
    /// # Errors
    /// [`Error::PlanVersion`] for a plan of another version, [`Error::Argument`] when the text is no such plan.
    pub fn from_json(text: &str) -> Result<Self> {
        let must = "a plan as written by to_json()";
        let bad = |got: String| Error::Argument { name: "plan", must: must.into(), got };
        let unread = |error: serde_json::Error| bad(error.to_string());
        // What a plan of another version holds beside its version is unknown.
        let Versioned { schema_version: got } = serde_json::from_str(text).map_err(unread)?;
        if got != Self::SCHEMA_VERSION {
            return Err(Error::PlanVersion { got, reads: Self::SCHEMA_VERSION });
        }
        Self::read_back(serde_json::from_str(text).map_err(unread)?)
    }

    fn read_back(stored: Stored) -> Result<Self> {
        let (panel, asked) = (stored.fit.panel, stored.fit.asked());
        let source = Source { name: stored.name, door: stored.door };
        let plan = Self::new(source, stored.grid, panel, &asked, stored.making)?.with_mixes(stored.mixes);
        // Amounts are kept as they were reckoned: bottles and their sizes are no part of a plan.
        let plan = plan.mounted(stored.mounting)?.timed_as(stored.timing)?.painted(stored.painting, None)?;
        let plan = match stored.amounts {
            Some(amounts) => plan.with_amounts(amounts),
            None => plan,
        };
        match stored.cuts {
            Some(Asked { cutting }) => plan.cut(&cutting, &Unwatched),
            None => Ok(plan),
        }
    }

    fn written(&self) -> Written {
        Written {
            schema_version: Self::SCHEMA_VERSION,
            name: self.name().to_owned(),
            door: self.door(),
            making: *self.making(),
            grid: self.grid().clone(),
            fit: self.fit().clone(),
            marked: self.marked(),
            colours: self.tally().to_vec(),
            mixes: self.mixes().clone(),
            cuts: self.cuts().cloned(),
            painting: self.painting().clone(),
            amounts: self.amounts().clone(),
            mounting: *self.mounting(),
            backing: self.backing().map(Backed::of),
            edges: self.edges(),
            hanging: Hung { grams: self.hanging().grams(), hanging: self.hanging() },
            timing: self.timing().clone(),
            hours: self.hours(),
            passes: self.passes(),
            weak_spots: self.weak_spots().clone(),
            stages: self.stages(),
            first_hour: Step::FIRST_HOUR.to_vec(),
        }
    }

    fn timed_as(self, timing: Timing) -> Result<Self> {
        let Timing { rates, taken } = timing;
        let plan = self.with_timing(Timing { rates: rates.checked()?, taken: Vec::new() });
        taken.into_iter().try_fold(plan, |plan, (stage, minutes)| plan.with_rate(stage, minutes))
    }
}

impl Serialize for Plan {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        self.written().serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Plan {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        Self::read_back(Stored::deserialize(deserializer)?).map_err(D::Error::custom)
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
    marked: Marked,
    colours: Vec<Tally>,
    mixes: Mixes,
    cuts: Option<CutPlan>,
    painting: Painting,
    amounts: Amounts,
    mounting: Mounting,
    backing: Option<Backed>,
    edges: Vec<Edge>,
    hanging: Hung,
    timing: Timing,
    hours: Hours,
    passes: Vec<Pass>,
    weak_spots: WeakSpots,
    stages: Vec<Stage>,
    first_hour: Vec<Step>,
}

/// The card with what it comes to.
#[derive(Serialize)]
struct Backed {
    #[serde(flatten)]
    backing: Backing,
    mm2: f64,
    cut_mm: f64,
    trim_mm: f64,
    glued_mm2: f64,
    glue_ml: Estimate,
}

impl Backed {
    fn of(backing: &Backing) -> Self {
        Self {
            backing: backing.clone(),
            mm2: backing.mm2(),
            cut_mm: backing.cut_mm(),
            trim_mm: backing.trim_mm(),
            glued_mm2: backing.glued_mm2(),
            glue_ml: backing.glue_ml(),
        }
    }
}

/// The weight with its sum.
#[derive(Serialize)]
struct Hung {
    grams: Estimate,
    #[serde(flatten)]
    hanging: Hanging,
}

#[derive(Deserialize)]
struct Versioned {
    schema_version: u32,
}

/// What is read back.
#[derive(Deserialize)]
struct Stored {
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
    #[serde(default)]
    mounting: Mounting,
    #[serde(default)]
    timing: Timing,
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
