//! The colours while the cells are being shared out among them: free to move, bound to candidates, or fixed.

use super::field::Field;
use super::means::Cells;
use crate::colour::{Lab, Rgb, Tone};
use crate::fault::Result;
use crate::grid::Grid;
use crate::palette::{Palette, snap};

/// A cell counts less for its colour the more it differs; those within this difference count about the same.
const NEAR: f32 = 1.7;

/// The colours that cells may take.
#[derive(Debug)]
pub(super) struct Paints {
    pub(super) tones: Vec<Tone>,
    /// The only colours that are allowed; any when there are none.
    allowed: Vec<Rgb>,
    fixed: bool,
}

impl Paints {
    /// Takes colours that may move, to candidates alone if there are any.
    pub(super) fn free(tones: Vec<Tone>, candidates: &[Rgb]) -> Self {
        Self { tones, allowed: candidates.to_vec(), fixed: false }
    }

    /// Takes colours that stay as they are.
    pub(super) fn fixed(colours: &[Rgb]) -> Self {
        Self { tones: tones(colours), allowed: colours.to_vec(), fixed: true }
    }

    /// Moves each colour to the middle of its cells.
    pub(super) fn follow(&mut self, field: &Field, labels: &[u8]) {
        let mut sums = vec![[0.0_f64; 4]; self.tones.len()];
        for (cell, &label) in field.cells.iter().zip(labels) {
            let Some(cell) = *cell else { continue };
            let Lab { l, a, b } = cell.into();
            for (sum, part) in sums[usize::from(label)].iter_mut().zip([l, a, b, 1.0]) {
                *sum += part;
            }
        }
        let mean = |[l, a, b, count]: [f64; 4]| Tone::from(Lab { l: l / count, a: a / count, b: b / count });
        self.move_to(sums.into_iter().map(|sum| (sum[3] > 0.0).then(|| mean(sum))));
    }

    /// Moves each colour to the light that most of its cells are near to, which strays leave alone.
    pub(super) fn centre(&mut self, field: &Field, cells: &Cells, labels: &[u8]) {
        let light = self.lights(field, cells, labels);
        self.move_to(light.into_iter().map(|light| light.map(|light| Tone::from(Lab::from_linear(light)))));
    }

    fn move_to(&mut self, places: impl Iterator<Item = Option<Tone>>) {
        if self.fixed {
            return;
        }
        for (tone, place) in self.tones.iter_mut().zip(places) {
            *tone = place.unwrap_or(*tone);
        }
        snap(&mut self.tones, &tones(&self.allowed));
    }

    fn lights(&self, field: &Field, cells: &Cells, labels: &[u8]) -> Vec<Option<[f64; 3]>> {
        let mut sums = vec![[0.0_f64; 4]; self.tones.len()];
        for (place, (cell, &label)) in field.cells.iter().zip(labels).enumerate() {
            let Some(cell) = *cell else { continue };
            let away = cell.squared(self.tones[usize::from(label)], field.light).max(0.0).sqrt();
            let weight = 1.0 / f64::from(NEAR + away);
            let [r, g, b] = cells.light[place].map(f64::from);
            for (sum, part) in sums[usize::from(label)].iter_mut().zip([r, g, b, 1.0]) {
                *sum += weight * part;
            }
        }
        sums.into_iter().map(|[r, g, b, all]| (all > 0.0).then(|| [r / all, g / all, b / all])).collect()
    }

    /// Makes the grid: colours without cells are left out, and the same colour twice becomes one.
    pub(super) fn grid(&self, field: &Field, cells: &Cells, labels: &[u8]) -> Result<Grid> {
        let lights = self.lights(field, cells, labels);
        let allowed = tones(&self.allowed);
        let colour = |(place, light): (usize, Option<[f64; 3]>)| {
            let light = light?;
            let kept = allowed.iter().position(|&tone| tone == self.tones[place]);
            Some(kept.map_or_else(|| Rgb::from_linear(light), |kept| self.allowed[kept]))
        };
        let colours: Vec<Option<Rgb>> = lights.into_iter().enumerate().map(colour).collect();
        let mut used: Vec<Rgb> = colours.iter().flatten().copied().collect();
        used.sort_by(|&one, &other| Lab::from(other).l.total_cmp(&Lab::from(one).l).then(one.cmp(&other)));
        used.dedup();
        let place = |label: u8| used.iter().position(|&other| Some(other) == colours[usize::from(label)]);
        let numbered = field.cells.iter().zip(labels);
        let numbered = numbered.map(|(cell, &label)| cell.and_then(|_| u8::try_from(place(label)?).ok()));
        let numbered = numbered.collect();
        Grid::new(field.rows, field.columns, numbered, Palette::new(used)?)
    }
}

fn tones(colours: &[Rgb]) -> Vec<Tone> {
    colours.iter().map(|&colour| Tone::from(Lab::from(colour))).collect()
}
