//! The mean light of every cell, and which cells are painted.

use super::Layout;
use crate::picture::Shrunk;

/// Cells that are covered by less than this are bare.
pub(super) const HALF: f32 = 0.5;

/// The cells with the light that each is to show.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cells {
    /// Mean linear light of the part that belongs to the figure.
    pub(super) light: Vec<[f32; 3]>,
    /// How much of it belongs to the figure, 0 to 1.
    pub(super) share: Vec<f32>,
    /// Whether it is painted.
    pub(super) painted: Vec<bool>,
}

impl Cells {
    /// Sums fine cells up, each counting as much as it is covered.
    #[expect(clippy::cast_possible_truncation, reason = "means need no more than 24 bits")]
    pub(super) fn new(fine: &Shrunk, layout: Layout) -> Self {
        let mut sums = vec![[0.0_f64; 4]; layout.rows * layout.columns];
        for (place, (light, &cover)) in fine.light.iter().zip(&fine.cover).enumerate() {
            let [r, g, b] = light.map(f64::from);
            for (sum, part) in sums[layout.cell_of(place)].iter_mut().zip([r, g, b, 1.0]) {
                *sum += f64::from(cover) * part;
            }
        }
        let full = (layout.fine * layout.fine) as f64;
        let share: Vec<f32> = sums.iter().map(|sum| (sum[3] / full) as f32).collect();
        let painted = share.iter().map(|&share| share >= HALF).collect();
        let mean = |[r, g, b, cover]: [f64; 4]| [r, g, b].map(|light| (light / cover.max(1e-9)) as f32);
        Self { light: sums.into_iter().map(mean).collect(), share, painted }
    }
}
