//! Sharing the cells out among the colours: calming, then growing, merging and trimming, while the colours
//! follow their cells.

use super::brush::Brush;
use super::field::{Costs, Field, UNIT};
use super::means::Cells;
use super::merge::Merging;
use super::paints::Paints;
use super::{calm, grow, merge, trim};
use crate::fault::{Result, Watch};
use crate::grid::patch::connected;
use crate::palette::Pool;

/// Rounds of calming, after each of which the colours follow their cells.
const ROUNDS: usize = 3;
/// Turns for each colour in one round of calming.
const CYCLES: usize = 2;
/// Rounds of growing, merging and trimming.
const TIDY_ROUNDS: usize = 2;
/// Rounds in which colours and cells settle when every cell is for itself.
const SETTLE_ROUNDS: usize = 3;
/// Grids of more cells get one round of everything, and one turn for each colour.
pub(super) const LARGE: usize = 1 << 16;

/// Everything that is at hand while the cells are shared out among the colours.
pub(super) struct Work<'a> {
    pub(super) cells: Cells,
    pub(super) field: Field,
    pub(super) paints: Paints,
    pub(super) brush: Brush,
    pub(super) watch: &'a dyn Watch,
}

impl Work<'_> {
    /// Gives the mean light of the area that each cell is part of: to choose colours for what is painted, and
    /// none for what is smoothed away.
    pub(super) fn areas(&self, labels: &[u8]) -> Pool {
        let (rows, columns) = (self.field.rows, self.field.columns);
        let value = |place: usize| self.field.cells[place].map(|_| labels[place]);
        let (area_of, count) = connected(rows, columns, value);
        let mut sums = vec![[0.0_f32; 4]; count];
        for (&area, [r, g, b]) in area_of.iter().zip(&self.cells.light) {
            sums[area].iter_mut().zip([r, g, b, &1.0]).for_each(|(sum, part)| *sum += part);
        }
        let mean = |area: usize| std::array::from_fn(|i| sums[area][i] / sums[area][3]);
        let painted = self.cells.painted.iter().map(|&painted| f32::from(u8::from(painted)));
        Pool::new(area_of.iter().map(|&area| mean(area)).zip(painted))
    }

    /// Gives every cell its colour.
    pub(super) fn share_out(&mut self) -> Result<Vec<u8>> {
        let mut costs = self.costs()?;
        let mut labels = costs.cheapest();
        let scale = costs.scale(&self.field, &labels);
        if self.brush.calm > 0.0 {
            self.field.draw_borders(self.brush.calm * scale);
            let large = labels.len() > LARGE;
            for _ in 0..ROUNDS {
                calm::calm(&self.field, &costs, &mut labels, if large { 1 } else { CYCLES }, self.watch)?;
                if large {
                    break;
                }
                self.paints.follow(&self.field, &labels);
                costs = self.costs()?;
            }
        }
        if self.brush.least > 1 {
            self.tidy(costs, &mut labels, scale)?;
        } else if self.brush.calm <= 0.0 {
            for _ in 0..if labels.len() > LARGE { 1 } else { SETTLE_ROUNDS } {
                self.paints.centre(&self.field, &self.cells, &labels);
                labels = self.costs()?.cheapest();
            }
        }
        Ok(labels)
    }

    /// Leaves no patch that is too small.
    fn tidy(&mut self, mut costs: Costs, labels: &mut [u8], scale: f32) -> Result<()> {
        #[expect(clippy::cast_possible_truncation, reason = "some thousand units")]
        let asked = Merging { least: self.brush.least, worth: (self.brush.worth * scale * UNIT) as i32 };
        let large = labels.len() > LARGE;
        for _ in 0..if large { 1 } else { TIDY_ROUNDS } {
            grow::grow(&self.field, &costs, labels, asked, self.watch)?;
            merge::merge(&self.field, &costs, labels, asked, self.watch)?;
            trim::trim(&self.field, &costs, labels, asked.least, self.watch)?;
            if large {
                return Ok(());
            }
            self.paints.follow(&self.field, labels);
            costs = self.costs()?;
        }
        merge::merge(&self.field, &costs, labels, asked, self.watch)
    }

    fn costs(&self) -> Result<Costs> {
        Costs::new(&self.field, &self.paints.tones, self.watch)
    }
}
