//! How the colours of a figure are mixed.

use serde::{Deserialize, Serialize};

use super::{Ending, Plan};
use crate::colour::Rgb;
use crate::fault::{Error, Result, Watch};
use crate::outline::{EdgeColour, edges};
use crate::paint::{Ground, Mixing, Purchase, Recipe, Step, Stock, Weighed, buy, grounds, pot, recipes};
use crate::palette::ramps;

/// The recipes of a figure.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Mixes {
    /// One for each colour that is painted, in the order of the codes.
    pub recipes: Vec<Recipe>,
    /// The shades of each family in one pot, light to dark, where that saves a new one.
    pub pots: Vec<Vec<Step>>,
    /// Grounds worth a try, when that of a whole square is still open.
    #[serde(default)]
    pub grounds: Vec<Ground>,
    /// How the paints to buy were chosen, if any are.
    #[serde(default)]
    pub bought: Option<Bought>,
    /// Whether the paints are typical ones and no real bottles.
    pub typical: bool,
}

/// How the paints to buy were chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bought {
    /// Whether no cheaper set can be.
    pub proven: bool,
    /// How sets were weighed.
    pub weighed: Weighed,
}

/// The paints that colours are mixed from, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// What is at hand, what the maker's own recipes need and the cheapest to buy with them.
    pub stock: Stock,
    /// A recipe for each colour, in their order.
    pub recipes: Vec<Recipe>,
    /// How the paints to buy were chosen, if any are.
    pub bought: Option<Bought>,
}

impl Supply {
    /// Chooses paints out of a stock and finds recipes for colours; those of the maker stay as they are.
    ///
    /// # Errors
    /// As [`mix`](crate::paint::mix).
    pub fn of(
        colours: &[Rgb],
        pinned: &[Recipe],
        stock: &Stock,
        asked: &Mixing,
        watch: &dyn Watch,
    ) -> Result<Self> {
        let (stock, bought) = chosen(colours, pinned, stock, asked, watch)?;
        let recipes = recipes(colours, pinned, &stock, asked, watch)?;
        Ok(Self { stock, recipes, bought })
    }
}

fn chosen(
    colours: &[Rgb],
    pinned: &[Recipe],
    stock: &Stock,
    asked: &Mixing,
    watch: &dyn Watch,
) -> Result<(Stock, Option<Bought>)> {
    let on_sale = |place: usize| !stock.paints()[place].owned;
    if !(0..stock.paints().len()).any(on_sale) {
        return Ok((stock.clone(), None));
    }
    let held = |name: &str| pinned.iter().flat_map(|recipe| &recipe.parts).any(|part| part.paint == name);
    let pinned_for = |colour: &Rgb| pinned.iter().any(|recipe| recipe.target == *colour);
    let open: Vec<Rgb> = colours.iter().copied().filter(|colour| !pinned_for(colour)).collect();
    let Purchase { paints, proven, weighed, .. } = buy(&open, &stock.holding(held), asked, watch)?;
    let is_kept = |place: usize| {
        let paint = &stock.paints()[place];
        paint.owned || held(&paint.name) || paints.iter().any(|bought| bought.name == paint.name)
    };
    // A stock of which nothing is needed still offers what comes nearest.
    let kept = stock.only(is_kept).unwrap_or_else(|_| stock.clone());
    Ok((kept, Some(Bought { proven, weighed })))
}

impl Mixes {
    /// Finds the recipe for a colour.
    pub fn recipe(&self, colour: Rgb) -> Option<&Recipe> {
        self.recipes.iter().find(|recipe| recipe.target == colour)
    }
}

impl Plan {
    /// Finds a recipe for each painted colour, when there is a stock; those of the maker stay as they are.
    ///
    /// # Errors
    /// [`Error::Argument`] when a recipe of the maker is for no colour of the figure or comes without a stock,
    /// and as [`mix`](crate::paint::mix).
    pub fn mixed(
        self,
        stock: Option<&Stock>,
        pinned: &[Recipe],
        asked: &Mixing,
        watch: &dyn Watch,
    ) -> Result<Self> {
        let Some(stock) = stock else {
            let (must, got) = ("given with a stock".into(), "no stock".into());
            return if pinned.is_empty() {
                Ok(self)
            } else {
                Err(Error::Argument { name: "pinned", must, got })
            };
        };
        let supply = Supply::of(&self.mixed_colours(), pinned, stock, asked, watch)?;
        self.mixed_from(&supply, asked, watch)
    }

    /// Lists the colours that are mixed: those of the cells that are painted, and the ground.
    pub fn mixed_colours(&self) -> Vec<Rgb> {
        let painted = self.tally().iter().map(|tally| tally.colour).filter(|&colour| !self.is_raw(colour));
        let mut colours: Vec<Rgb> = painted.collect();
        colours.extend(self.making().ground.filter(|colour| !colours.contains(colour)));
        colours
    }

    /// Takes the recipes for its colours from a supply that holds them all, and finds what fits one pot.
    ///
    /// # Errors
    /// [`Error::Argument`] when a recipe is missing, and as [`pot`].
    pub fn mixed_from(self, supply: &Supply, asked: &Mixing, watch: &dyn Watch) -> Result<Self> {
        let colours = self.mixed_colours();
        let find = |colour: &Rgb| {
            let found = supply.recipes.iter().find(|recipe| recipe.target == *colour);
            let (must, got) = ("recipes for all colours".to_owned(), colour.to_string());
            found.cloned().ok_or(Error::Argument { name: "recipes", must, got })
        };
        let recipes: Vec<Recipe> = colours.iter().map(find).collect::<Result<_>>()?;
        let stock = &supply.stock;
        let mut pots = Vec::new();
        for ramp in ramps(&colours).into_iter().filter(|ramp| ramp.shades.len() > 1) {
            let shades: Vec<Recipe> = ramp.shades.iter().map(|&place| recipes[place].clone()).collect();
            let steps = pot(&shades, stock, asked, watch)?;
            pots.extend(steps.iter().any(|step| step.pot > 0).then_some(steps));
        }
        let (grounds, bought, typical) = (self.grounds(stock)?, supply.bought, stock.is_typical());
        Ok(self.with_mixes(Mixes { recipes, pots, grounds, bought, typical }))
    }

    /// Suggests grounds for a whole square that has none yet.
    fn grounds(&self, stock: &Stock) -> Result<Vec<Ground>> {
        if self.making().ending != Ending::WholeSquare || self.making().ground.is_some() {
            return Ok(Vec::new());
        }
        let open = edges(self.grid(), &[], EdgeColour::Own);
        let figure: Vec<(Rgb, usize)> =
            self.tally().iter().map(|tally| (tally.colour, tally.cells)).collect();
        let border = self.tally().iter().filter(|tally| open[tally.index] > 0);
        let border: Vec<Rgb> = border.map(|tally| tally.colour).collect();
        grounds(&figure, &border, stock)
    }
}
