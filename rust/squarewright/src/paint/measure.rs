//! By what paint is counted out: what a hand can count.

use serde::{Deserialize, Serialize};

/// A measure for parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// Drops from bottle or pipette.
    Drop,
    /// A quarter of a teaspoon, 1.25 ml.
    QuarterTeaspoon,
    /// A teaspoon, 5 ml.
    Teaspoon,
    /// Tenths of a millilitre, by a syringe without needle.
    Tenth,
    /// Millilitres, by a syringe without needle or a medicine cup.
    Millilitre,
}

impl Measure {
    /// More drops than this in one jar are a nuisance to count.
    pub const DROPS: u32 = 40;
    /// More spoons than this in one jar are too.
    const SPOONS: u32 = 12;
    /// How much more may be mixed than is needed, so that spoons can be used.
    const SPARE: f64 = 1.3;

    /// Gives the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Drop => "drop",
            Self::QuarterTeaspoon => "quarter teaspoon",
            Self::Teaspoon => "teaspoon",
            Self::Tenth => "tenth of a millilitre",
            Self::Millilitre => "millilitre",
        }
    }

    /// Gives how many millilitres it holds.
    pub fn ml(self, drop_ml: f64) -> f64 {
        match self {
            Self::Drop => drop_ml,
            Self::QuarterTeaspoon => 1.25,
            Self::Teaspoon => 5.0,
            Self::Tenth => 0.1,
            Self::Millilitre => 1.0,
        }
    }

    /// Chooses how to count out a volume in so many parts, and how many measures make a part: drops up to
    /// [`Measure::DROPS`], else spoons where these are few and waste little, else a syringe.
    pub fn choose(ml: f64, parts: u32, drop_ml: f64) -> (Self, u32) {
        let times = |measure: Self| whole(ml / (measure.ml(drop_ml) * f64::from(parts)));
        let drops = times(Self::Drop);
        if drops.saturating_mul(parts) <= Self::DROPS {
            return (Self::Drop, drops);
        }
        let handy = |measure: Self| {
            let times = times(measure);
            let mixed = measure.ml(drop_ml) * f64::from(times) * f64::from(parts);
            (times.saturating_mul(parts) <= Self::SPOONS && mixed <= Self::SPARE * ml)
                .then_some((measure, times))
        };
        let spoons = [Self::QuarterTeaspoon, Self::Teaspoon].into_iter().find_map(handy);
        spoons.unwrap_or_else(|| {
            let coarse = times(Self::Millilitre);
            let mixed = f64::from(coarse) * f64::from(parts);
            if mixed <= Self::SPARE * ml {
                (Self::Millilitre, coarse)
            } else {
                (Self::Tenth, times(Self::Tenth))
            }
        })
    }
}

/// Rounds up to a whole number of 1 or more; a millionth too much is no next one.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "measures are counted")]
fn whole(times: f64) -> u32 {
    (times - 1e-6).ceil().max(1.0) as u32
}
