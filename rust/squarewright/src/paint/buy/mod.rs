//! Which paints to buy: the cheapest set that makes every colour within the tolerance.

mod smallest;

use std::cmp::Reverse;
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use self::smallest::{Choice, Set, Smallest, smallest};
use super::paint::Paint;
use super::recipe::Recipe;
use super::search::{Mixing, Way, bucket, recipes, ways};
use super::stock::Stock;
use crate::colour::Rgb;
use crate::fault::{Result, Watch};

/// How far the search goes before it gives the best set so far, unproven.
const NODES: usize = 200_000;

/// How a set of paints was weighed against another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Weighed {
    /// By what the bottles cost.
    Price,
    /// By how many bottles there are, as a price is missing.
    Bottles,
}

/// What to buy and what it makes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Purchase {
    /// The paints to buy, in the order of the stock.
    pub paints: Vec<Paint>,
    /// A recipe for each colour, in the order of the colours, out of what is bought or at hand.
    pub recipes: Vec<Recipe>,
    /// The recipes of the colours that nothing in the whole stock comes near enough to: the nearest there is.
    pub unreachable: Vec<Recipe>,
    /// Whether no cheaper set can be.
    pub proven: bool,
    /// How sets were weighed.
    pub weighed: Weighed,
}

impl Purchase {
    /// Adds up what one bottle of each costs, when every price is known, in hundredths.
    pub fn cost(&self) -> Option<u64> {
        self.paints.iter().map(|paint| Some(paint.price.as_ref()?.hundredths())).sum()
    }

    /// Gives the currency of the prices.
    pub fn currency(&self) -> &str {
        self.paints.iter().find_map(|paint| paint.price.as_ref()).map_or("", |price| &price.currency)
    }
}

/// Finds the cheapest paints to buy for colours; paints at hand cost nothing.
///
/// Of sets that cost the same the one is taken whose recipes come nearest. Without a price for every paint on
/// sale the fewest bottles are sought.
///
/// # Errors
/// As [`mix`](super::mix).
pub fn buy(colours: &[Rgb], stock: &Stock, asked: &Mixing, watch: &dyn Watch) -> Result<Purchase> {
    buy_within(colours, stock, asked, NODES, watch)
}

/// Paints that are weighed against each other at the most.
const MOST: usize = 128;

fn buy_within(
    colours: &[Rgb],
    stock: &Stock,
    asked: &Mixing,
    nodes: usize,
    watch: &dyn Watch,
) -> Result<Purchase> {
    let found = ways(colours, stock, asked, watch)?;
    let (shelf, all) = shelf(&found);
    let choices: Vec<Vec<Choice>> =
        found.iter().map(|ways| choices(ways, &shelf)).filter(|choices| !choices.is_empty()).collect();
    let (costs, weighed) = costs(stock, &shelf);
    let Smallest { paints, proven } = smallest(&costs, &choices, nodes);
    let is_bought = |place: usize| {
        let at = shelf.binary_search(&place).ok();
        !stock.paints()[place].owned && at.is_some_and(|at| paints >> at & 1 == 1)
    };
    let pick = |reached: bool| -> Vec<Rgb> {
        let wanted = colours.iter().zip(&found).filter(|(_, ways)| ways.is_empty() != reached);
        wanted.map(|(&colour, _)| colour).collect()
    };
    let (reached, missed) = (pick(true), pick(false));
    let made = if reached.is_empty() {
        Vec::new()
    } else {
        let kept = stock.only(|place| stock.paints()[place].owned || is_bought(place))?;
        recipes(&reached, &[], &kept, asked, watch)?
    };
    let unreachable = recipes(&missed, &[], stock, asked, watch)?;
    let bought = (0..stock.paints().len()).filter(|&place| is_bought(place));
    let paints = bought.map(|place| stock.paints()[place].clone()).collect();
    Ok(Purchase { paints, recipes: made, unreachable, proven: proven && all, weighed })
}

/// Lists the paints that some way needs, in order; says whether that is all of them.
fn shelf(found: &[Vec<Way>]) -> (Vec<usize>, bool) {
    let mut uses: BTreeMap<usize, usize> = BTreeMap::new();
    for &(place, _) in found.iter().flatten().flat_map(|way| &way.parts) {
        *uses.entry(place).or_default() += 1;
    }
    let all = uses.len() <= MOST;
    let mut often: Vec<(usize, usize)> = uses.into_iter().collect();
    often.sort_by_key(|&(place, uses)| (Reverse(uses), place));
    let mut shelf: Vec<usize> = often.into_iter().take(MOST).map(|(place, _)| place).collect();
    shelf.sort_unstable();
    (shelf, all)
}

/// Gives ways as sets of the shelf; those with a paint that does not stand there are left out.
fn choices(ways: &[Way], shelf: &[usize]) -> Vec<Choice> {
    let choice = |way: &Way| {
        let at = |&(place, _): &(usize, u32)| shelf.binary_search(&place).ok();
        let paints = way.parts.iter().try_fold(0, |set: Set, part| Some(set | 1 << at(part)?))?;
        Some(Choice { paints, difference: way.difference, bucket: bucket(way.difference) })
    };
    ways.iter().filter_map(choice).collect()
}

/// Gives what each paint of the shelf costs; paints at hand cost nothing.
fn costs(stock: &Stock, shelf: &[usize]) -> (Vec<u64>, Weighed) {
    let on_sale = |&place: &usize| Some(&stock.paints()[place]).filter(|paint| !paint.owned);
    let priced = shelf.iter().filter_map(on_sale).all(|paint| paint.price.is_some());
    let cost = |paint: &Paint| match &paint.price {
        Some(price) if priced => price.hundredths(),
        _ => 1,
    };
    let costs = shelf.iter().map(|place| on_sale(place).map_or(0, cost)).collect();
    (costs, if priced { Weighed::Price } else { Weighed::Bottles })
}
