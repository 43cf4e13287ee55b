//! The paints of a large stock that are worth looking at: for each colour those that make the nearest pairs.

use super::look::{Glance, Targets};
use super::ratio::Ratios;
use crate::colour::{Lab, Rgb};
use crate::fault::{Result, Watch};
use crate::paint::Stock;

/// Parts of the pairs that are tried.
const PARTS: u8 = 8;
/// So many colours may have a full shelf each before shelves grow smaller.
const FULL: usize = 3;

/// Paints that are looked at, and together with which.
#[derive(Debug)]
pub(super) struct Shelf {
    /// Their places in the stock, in order.
    pub(super) places: Vec<usize>,
    /// One bit for each colour that a paint may serve; paints are mixed that have one in common.
    pub(super) serves: Vec<u64>,
    /// How many paints were looked at for each colour.
    pub(super) each: usize,
}

impl Shelf {
    /// Takes all of a small stock, of a larger one up to `most` paints for each colour: those that serve it
    /// best, by the nearest pair that each is in. Of many colours each has fewer, as the work grows with them.
    pub(super) fn new(colours: &[Rgb], stock: &Stock, most: usize, watch: &dyn Watch) -> Result<Self> {
        let count = stock.paints().len();
        if count <= most {
            return Ok(Self { places: (0..count).collect(), serves: vec![u64::MAX; count], each: count });
        }
        let each =
            (1..=most).rev().find(|each| colours.len() * each.pow(3) <= FULL * most.pow(3)).unwrap_or(1);
        let mut serves = vec![0u64; count];
        for (colour, near) in nearest(colours, stock, watch)?.iter().enumerate() {
            let mut order: Vec<usize> = (0..count).collect();
            order.sort_by(|&a, &b| near[a].total_cmp(&near[b]).then(a.cmp(&b)));
            for &place in order.iter().take(each) {
                serves[place] |= 1 << (colour % 64);
            }
        }
        let places: Vec<usize> = (0..count).filter(|&place| serves[place] > 0).collect();
        serves.retain(|&colours| colours > 0);
        Ok(Self { places, serves, each })
    }
}

/// Gives for each colour how near, squared, the nearest pair comes that each paint is in.
fn nearest(colours: &[Rgb], stock: &Stock, watch: &dyn Watch) -> Result<Vec<Vec<f32>>> {
    let glances: Vec<Glance> =
        stock.optics().iter().map(|optics| Glance::new(optics, stock.surface())).collect();
    let ratios = Ratios::new(2, PARTS);
    let targets = Targets::new(colours.iter().map(|&colour| Lab::from(colour)), 0.0, false);
    let mut best = vec![vec![f32::INFINITY; glances.len()]; colours.len()];
    let places = u16::try_from(glances.len()).unwrap_or(u16::MAX);
    for one in 0..places {
        for other in one + 1..places {
            targets.nearest_pair(&glances, [one, other], &ratios, &mut best);
        }
        watch.check(0.0)?;
    }
    Ok(best)
}
