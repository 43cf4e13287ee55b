//! A figure, its place on the board and what was decided about it.

use serde::{Deserialize, Serialize};

use super::{Ending, Making, Mixes, Mounting, Painting, Stage, Timing};
use crate::colour::Rgb;
use crate::cut::{Backing, CutPlan, Cutting, plan_cuts};
use crate::fault::{Error, Result, Watch};
use crate::grid::{Grid, Tally, tally};
use crate::length::{Ruler, System};
use crate::outline::{
    Choice, Inks, Limits, Outline, Remedy, Severity, WeakSpot, WeakSpots, remedies, seam_costs, seamed,
    strengthened, trace, weak_spots,
};
use crate::paint::Amounts;
use crate::panel::{Fit, Fitting, Panel, SeamCost, fit};

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
    /// Parts so thin that they may snap.
    #[error("{0} parts of the figure are so thin that they may snap")]
    ThinParts(usize),
    /// A panel whose corner leans, in millimetres.
    #[error("the panel is out of square by {0:.1} mm: measure all marks from the start edges only")]
    OutOfSquare(f64),
    /// Weak parts that seams run through.
    #[error("seams run through {0} weak parts of the figure: no boundary within reach spares them")]
    SeamsOverWeak(usize),
    /// Joints of the card along seams.
    #[error(
        "{0} joints of the card lie nearer than 1 in to a seam of the panels: take larger sheets of card"
    )]
    JointsNearSeams(usize),
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
    weak_spots: WeakSpots,
    tally: Vec<Tally>,
    mixes: Mixes,
    cuts: Option<CutPlan>,
    mounting: Mounting,
    backing: Option<Backing>,
    painting: Painting,
    amounts: Amounts,
    timing: Timing,
}

impl Plan {
    /// The version of the plan's JSON; it goes up with every change that an older reader cannot take.
    pub const SCHEMA_VERSION: u32 = 1;
    /// The longest name that a page has room for.
    const NAME: usize = 80;

