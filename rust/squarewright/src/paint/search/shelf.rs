//! The paints of a large stock that are worth looking at: those that make the nearest pairs.

use super::Mixing;
use crate::colour::{Lab, Rgb};
use crate::fault::{Result, Watch};
use crate::paint::Stock;

use super::ratio::Ratios;
use super::screen::{Glance, Target, nearest_pair};

/// Parts of the pairs that are tried.
const PARTS: u8 = 8;

/// Gives the places of the paints to be looked at, in order: all of a small stock, of a larger one those that
/// serve these colours best.
///
/// Paints are ranked for a colour by the nearest pair that each is in; each colour in turn names its next paint.
pub(super) fn shelf(colours: &[Rgb], stock: &Stock, watch: &dyn Watch) -> Result<Vec<usize>> {
    let count = stock.paints().len();
    if count <= Mixing::SHELF {
        return Ok((0..count).collect());
    }
    let glances: Vec<Glance> = stock.paints().iter().map(|paint| Glance::from(&paint.optics())).collect();
    let ratios = Ratios::new(2, PARTS);
    let targets: Vec<Target> = colours.iter().map(|&colour| Target::new(Lab::from(colour), 0.0)).collect();
    let mut best = vec![vec![f32::INFINITY; count]; colours.len()];
    let places = u16::try_from(count).unwrap_or(u16::MAX);
    for one in 0..places {
        for other in one + 1..places {
            let nearest = nearest_pair(&glances, [one, other], &ratios, &targets);
            for (best, nearest) in best.iter_mut().zip(nearest) {
                for place in [one, other].map(usize::from) {
                    best[place] = best[place].min(nearest);
                }
            }
        }
        watch.check(0.0)?;
    }
    let ranking = |best: Vec<f32>| {
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by(|&a, &b| best[a].total_cmp(&best[b]).then(a.cmp(&b)));
        order
    };
    let rankings: Vec<Vec<usize>> = best.into_iter().map(ranking).collect();
    Ok(chosen(&rankings))
}

fn chosen(rankings: &[Vec<usize>]) -> Vec<usize> {
    let mut shelf = Vec::new();
    let longest = rankings.first().map_or(0, Vec::len);
    'full: for rank in 0..longest {
        for ranking in rankings {
            if shelf.len() >= Mixing::SHELF {
                break 'full;
            }
            if !shelf.contains(&ranking[rank]) {
                shelf.push(ranking[rank]);
            }
        }
    }
    shelf.sort_unstable();
    shelf
}
