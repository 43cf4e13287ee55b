//! The recipes that come nearest to a colour: all mixtures are looked at, none is left to chance.
//!
//! Of mixtures that look alike the simplest is taken: first the [`bucket`] of the difference counts, then how
//! many paints would have to be bought, how many paints and how many parts it has, what it costs, and at last
//! the difference itself.

mod far;
mod ratio;
mod screen;
mod shelf;

use std::cmp::Ordering;
use std::ops::RangeInclusive;

use self::ratio::Ratios;
use self::screen::{Candidate, Glance, Target, look};
use self::shelf::shelf;
use super::mixture::Optics;
use super::paint::Paint;
use super::recipe::{Recipe, Remark};
use super::stock::Stock;
use crate::colour::{Lab, Rgb, ciede2000};
use crate::fault::{Error, Result, Watch};

/// A paint this dark, added to a bottle by the drop, makes a shade of it.
const DARK: f64 = 35.0;
/// How many recipes are offered for a colour.
const OFFERED: usize = 5;
/// How far beyond the tolerance a simpler way is still offered.
const SIMPLER: f64 = 2.0;

/// What recipes may look like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixing {
    /// The most paints in a recipe, 1 to 4.
    pub max_paints: usize,
    /// The most parts in a recipe of one, two, three and four paints, each up to [`Mixing::MOST_PARTS`].
    pub max_parts: [u8; 4],
    /// The difference (CIEDE2000) that is good enough.
    pub tolerance: f64,
}

impl Default for Mixing {
    fn default() -> Self {
        Self { max_paints: 3, max_parts: Self::parts(12), tolerance: 3.0 }
    }
}

impl Mixing {
    /// The most parts that may be asked for.
    pub const MOST_PARTS: u8 = 40;
    /// The most paints that are looked at together; of a larger stock the likeliest are taken.
    pub const SHELF: usize = 64;

    /// Gives what "so many parts" means: twice as many for two paints, as pale tints need them.
    pub fn parts(most: u8) -> [u8; 4] {
        [1, most.saturating_mul(2).min(Self::MOST_PARTS), most, most]
    }

    fn check(&self) -> Result<()> {
        let bad = |name, must: String, got: String| Err(Error::Argument { name, must, got });
        if !(1..=4).contains(&self.max_paints) {
            return bad("max_paints", "1 to 4".into(), self.max_paints.to_string());
        }
        for (paints, most) in (1u8..).zip(self.max_parts).take(self.max_paints) {
            if most < paints || most > Self::MOST_PARTS {
                let must = format!("{paints} to {} for {paints} paints", Self::MOST_PARTS);
                return bad("max_parts", must, most.to_string());
            }
        }
        if !(self.tolerance >= 0.0 && self.tolerance <= 100.0) {
            return bad("tolerance", "0 to 100".into(), self.tolerance.to_string());
        }
        Ok(())
    }
}

/// Sorts differences into steps that can be told apart: 0 up to 1, then one for each whole number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a difference is 0 to some hundred"
)]
pub fn bucket(difference: f64) -> u32 {
    if difference <= 1.0 { 0 } else { (difference - 1.0).ceil() as u32 }
}

/// Finds recipes for each colour, the best first.
///
/// The first is the best of all mixtures that are allowed. Others follow that use other paints and are as
/// good, or have one or two paints and are within the tolerance. When nothing is, the nearest stands alone.
///
/// # Errors
/// [`Error::Argument`] for settings that cannot be, [`Error::Stopped`] when the watcher asks to stop.
pub fn mix(colours: &[Rgb], stock: &Stock, asked: &Mixing, watch: &dyn Watch) -> Result<Vec<Vec<Recipe>>> {
    asked.check()?;
    let shelf = shelf(colours, stock, watch)?;
    let optics: Vec<Optics> = shelf.iter().map(|&place| stock.paints()[place].optics()).collect();
    let sought = Sought { optics: &optics, asked, with: None };
    let kept = sought.kept(colours, watch)?;
    let (tried, all) = (shelf.len(), stock.paints().len());
    let screened = (tried < all).then_some(Remark::Screened { tried, all });
    let mut found = Vec::new();
    for (&colour, kept) in colours.iter().zip(&kept) {
        let judge = Judge { stock, shelf: &shelf, sought: &sought, wanted: Lab::from(colour) };
        let mut recipes = judge.recipes(colour, kept, asked)?;
        for recipe in &mut recipes {
            recipe.notes.extend(screened);
            recipe.notes.extend((recipe.difference > asked.tolerance).then_some(Remark::OutOfReach));
        }
        found.push(recipes);
        watch.check(1.0)?;
    }
    Ok(found)
}

/// Parts of a pot, and of the paints that are added, by their places in the stock.
pub(super) type Onward = (u32, Vec<(usize, u32)>);

