//! The recipes that come nearest to a colour: all mixtures are looked at, none is left to chance.
//!
//! Of mixtures that look alike the simplest is taken: first the [`bucket`] of the difference counts, then how
//! many paints would have to be bought, how many paints and how many parts it has, what it costs, and at last
//! the difference itself.

mod apart;
mod floor;
mod look;
mod ratio;
mod shelf;
mod ways;

use std::cmp::Ordering;

use self::look::{Candidate, Glance, Targets};
use self::ratio::Ratios;
use self::shelf::Shelf;
pub use self::ways::{Way, ways};
use super::mixture::{Optics, Surface};
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
    /// The most paints that are looked at together; of a larger stock the likeliest are taken.
    pub shelf: usize,
}

impl Default for Mixing {
    fn default() -> Self {
        Self { max_paints: 3, max_parts: Self::parts(12), tolerance: 3.0, shelf: 64 }
    }
}

impl Mixing {
    /// The most parts that may be asked for.
    pub const MOST_PARTS: u8 = 40;

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
    let shelf = Shelf::new(colours, stock, asked.shelf, watch)?;
    let sought = Sought::new(&shelf, stock, asked);
    let kept = sought.kept(colours, watch)?;
    let (tried, all) = (shelf.each, stock.paints().len());
    let screened = (tried < all).then_some(Remark::Screened { tried, all });
    let mut found = Vec::new();
    for (&colour, kept) in colours.iter().zip(&kept) {
        let judge = Judge { stock, shelf: &shelf.places, sought: &sought, wanted: Lab::from(colour) };
        let mut recipes = judge.recipes(colour, kept, asked);
        for recipe in &mut recipes {
            recipe.notes.extend(screened);
            recipe.notes.extend((recipe.difference > asked.tolerance).then_some(Remark::OutOfReach));
        }
        found.push(recipes);
        watch.check(1.0)?;
    }
    Ok(found)
}

/// Gives one recipe for each colour: the maker's own where there is one, else the best.
///
/// # Errors
/// [`Error::Argument`] when a recipe of the maker's is for none of the colours, and as [`mix`].
pub fn recipes(
    colours: &[Rgb],
    pinned: &[Recipe],
    stock: &Stock,
    asked: &Mixing,
    watch: &dyn Watch,
) -> Result<Vec<Recipe>> {
    if let Some(stray) = pinned.iter().find(|recipe| !colours.contains(&recipe.target)) {
        let (must, got) = ("for one of the colours".into(), stray.target.to_string());
        return Err(Error::Argument { name: "pinned", must, got });
    }
    let own = |colour: Rgb| pinned.iter().find(|recipe| recipe.target == colour);
    let open: Vec<Rgb> = colours.iter().copied().filter(|&colour| own(colour).is_none()).collect();
    let mut found = mix(&open, stock, asked, watch)?.into_iter();
    let recipe = |&colour: &Rgb| own(colour).cloned().or_else(|| found.next()?.into_iter().next());
    Ok(colours.iter().filter_map(recipe).collect())
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
    let shelf = Shelf::new(&[colour], stock, asked.shelf, watch)?;
    let mut sought = Sought::new(&shelf, stock, asked);
    let place = shelf.places.len();
    sought.optics.push(pot);
    sought.serves.push(u64::MAX);
    sought.with = u16::try_from(place).ok();
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
        (pot, added.into_iter().map(|(place, parts)| (shelf.places[place], parts)).collect())
    }))
}

/// Mixtures that are to be looked through.
struct Sought<'a> {
    optics: Vec<&'a Optics>,
    /// One bit for each colour that a paint may serve; paints are mixed that have one in common.
    serves: Vec<u64>,
    surface: Surface,
    asked: &'a Mixing,
    /// A paint that every mixture must hold.
    with: Option<u16>,
    /// Whether everything within the tolerance is wanted, and not the best alone.
    every: bool,
}

impl<'a> Sought<'a> {
    /// Looks through the mixtures of the paints on a shelf.
    fn new(shelf: &Shelf, stock: &'a Stock, asked: &'a Mixing) -> Self {
        let optics = shelf.places.iter().map(|&place| &stock.optics()[place]).collect();
        Self {
            optics,
            serves: shelf.serves.clone(),
            surface: stock.surface(),
            asked,
            with: None,
            every: false,
        }
    }

    /// Gives for each colour the mixtures that could be the best.
    fn kept(&self, colours: &[Rgb], watch: &dyn Watch) -> Result<Vec<Vec<Candidate>>> {
        let glances: Vec<Glance> =
            self.optics.iter().map(|optics| Glance::new(optics, self.surface)).collect();
        let most = self.asked.max_paints.min(glances.len());
        let wanted = colours.iter().map(|&colour| Lab::from(colour));
        let mut targets = Targets::new(wanted, self.asked.tolerance, self.every);
        for count in 1..=most {
            self.sweep(&glances, count, &mut targets, watch)?;
        }
        Ok(targets.kept().collect())
    }

    /// Looks at all mixtures of so many paints.
    fn sweep(
        &self,
        glances: &[Glance],
        count: usize,
        targets: &mut Targets,
        watch: &dyn Watch,
    ) -> Result<()> {
        let paints = u16::try_from(glances.len()).unwrap_or(u16::MAX);
        let ratios = Ratios::new(count, self.asked.max_parts[count - 1]);
        let mut chosen = [0, 1, 2, 3];
        loop {
            let serve =
                chosen[..count].iter().fold(u64::MAX, |all, &paint| all & self.serves[usize::from(paint)]);
            if serve > 0 && self.with.is_none_or(|paint| chosen[..count].contains(&paint)) {
                targets.look(glances, chosen, &ratios);
            }
            if !advance(&mut chosen[..count], paints) {
                return Ok(());
            }
            if count < 2 || chosen[count - 1] == chosen[count - 2] + 1 {
                watch.check(0.9 * f32::from(chosen[0]) / f32::from(paints))?;
            }
        }
    }

    fn mixture(&self, candidate: &Candidate) -> Lab {
        let parts = candidate.chosen().map(|(place, parts)| (self.optics[place], f64::from(parts)));
        Optics::mixed(parts).spectrum(self.surface).lab()
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

    fn recipes(&self, colour: Rgb, kept: &[Candidate], asked: &Mixing) -> Vec<Recipe> {
        let mut judged: Vec<Judged> = kept.iter().map(|candidate| self.judged(candidate)).collect();
        judged.sort_by(Judged::order);
        let Some(best) = judged.first().cloned() else { return Vec::new() };
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
        let mut recipes: Vec<Recipe> = offered.into_iter().map(recipe).collect();
        let simpler = self.simpler(&judged, asked);
        let simpler = simpler.into_iter().filter(|each| each.chosen != best.chosen);
        recipes[0].alternatives = simpler.map(|each| recipe(&each)).collect();
        recipes
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
