//! A bottle of paint: what is known of it, and how it takes and throws back light.

use serde::{Deserialize, Serialize};

use super::calibrate::strength_from;
use super::mixture::{Optics, Surface, absorption_of};
use crate::colour::{BANDS, Rgb, Spectrum};
use crate::fault::{Result, StockFault};

/// How well a paint covers what is under it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Opacity {
    /// Nothing shows through; such paint often holds white already.
    Opaque,
    /// A little shows through.
    Half,
    /// Much shows through.
    Transparent,
}

impl Opacity {
    /// All words for it.
    pub const ALL: [(&'static str, Self); 3] =
        [("opaque", Self::Opaque), ("half", Self::Half), ("transparent", Self::Transparent)];

    /// Gives the word for it.
    pub fn word(self) -> &'static str {
        Self::ALL.into_iter().find(|&(_, opacity)| opacity == self).map_or("", |(word, _)| word)
    }
}

/// What a bottle costs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Price {
    /// How much, above zero or zero.
    pub amount: f64,
    /// Of what, as it is written: "EUR", "$"; empty when that is not said.
    pub currency: String,
}

impl Price {
    /// Gives it in hundredths: cents, pence.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a price is zero or more")]
    pub fn hundredths(&self) -> u64 {
        (self.amount * 100.0).round() as u64
    }
}

/// A second swatch: the paint mixed into white, painted and dried.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Tint {
    /// The colour of the mix.
    pub colour: Rgb,
    /// How much of it is this paint, above 0 and below 1.
    pub share: f64,
    /// The colour of the white.
    pub white: Rgb,
}

/// How much is known of a paint; more is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Level {
    /// Its colour.
    Swatch,
    /// Its colour and how strongly it tints.
    Strength,
    /// Its colour and that of a tint.
    Tint,
}

/// A paint, owned or on sale.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Paint {
    /// Its name, one of a kind in a stock.
    pub name: String,
    /// The colour of a dry, covering layer.
    pub colour: Rgb,
    /// Whether it is at hand; else it is on sale.
    pub owned: bool,
    /// What the bottle holds, in millilitres.
    pub ml: Option<f64>,
    /// What the bottle costs.
    pub price: Option<Price>,
    /// How well it covers.
    pub opacity: Option<Opacity>,
    /// How strongly it tints, where white has 1.
    pub strength: Option<f64>,
    /// A second swatch.
    pub tint: Option<Tint>,
}

impl Paint {
    /// The strongest that a paint is taken for.
    pub const STRONGEST: f64 = 1e9;

    /// Makes an owned paint of which the colour alone is known.
    pub fn new(name: impl Into<String>, colour: Rgb) -> Self {
        let name = name.into();
        Self { name, colour, owned: true, ml: None, price: None, opacity: None, strength: None, tint: None }
    }

    /// Tells how much is known of it.
    pub fn level(&self) -> Level {
        match (self.tint, self.strength) {
            (Some(_), _) => Level::Tint,
            (None, Some(_)) => Level::Strength,
            (None, None) => Level::Swatch,
        }
    }

    /// Gives what a millilitre costs, when that is known.
    pub fn price_per_ml(&self) -> Option<f64> {
        Some(self.price.as_ref()?.amount / self.ml?)
    }

    /// Finds what is wrong with it, for a place such as "row 3".
    ///
    /// # Errors
    /// [`StockFault::Amount`] for a number that cannot be, [`StockFault::Column`] for no name.
    pub fn check(&self, place: &str) -> Result<()> {
        if self.name.trim().is_empty() {
            let (place, what) = (format!("{place}, column name"), "the paint has no name".into());
            return Err(StockFault::Column { place, what }.into());
        }
        let above_zero = |value: f64| value.is_finite() && value > 0.0;
        let strong = |value: f64| above_zero(value) && value <= Self::STRONGEST;
        let share = self.tint.map(|tint| tint.share);
        let price = self.price.as_ref().map(|price| price.amount);
        amount(place, "ml", "a volume above zero", self.ml, above_zero)?;
        amount(place, "strength", "a strength above zero", self.strength, strong)?;
        amount(place, "share", "a share between 0 and 1", share, |value| value > 0.0 && value < 1.0)?;
        amount(place, "price", "a price", price, |value| value.is_finite() && value >= 0.0)
    }

    /// Works out how it takes and throws back light under such a surface; see [`Optics`].
    pub fn optics(&self, surface: Surface) -> Optics {
        let absorption = |colour: Rgb| absorption(colour, surface);
        let pure = absorption(self.colour);
        let Some(Tint { colour, share, white }) = self.tint else {
            return Optics::even(&pure, self.strength.unwrap_or(1.0));
        };
        let (mixed, white) = (absorption(colour), absorption(white));
        let even = || strength_from((&pure, &white), share, colour, surface);
        Optics::from_tint((&pure, &mixed, &white), share, self.strength.unwrap_or_else(even))
    }
}

/// Gives K/S in each band of a covering layer of this colour under such a surface.
pub(super) fn absorption(colour: Rgb, surface: Surface) -> [f64; BANDS] {
    Spectrum::from(colour).0.map(|seen| absorption_of(surface.inside(seen)))
}

fn amount(
    place: &str,
    column: &str,
    must: &'static str,
    value: Option<f64>,
    fits: impl Fn(f64) -> bool,
) -> Result<()> {
    match value {
        Some(value) if !fits(value) => {
            let place = format!("{place}, column {column}");
            Err(StockFault::Amount { place, must, got: value.to_string() }.into())
        }
        _ => Ok(()),
    }
}
