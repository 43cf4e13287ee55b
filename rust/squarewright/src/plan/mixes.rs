//! How the colours of a figure are mixed.

use serde::{Deserialize, Serialize};

use super::Plan;
use crate::colour::Rgb;
use crate::fault::{Error, Result, Watch};
use crate::paint::{Mixing, Recipe, Step, Stock, pot, recipes};
use crate::palette::ramps;

/// The recipes of a figure.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Mixes {
    /// One for each colour that is painted, in the order of the codes.
    pub recipes: Vec<Recipe>,
    /// The shades of each family in one pot, light to dark, where that saves a new one.
    pub pots: Vec<Vec<Step>>,
    /// Whether the paints are typical ones and no real bottles.
    pub typical: bool,
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
        let ground = self.making().ground;
        let painted = self.tally().iter().map(|tally| tally.colour).filter(|&colour| !self.is_raw(colour));
        let mut colours: Vec<Rgb> = painted.collect();
        colours.extend(ground.filter(|colour| !colours.contains(colour)));
        let recipes = recipes(&colours, pinned, stock, asked, watch)?;
        let mut pots = Vec::new();
        for ramp in ramps(&colours).into_iter().filter(|ramp| ramp.shades.len() > 1) {
            let shades: Vec<Recipe> = ramp.shades.iter().map(|&place| recipes[place].clone()).collect();
            let steps = pot(&shades, stock, asked, watch)?;
            pots.extend(steps.iter().any(|step| step.pot > 0).then_some(steps));
        }
        Ok(self.with_mixes(Mixes { recipes, pots, typical: stock.is_typical() }))
    }
}
