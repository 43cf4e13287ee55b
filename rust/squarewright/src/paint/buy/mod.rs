//! Which paints to buy: the cheapest set that makes every colour within the tolerance.

mod smallest;

use serde::Serialize;

use self::smallest::{Choice, Smallest, smallest};
use super::paint::Paint;
use super::recipe::Recipe;
use super::search::{Mixing, bucket, mix, supports};
use super::stock::Stock;
use crate::colour::Rgb;
use crate::fault::{Result, Watch};

/// How far the search goes before it gives the best set so far, unproven.
const NODES: usize = 200_000;

/// How a set of paints was weighed against another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Weighed {
    /// By what the bottles cost.
    Price,
    /// By how many bottles there are, as a price is missing.
    Bottles,
}

/// What to buy and what it makes.
#[derive(Debug, Clone, PartialEq)]
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
/// As [`mix`].
pub fn buy(colours: &[Rgb], stock: &Stock, asked: &Mixing, watch: &dyn Watch) -> Result<Purchase> {
    buy_within(colours, stock, asked, NODES, watch)
}

pub(super) fn buy_within(
    colours: &[Rgb],
    stock: &Stock,
    asked: &Mixing,
    nodes: usize,
    watch: &dyn Watch,
) -> Result<Purchase> {
    let (shelf, found) = supports(colours, stock, asked, watch)?;
    let open: Vec<usize> = (0..colours.len()).filter(|&place| !found[place].is_empty()).collect();
    let choices: Vec<Vec<Choice>> = open.iter().map(|&place| found[place].clone()).collect();
    let (costs, weighed) = costs(stock, &shelf);
    let Smallest { paints, proven } = smallest(&costs, &choices, nodes);
    let bought = |&(at, &place): &(usize, &usize)| paints >> at & 1 == 1 && !stock.paints()[place].owned;
    let mut bought: Vec<usize> = shelf.iter().enumerate().filter(bought).map(|(_, &place)| place).collect();
    bought.sort_unstable();
    let at_hand = (0..stock.paints().len()).filter(|&place| stock.paints()[place].owned || bought.contains(&place));
    let kept: Vec<Paint> = at_hand.map(|place| stock.paints()[place].clone()).collect();
    let pick = |wanted: &dyn Fn(usize) -> bool| -> Vec<Rgb> {
        (0..colours.len()).filter(|&place| wanted(place)).map(|place| colours[place]).collect()
    };
    let nearest = |colours: Vec<Rgb>, stock: &Stock| -> Result<Vec<Recipe>> {
        let found = if colours.is_empty() { Vec::new() } else { mix(&colours, stock, asked, watch)? };
        Ok(found.into_iter().filter_map(|recipes| recipes.into_iter().next()).collect())
    };
    let reachable = pick(&|place| !found[place].is_empty());
    let recipes = if reachable.is_empty() { Vec::new() } else { nearest(reachable, &Stock::new(kept)?)? };
    let unreachable = nearest(pick(&|place| found[place].is_empty()), stock)?;
    let paints = bought.into_iter().map(|place| stock.paints()[place].clone()).collect();
    Ok(Purchase { paints, recipes, unreachable, proven, weighed })
}

/// Gives what each paint of the shelf costs; paints at hand cost nothing.
fn costs(stock: &Stock, shelf: &[usize]) -> (Vec<u64>, Weighed) {
    let on_sale = |&place: &usize| Some(&stock.paints()[place]).filter(|paint| !paint.owned);
    let priced = shelf.iter().filter_map(on_sale).all(|paint| paint.price.is_some());
    let weighed = if priced { Weighed::Price } else { Weighed::Bottles };
    let cost = |paint: &Paint| match &paint.price {
        Some(price) if priced => price.hundredths(),
        _ => 1,
    };
    (shelf.iter().map(|place| on_sale(place).map_or(0, cost)).collect(), weighed)
}
