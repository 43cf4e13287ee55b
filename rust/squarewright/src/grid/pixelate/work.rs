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
    /// Gives the mean light of each area, which counts as much as it has cells: to choose colours for what is
    /// painted, and none for what is smoothed away.
    pub(super) fn areas(&self, labels: &[u8]) -> Pool {
        let (rows, columns) = (self.field.rows, self.field.columns);
        let value = |place: usize| self.field.cells[place].map(|_| labels[place]);
        let (area_of, count) = connected(rows, columns, value);
        let mut sums = vec![[0.0_f32; 4]; count];
        let painted = (0..labels.len()).filter(|&place| self.cells.painted[place]);
        for place in painted {
            let [r, g, b] = self.cells.light[place];
            sums[area_of[place]].iter_mut().zip([r, g, b, 1.0]).for_each(|(sum, part)| *sum += part);
        }
        let painted = sums.into_iter().filter(|sum| sum[3] > 0.0);
        Pool::new(painted.map(|[r, g, b, cells]| ([r, g, b].map(|light| light / cells), cells)))
    }

    /// Gives every cell its colour, with one round and turn of everything in a first try.
    pub(super) fn share_out(&mut self, first_try: bool) -> Result<Vec<u8>> {
        let mut costs = Costs::new(&self.field, &self.paints.tones, self.watch)?;
        let mut labels = costs.cheapest();
        let scale = costs.scale(&self.field, &labels);
        if self.brush.calm > 0.0 {
            self.field.draw_borders(self.brush.calm * scale);
            let large = labels.len() > LARGE;
            for _ in 0..if first_try { 1 } else { ROUNDS } {
                let cycles = if large || first_try { 1 } else { CYCLES };
                calm::calm(&self.field, &costs, &mut labels, cycles, self.watch)?;
                if large {
                    break;
                }
                self.paints.follow(&self.field, &labels);
                costs.follow(&self.field, &self.paints.tones, self.watch)?;
            }
        }
        if self.brush.least > 1 {
            self.tidy(costs, &mut labels, scale, first_try)?;
        } else if self.brush.calm <= 0.0 {
            for _ in 0..if labels.len() > LARGE { 1 } else { SETTLE_ROUNDS } {
                self.paints.centre(&self.field, &self.cells, &labels);
                costs.follow(&self.field, &self.paints.tones, self.watch)?;
                labels = costs.cheapest();
            }
        }
        Ok(labels)
    }

    /// Leaves no patch that is too small.
    fn tidy(&mut self, mut costs: Costs, labels: &mut [u8], scale: f32, first_try: bool) -> Result<()> {
        #[expect(clippy::cast_possible_truncation, reason = "some thousand units")]
        let asked = Merging { least: self.brush.least, worth: (self.brush.worth * scale * UNIT) as i32 };
        let large = labels.len() > LARGE;
        for _ in 0..if large || first_try { 1 } else { TIDY_ROUNDS } {
            grow::grow(&self.field, &costs, labels, asked, self.watch)?;
            merge::merge(&self.field, &costs, labels, asked, self.watch)?;
            trim::trim(&self.field, &costs, labels, asked.least, self.watch)?;
            if large {
                return Ok(());
            }
            self.paints.follow(&self.field, labels);
            costs.follow(&self.field, &self.paints.tones, self.watch)?;
        }
        merge::merge(&self.field, &costs, labels, asked, self.watch)
    }
}