/// Finds whole parts of a pot and of paints of the stock that come nearest to a colour; at least a third is
/// from the pot, `None` when that cannot be.
pub(super) fn from_pot(
    colour: Rgb,
    pot: &Optics,
    stock: &Stock,
    asked: &Mixing,
    watch: &dyn Watch,
) -> Result<Option<Onward>> {
    let shelf = shelf(&[colour], stock, watch)?;
    let mut optics: Vec<Optics> = shelf.iter().map(|&place| stock.paints()[place].optics()).collect();
    optics.push(pot.clone());
    let place = shelf.len();
    let sought = Sought { optics: &optics, asked, with: u16::try_from(place).ok() };
    let kept = sought.kept(&[colour], watch)?;
    let judged = kept[0].iter().filter_map(|each| {
        let parts: Vec<(usize, u32)> = each.chosen().collect();
        let total: u32 = parts.iter().map(|&(_, parts)| parts).sum();
        let (pot, added): (Vec<_>, Vec<_>) = parts.into_iter().partition(|&(paint, _)| paint == place);
        let pot: u32 = pot.iter().map(|&(_, parts)| parts).sum();
        let difference = ciede2000(Lab::from(colour), sought.mixture(each));
        (3 * pot >= total).then_some(((bucket(difference), each.count, total), difference, pot, added))
    });
    let best = judged.min_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
    Ok(best.map(|(_, _, pot, added)| {
        (pot, added.into_iter().map(|(place, parts)| (shelf[place], parts)).collect())
    }))
}

/// Mixtures that are to be looked through.
pub(super) struct Sought<'a> {
    pub(super) optics: &'a [Optics],
    pub(super) asked: &'a Mixing,
    /// A paint that every mixture must hold.
    pub(super) with: Option<u16>,
}

impl Sought<'_> {
    /// Gives for each colour the mixtures that could be the best.
    fn kept(&self, colours: &[Rgb], watch: &dyn Watch) -> Result<Vec<Vec<Candidate>>> {
        let glances: Vec<Glance> = self.optics.iter().map(Glance::from).collect();
        let most = self.asked.max_paints.min(glances.len());
        let new = |&colour: &Rgb| Target::new(Lab::from(colour), self.asked.tolerance);
        let mut targets: Vec<Target> = colours.iter().map(new).collect();
        self.sweep(&glances, 1..=most.min(2), &mut targets, watch)?;
        // What nothing comes near is looked at anew, by the slower formula.
        let far: Vec<usize> = (0..targets.len()).filter(|&place| targets[place].is_far()).collect();
        let again = |&place: &usize| Target::far(Lab::from(colours[place]), self.asked.tolerance);
        let mut again: Vec<Target> = far.iter().map(again).collect();
        self.sweep(&glances, 1..=most.min(2), &mut again, watch)?;
        for (place, target) in far.into_iter().zip(again) {
            targets[place] = target;
        }
        self.sweep(&glances, 3..=most, &mut targets, watch)?;
        let kept = targets.into_iter().map(|mut target| {
            target.sift();
            target.kept
        });
        Ok(kept.collect())
    }

    /// Looks at all mixtures of so many paints.
    fn sweep(
        &self,
        glances: &[Glance],
        counts: RangeInclusive<usize>,
        targets: &mut [Target],
        watch: &dyn Watch,
    ) -> Result<()> {
        let paints = u16::try_from(glances.len()).unwrap_or(u16::MAX);
        for count in counts.filter(|_| !targets.is_empty()).collect::<Vec<_>>() {
            let ratios = Ratios::new(count, self.asked.max_parts[count - 1]);
            let mut chosen = [0, 1, 2, 3];
            loop {
                if self.with.is_none_or(|paint| chosen[..count].contains(&paint)) {
                    look(glances, chosen, &ratios, targets);
                }
                if !advance(&mut chosen[..count], paints) {
                    break;
                }
                if count < 2 || chosen[count - 1] == chosen[count - 2] + 1 {
                    watch.check(0.9 * f32::from(chosen[0]) / f32::from(paints))?;
                }
            }
        }
        Ok(())
    }

    fn mixture(&self, candidate: &Candidate) -> Lab {
        let parts = candidate.chosen().map(|(place, parts)| (&self.optics[place], f64::from(parts)));
        Optics::mixed(parts).spectrum().lab()
    }
}

/// Goes on to the next choice of paints, in order; `false` after the last.
fn advance(chosen: &mut [u16], paints: u16) -> bool {
    let count = chosen.len();
    for place in (0..count).rev() {
        let room = paints - u16::try_from(count - place).unwrap_or(0);
        if chosen[place] < room {
            chosen[place] += 1;
            for later in place + 1..count {
                chosen[later] = chosen[later - 1] + 1;
            }
            return true;
        }
    }
    false
}

