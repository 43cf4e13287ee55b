//! All sets of paints that reach a colour: what choosing bottles begins with.

use std::collections::BTreeMap;

use super::look::Candidate;
use super::shelf::Shelf;
use super::{Judge, Judged, Mixing, Sought, bucket};
use crate::colour::{Lab, Rgb};
use crate::fault::{Result, Watch};
use crate::paint::Stock;

/// A set of paints that reaches a colour, by the best of its mixtures.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The place of each paint in the stock, in order, and its parts.
    pub parts: Vec<(usize, u32)>,
    /// How far the mixture is from the colour, CIEDE2000.
    pub difference: f64,
}

/// Lists for each colour all sets of paints with a mixture within the tolerance, each once, the best first.
///
/// The mixture of a set is the one that [`mix`](super::mix) would choose from these paints, all of them used;
/// a set may hold another. A colour that nothing comes near has no way.
///
/// # Errors
/// As [`mix`](super::mix).
pub fn ways(colours: &[Rgb], stock: &Stock, asked: &Mixing, watch: &dyn Watch) -> Result<Vec<Vec<Way>>> {
    asked.check()?;
    let shelf = Shelf::new(colours, stock, asked.shelf, watch)?;
    let sought = Sought { every: true, ..Sought::new(&shelf, stock, asked) };
    let kept = sought.kept(colours, watch)?;
    let mut found = Vec::new();
    for (&colour, kept) in colours.iter().zip(kept) {
        let judge = Judge { stock, shelf: &shelf.places, sought: &sought, wanted: Lab::from(colour) };
        found.push(judge.ways(kept));
        watch.check(1.0)?;
    }
    Ok(found)
}

impl Judge<'_> {
    fn ways(&self, mut kept: Vec<Candidate>) -> Vec<Way> {
        kept.sort_by(|one, other| one.squared.total_cmp(&other.squared));
        let mut best: BTreeMap<([u16; 4], u8), Judged> = BTreeMap::new();
        for candidate in kept {
            let set = (candidate.paints, candidate.count);
            let best_yet = best.get(&set);
            if best_yet.is_some_and(|best| bucket(candidate.least()) > best.bucket) {
                continue;
            }
            let judged = self.judged(&candidate);
            let good = judged.difference <= self.sought.asked.tolerance;
            if good && best_yet.is_none_or(|best| judged.order(best).is_lt()) {
                best.insert(set, judged);
            }
        }
        let mut best: Vec<Judged> = best.into_values().collect();
        best.sort_by(Judged::order);
        best.into_iter().map(|Judged { chosen, difference, .. }| Way { parts: chosen, difference }).collect()
    }
}
