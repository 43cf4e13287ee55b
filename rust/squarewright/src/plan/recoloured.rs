//! The same figure in other colours.

use super::{Making, Plan, Source};
use crate::colour::Rgb;
use crate::fault::{Result, Watch};

impl Plan {
    /// Plans the figure again with other colours in the same cells, not yet mixed; colours that become the same
    /// become one.
    ///
    /// # Errors
    /// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
    pub fn recoloured(&self, to: impl Fn(Rgb) -> Rgb, watch: &dyn Watch) -> Result<Self> {
        let colours: Vec<Option<Rgb>> =
            self.grid().palette().colours().iter().map(|&colour| Some(to(colour))).collect();
        let grid = self.grid().recoloured(&colours)?;
        let making = Making {
            raw: self.making().raw.map(&to),
            ground: self.making().ground.map(&to),
            ..*self.making()
        };
        let source = Source { name: self.name().to_owned(), door: self.door() };
        let plan = Self::new(source, grid, self.fit().panel, &self.fit().asked(), making)?;
        let plan = plan.mounted(*self.mounting())?.with_timing(self.timing().clone());
        let plan = plan.painted(self.painting().clone(), None)?;
        match self.cuts() {
            // Cuts hang on cells and seams, and seams alone hang on colours.
            Some(cuts) if plan.fit() == self.fit() => Ok(plan.with_cuts(cuts.clone())),
            Some(cuts) => plan.cut(&cuts.cutting, watch),
            None => Ok(plan),
        }
    }
}
