//! How the colours of a figure are mixed.

use serde::{Deserialize, Serialize};

use super::{Ending, Plan};
use crate::colour::Rgb;
use crate::fault::{Error, Result, Watch};
use crate::outline::{EdgeColour, edges};
use crate::paint::{Ground, Mixing, Recipe, Step, Stock, grounds, pot, recipes};
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
        let grounds = self.grounds(stock)?;
        Ok(self.with_mixes(Mixes { recipes, pots, grounds, typical: stock.is_typical() }))
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