/// A mixture judged in full, in the order of preference.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Judged {
    bucket: u32,
    to_buy: usize,
    paints: usize,
    total: u32,
    price: f64,
    millionths: f64,
    pub(super) chosen: Vec<(usize, u32)>,
    pub(super) difference: f64,
}

impl Judged {
    pub(super) fn order(&self, other: &Self) -> Ordering {
        let whole = |judged: &Self| (judged.bucket, judged.to_buy, judged.paints, judged.total);
        whole(self)
            .cmp(&whole(other))
            .then(self.price.total_cmp(&other.price))
            .then(self.millionths.total_cmp(&other.millionths))
            .then_with(|| self.chosen.cmp(&other.chosen))
    }

    fn same_paints(&self, other: &Self) -> bool {
        self.paints == other.paints && self.chosen.iter().zip(&other.chosen).all(|(one, two)| one.0 == two.0)
    }
}

/// Judges mixtures for one colour.
struct Judge<'a> {
    stock: &'a Stock,
    /// Places in the stock of the paints that are looked at.
    shelf: &'a [usize],
    sought: &'a Sought<'a>,
    wanted: Lab,
}

impl Judge<'_> {
    fn paint(&self, place: usize) -> &Paint {
        &self.stock.paints()[self.shelf[place]]
    }

    fn judged(&self, candidate: &Candidate) -> Judged {
        let difference = ciede2000(self.wanted, self.sought.mixture(candidate));
        let parts = candidate.chosen();
        let total = parts.clone().map(|(_, parts)| parts).sum();
        let cost = |(place, parts)| Some(self.paint(place).price_per_ml()? * f64::from(parts));
        let cost: Option<f64> = parts.clone().map(cost).sum();
        Judged {
            bucket: bucket(difference),
            to_buy: parts.clone().filter(|&(place, _)| !self.paint(place).owned).count(),
            paints: candidate.count.into(),
            total,
            price: cost.map_or(f64::INFINITY, |cost| cost / f64::from(total)),
            millionths: (difference * 1e6).round(),
            chosen: parts.map(|(place, parts)| (self.shelf[place], parts)).collect(),
            difference,
        }
    }

    fn recipes(&self, colour: Rgb, kept: &[Candidate], asked: &Mixing) -> Result<Vec<Recipe>> {
        let mut judged: Vec<Judged> = kept.iter().map(|candidate| self.judged(candidate)).collect();
        judged.sort_by(Judged::order);
        let Some(best) = judged.first().cloned() else { return Ok(Vec::new()) };
        let mut offered: Vec<&Judged> = Vec::new();
        for each in &judged {
            let good = each.bucket == best.bucket || each.paints <= 2;
            let near = each.difference <= asked.tolerance || each == &best;
            let new = !offered.iter().any(|other| other.same_paints(each));
            if good && near && new && offered.len() < OFFERED {
                offered.push(each);
            }
        }
        let recipe = |judged: &Judged| Recipe::new(colour, &judged.chosen, self.stock);
        let mut recipes: Vec<Recipe> = offered.into_iter().map(recipe).collect::<Result<_>>()?;
        let simpler = self.simpler(&judged, asked);
        let simpler = simpler.into_iter().filter(|each| each.chosen != best.chosen);
        recipes[0].alternatives = simpler.map(|each| recipe(&each)).collect::<Result<_>>()?;
        Ok(recipes)
    }

    /// Finds the nearest bottle, and the nearest with one drop of a dark paint, when they come near enough.
    fn simpler(&self, judged: &[Judged], asked: &Mixing) -> Vec<Judged> {
        let near = |each: &Judged| each.difference <= asked.tolerance + SIMPLER;
        let nearest = |one: &Judged, other: &Judged| {
            one.difference.total_cmp(&other.difference).then_with(|| one.order(other))
        };
        let bottles = (0..self.shelf.len()).map(|place| {
            let place = u16::try_from(place).unwrap_or(u16::MAX);
            let paints = [place, 0, 0, 0];
            self.judged(&Candidate { squared: 0.0, paints, count: 1, parts: [1, 0, 0, 0] })
        });
        let bottle = bottles.min_by(nearest).filter(near);
        let lightness = |place: usize| Lab::from(self.stock.paints()[place].colour).l;
        let a_drop = |each: &&Judged| match each.chosen[..] {
            [(one, 1), (other, 2..)] | [(other, 2..), (one, 1)] => {
                lightness(one) < DARK && lightness(other) > lightness(one)
            }
            _ => false,
        };
        let shaded =
            judged.iter().filter(a_drop).min_by(|one, other| nearest(one, other)).cloned().filter(near);
        bottle.into_iter().chain(shaded).collect()
    }
}
