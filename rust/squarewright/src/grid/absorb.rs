//! Patches too small to paint go over into what surrounds them; accents such as an eye stay.

use super::patch::{neighbours, patches};
use super::{Grid, Patch};
use crate::colour::{Lab, ciede2000};
use crate::fault::{Error, Result};

/// A small patch is an accent when it differs from all that surrounds it by this much (CIEDE2000).
const ACCENT: f64 = 25.0;

impl Grid {
    /// Gives every patch of fewer than `least` cells the colour with which it shares most of its border,
    /// smallest first; of two such colours the one that is more like it. A patch that stands alone stays, and
    /// so does an accent, a patch that clearly differs from all around it, unless `accents` go too.
    ///
    /// # Errors
    /// [`Error::Argument`] when `least` is 0.
    pub fn absorbed(&self, least: usize, accents: bool) -> Result<Self> {
        if least == 0 {
            let must = "1 cell or more".into();
            return Err(Error::Argument { name: "least", must, got: least.to_string() });
        }
        let mut grid = self.clone();
        loop {
            let mut small: Vec<Patch> =
                patches(&grid).into_iter().filter(|patch| patch.places.len() < least).collect();
            small.sort_by_key(|patch| patch.places.len());
            let mut cells = grid.cells().to_vec();
            let mut touched = vec![false; cells.len()];
            for patch in small {
                // What changed next to it decides about it in the next pass, with patches as they are then.
                let near =
                    |&place: &usize| neighbours(self.rows(), self.columns(), place).any(|next| touched[next]);
                if patch.places.iter().any(near) {
                    continue;
                }
                if let Some(colour) = grid.absorber(&patch, accents) {
                    for place in patch.places {
                        (cells[place], touched[place]) = (Some(colour), true);
                    }
                }
            }
            if !touched.contains(&true) {
                return Ok(grid);
            }
            grid = Self::new(self.rows(), self.columns(), cells, self.palette().clone())?;
        }
    }

    /// Gives the colour that a patch goes over into, if it does.
    fn absorber(&self, patch: &Patch, accents: bool) -> Option<u8> {
        let beside =
            |&place: &usize| neighbours(self.rows(), self.columns(), place).map(|next| self.cells()[next]);
        let mut shared: Vec<(u8, usize)> = Vec::new();
        for colour in patch.places.iter().flat_map(beside).filter(|&cell| cell != patch.cell).flatten() {
            match shared.iter_mut().find(|(known, _)| *known == colour) {
                Some((_, count)) => *count += 1,
                None => shared.push((colour, 1)),
            }
        }
        let own = self.colour(patch.cell).map(Lab::from)?;
        let away = |colour: u8| ciede2000(own, Lab::from(self.palette().colours()[usize::from(colour)]));
        if !accents && shared.iter().all(|&(colour, _)| away(colour) >= ACCENT) {
            return None;
        }
        let order = |one: &(u8, usize), other: &(u8, usize)| {
            one.1.cmp(&other.1).then_with(|| away(other.0).total_cmp(&away(one.0)))
        };
        shared.into_iter().max_by(order).map(|(colour, _)| colour)
    }
}