    /// Plans a grid on panels.
    ///
    /// # Errors
    /// Those of [`fit()`], and [`Error::Argument`] when the raw colour is not one of the grid's.
    pub fn new(source: Source, grid: Grid, panel: Panel, asked: &Fitting, making: Making) -> Result<Self> {
        let Source { name, door } = source;
        let even = fit(grid.columns(), grid.rows(), panel, asked)?;
        if let Some(raw) = making.raw.filter(|&raw| grid.palette().position(raw).is_none()) {
            let must = "a colour of the grid".into();
            return Err(Error::Argument { name: "raw", must, got: raw.to_string() });
        }
        let shown = name.chars().map(|letter| if printable(letter) { letter } else { ' ' });
        let name: String = shown.take(Self::NAME).collect();
        let name = if name.trim().is_empty() { "figure".into() } else { name.trim().to_owned() };
        let (outline, tally) = (trace(&grid), tally(&grid));
        let weak_spots = weak_spots(&grid, &Limits::of(&even))?;
        let fit = seamed(&grid, even, &weak_spots);
        let plan = Self {
            name,
            door,
            grid,
            fit,
            making,
            outline,
            weak_spots,
            tally,
            mixes: Mixes::default(),
            cuts: None,
            mounting: Mounting::default(),
            backing: None,
            painting: Painting::default(),
            amounts: Amounts::default(),
            timing: Timing::default(),
        };
        plan.mounted(Mounting::default())?.painted(Painting::default(), None)
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

    /// Gives the plan with all lengths read on the commonest ruler of a system.
    #[must_use]
    pub fn read_in(mut self, units: System) -> Self {
        self.fit.ruler = Ruler::common(units);
        self
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

    /// Gives what was decided about mounting it.
    pub fn mounting(&self) -> &Mounting {
        &self.mounting
    }

    /// Gives the card behind it; none when it has no backing.
    pub fn backing(&self) -> Option<&Backing> {
        self.backing.as_ref()
    }

    pub(super) fn with_mounting(self, mounting: Mounting, backing: Option<Backing>) -> Self {
        Self { mounting, backing, ..self }
    }

    /// Gives what was decided about painting it.
    pub fn painting(&self) -> &Painting {
        &self.painting
    }

    pub(super) fn with_painting(self, painting: Painting) -> Self {
        Self { painting, ..self }
    }

    /// Gives how much paint is needed.
    pub fn amounts(&self) -> &Amounts {
        &self.amounts
    }

    pub(super) fn with_amounts(self, amounts: Amounts) -> Self {
        Self { amounts, ..self }
    }

    /// Gives what the maker says about time.
    pub fn timing(&self) -> &Timing {
        &self.timing
    }

    /// Gives the plan with other rates and times.
    #[must_use]
    pub fn with_timing(self, timing: Timing) -> Self {
        Self { timing, ..self }
    }

    /// Gives the cuts of a figure that is cut out, once they are planned.
    pub fn cuts(&self) -> Option<&CutPlan> {
        self.cuts.as_ref()
    }

    pub(super) fn with_cuts(self, cuts: CutPlan) -> Self {
        Self { cuts: Some(cuts), ..self }
    }

    /// Plans the cuts of a figure that is cut out, its weakest parts last; one that ends otherwise stays as it is.
    ///
    /// # Errors
    /// As [`plan_cuts`].
    pub fn cut(self, cutting: &Cutting, watch: &dyn Watch) -> Result<Self> {
        if self.making.ending != Ending::CutOut {
            return Ok(self);
        }
        let cuts = plan_cuts(&self.grid, &self.fit, cutting, &self.weak_spots.weak_parts(), watch)?;
        Ok(self.with_cuts(cuts))
    }

    /// Gives the places where the figure is weak once cut out.
    pub fn weak_spots(&self) -> &WeakSpots {
        &self.weak_spots
    }

    /// Proposes what may be done about them.
    pub fn remedies(&self) -> Vec<Remedy> {
        // Only colours of the maker's could be too many, and there are none.
        remedies(&self.grid, &self.weak_spots, Inks::default()).unwrap_or_default()
    }

    /// Plans the figure again with the cells that make it hold together, at the same size on as many
    /// panels.
    ///
    /// # Errors
    /// [`Error::Stopped`] when the watcher asks to stop.
    pub fn strengthened(&self, watch: &dyn Watch) -> Result<Self> {
        let done = strengthened(&self.grid, &self.weak_spots.limits, Choice::All, Inks::default(), watch)?;
        let source = Source { name: self.name.clone(), door: self.door };
        let plan = Self::new(source, done.grid, self.fit.panel, &self.fit.asked(), self.making)?;
        let mut painting = self.painting.clone();
        // A crumb that is left out draws no outline any more.
        for (mark, cell) in painting.outline_cells.iter_mut().flatten().zip(plan.grid.cells()) {
            *mark &= cell.is_some();
        }
        let plan =
            plan.mounted(self.mounting)?.with_mixes(self.mixes.clone()).with_timing(self.timing.clone());
        let plan = plan.painted(painting, self.amounts.stock().as_ref())?;
        match &self.cuts {
            Some(cuts) => plan.cut(&cuts.cutting, watch),
            None => Ok(plan),
        }
    }

    /// Lists what makes the figure fragile or the board doubtful.
    pub fn warnings(&self) -> Vec<Warning> {
        let mut found = Vec::new();
        if self.making.ending == Ending::CutOut {
            let WeakSpots { corner_joints, islands, necks, .. } = &self.weak_spots;
            let severe = |neck: &&WeakSpot| neck.severity() == Severity::Severe;
            let (joints, islands, thin) =
                (corner_joints.len(), islands.len(), necks.iter().filter(severe).count());
            found.extend((joints > 0).then_some(Warning::CornerJoints(joints)));
            found.extend((islands > 0).then_some(Warning::Islands(islands)));
            found.extend((thin > 0).then_some(Warning::ThinParts(thin)));
            let over = self.weak_on_seams();
            found.extend((over > 0).then_some(Warning::SeamsOverWeak(over)));
        }
        let near = self.backing.as_ref().map_or(0, |backing| backing.joints.near_seams);
        found.extend((near > 0).then_some(Warning::JointsNearSeams(near)));
        let panel = self.fit.panel;
        found.extend(panel.is_out_of_square().then(|| Warning::OutOfSquare(panel.lean_mm().abs())));
        found
    }

    /// Counts the weak parts that seams touch or make.
    fn weak_on_seams(&self) -> usize {
        let (columns, rows) = (self.fit.column_seams(), self.fit.row_seams());
        if columns.is_empty() && rows.is_empty() {
            return 0;
        }
        let costs = seam_costs(&self.grid, &self.weak_spots);
        let weak =
            |seams: &[usize], costs: &[SeamCost]| seams.iter().map(|&seam| costs[seam].weak).sum::<usize>();
        weak(&columns, &costs.columns) + weak(&rows, &costs.rows)
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
}

/// Tells whether a page can bear a character: it is no control, turns no line around (Unicode UAX #9, table
/// of directional formatting characters) and breaks none, and XML 1.0, section 2.2, lets it stand.
fn printable(letter: char) -> bool {
    let turns = matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let breaks = matches!(letter, '\u{2028}' | '\u{2029}');
    !(letter.is_control() || turns || breaks || matches!(letter, '\u{fffe}' | '\u{ffff}'))
}
