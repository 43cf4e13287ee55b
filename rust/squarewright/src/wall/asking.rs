//! What is asked of a wall.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::{Pack, Room, Sight, Spacing, WallPlan};
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::length::Ratio;
use crate::paint::{Amounting, Recipe, Stock};
use crate::panel::Panel;

/// What is left of earlier work.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Left {
    /// Opened bottles: the paint, and its millilitres.
    pub bottles: Vec<(String, f64)>,
    /// Mixes: the colour, and its millilitres.
    pub mixes: Vec<(Rgb, f64)>,
}

/// A figure that could not be planned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fault {
    /// Which figure.
    pub name: String,
    /// The stable name of what is wrong.
    pub code: String,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub hint: String,
}

/// What is asked of a wall besides its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Asking {
    /// The name that the pages bear.
    pub name: String,
    /// Every board, as measured.
    pub panel: Panel,
    /// How figures lie on boards that they share.
    pub spacing: Spacing,
    /// The wall on which figures hang; none when places are not asked for.
    pub room: Option<Room>,
    /// From where the wall is looked at.
    pub sight: Sight,
    /// How panels are sold.
    pub pack: Pack,
    /// Hours at work on one day.
    pub hours: f64,
    /// What is left of earlier work.
    pub left: Left,
    /// The pitch of the whole wall; none where each figure has its own.
    pub pitch: Option<Ratio>,
    /// The wall as it was planned before, with what is done of it: what was begun stays on its board, and what
    /// hangs stays where it is.
    pub earlier: Option<Arc<WallPlan>>,
    /// The paints; none when nothing is mixed.
    pub stock: Option<Stock>,
    /// Recipes of the maker's own.
    pub pinned: Vec<Recipe>,
    /// The numbers behind the jars.
    pub amounting: Amounting,
    /// Figures that could not be planned.
    pub faults: Vec<Fault>,
    /// On how many threads figures are planned; it changes nothing but the time.
    pub threads: usize,
}

impl Asking {
    /// The hours of a day at the bench, when nothing else is said (judgement).
    pub const HOURS: f64 = 3.0;

    /// Asks for everything as usual.
    pub fn usual(panel: Panel) -> Self {
        Self {
            name: "wall".into(),
            panel,
            spacing: Spacing::default(),
            room: None,
            sight: Sight::default(),
            pack: Pack::default(),
            hours: Self::HOURS,
            left: Left::default(),
            pitch: None,
            earlier: None,
            stock: None,
            pinned: Vec::new(),
            amounting: Amounting::default(),
            faults: Vec::new(),
            threads: 1,
        }
    }

    /// Passes what a wall can be planned by.
    ///
    /// # Errors
    /// As [`Spacing::checked`], [`Sight::checked`] and [`Pack::checked`]; [`Error::Argument`] for hours outside
    /// 1/4 to 24, for what is left of a paint that the stock does not hold, or less than nothing, and when
    /// panels and paints are sold in different currencies.
    pub(super) fn checked(mut self) -> Result<Self> {
        self.spacing = self.spacing.checked(self.panel)?;
        self.sight = self.sight.checked()?;
        self.pack = self.pack.checked(self.panel)?;
        let bad = |name, must: &str, got| Err(Error::Argument { name, must: must.into(), got });
        if !(0.25..=24.0).contains(&self.hours) {
            return bad("hours", "1/4 to 24 hours a day", self.hours.to_string());
        }
        for (name, ml) in &mut self.left.bottles {
            if let Some(stock) = &self.stock {
                // As the stock writes it.
                name.clone_from(&stock.paints()[stock.find(name)?].name);
            }
            if !(*ml >= 0.0 && ml.is_finite()) {
                return bad("left", "millilitres of zero or more", format!("{ml} of {name}"));
            }
        }
        if let Some((colour, ml)) = self.left.mixes.iter().find(|(_, ml)| !(*ml >= 0.0 && ml.is_finite())) {
            return bad("left", "millilitres of zero or more", format!("{ml} of {colour}"));
        }
        let paints = self.stock.iter().flat_map(Stock::paints);
        let sold = paints.filter_map(|paint| paint.price.as_ref()).find(|price| !price.currency.is_empty());
        let Some(currency) = sold.map(|price| price.currency.clone()) else { return Ok(self) };
        if self.pack.currency.is_empty() {
            self.pack.currency = currency;
        } else if self.pack.price.is_some() && self.pack.currency != currency {
            let must = format!("{currency:?}, as the prices of the paints are");
            return bad("currency", &must, format!("{:?}", self.pack.currency));
        }
        Ok(self)
    }
}
