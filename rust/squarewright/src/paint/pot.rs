//! Shades of one family mixed in one pot: the lightest first, then darker paint into what is left.

use serde::{Deserialize, Serialize};

use super::mixture::{Blend, Optics};
use super::recipe::{Part, Recipe};
use super::search::{Mixing, from_pot};
use super::stock::Stock;
use crate::colour::{Lab, Rgb, ciede2000};
use crate::fault::{Result, Watch};

/// A shade on the way from light to dark.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// The colour that is wanted.
    pub target: Rgb,
    /// How many parts of what is in the pot are taken; 0 begins a new pot.
    pub pot: u32,
    /// What is added to them, the most first.
    pub added: Vec<Part>,
    /// What this is predicted to make.
    #[serde(flatten)]
    pub blend: Blend,
    /// How far that is from the wanted colour, CIEDE2000.
    pub difference: f64,
}

/// What is in the pot: the paints and their shares of one part.
struct Pot {
    optics: Optics,
    shares: Vec<(usize, f64)>,
}

impl Pot {
    fn new(shares: Vec<(usize, f64)>, stock: &Stock) -> Self {
        let parts = shares.iter().map(|&(place, amount)| (&stock.optics()[place], amount));
        Self { optics: Optics::mixed(parts), shares }
    }

    fn with(&self, parts: u32, added: &[(usize, u32)], stock: &Stock) -> Self {
        let total: f64 = f64::from(parts) + added.iter().map(|&(_, amount)| f64::from(amount)).sum::<f64>();
        let mut shares: Vec<(usize, f64)> =
            self.shares.iter().map(|&(place, share)| (place, share * f64::from(parts) / total)).collect();
        for &(place, amount) in added {
            let more = f64::from(amount) / total;
            match shares.iter_mut().find(|(other, _)| *other == place) {
                Some((_, share)) => *share += more,
                None => shares.push((place, more)),
            }
        }
        Self::new(shares, stock)
    }
}

/// Mixes the colours of some recipes from the lightest to the darkest, each out of the pot of the one before
/// where that comes within the tolerance, or as near as its own recipe; a new pot is begun where it does not.
///
/// A recipe of the maker's own is followed as it is, and what comes after it goes on from its pot.
///
/// # Errors
/// [`Error::Argument`](crate::fault::Error::Argument) for a paint that is not in the stock, and as
/// [`mix`](super::mix).
pub fn pot(recipes: &[Recipe], stock: &Stock, asked: &Mixing, watch: &dyn Watch) -> Result<Vec<Step>> {
    let mut recipes: Vec<&Recipe> = recipes.iter().collect();
    let lightness = |recipe: &Recipe| Lab::from(recipe.target).l;
    recipes.sort_by(|one, other| {
        lightness(other).total_cmp(&lightness(one)).then(one.target.cmp(&other.target))
    });
    let mut steps = Vec::new();
    let mut before: Option<Pot> = None;
    for own in recipes {
        let enough = own.difference.max(asked.tolerance);
        let pot = before.filter(|_| !own.pinned);
        let next = pot.map(|pot| onward(own.target, &pot, stock, asked, watch)).transpose()?.flatten();
        let (step, after) = match next {
            Some(next) if next.0.difference <= enough => next,
            _ => begun(own, stock)?,
        };
        steps.push(step);
        before = Some(after);
    }
    Ok(steps)
}

/// Goes on with what is in the pot, when some of it can be used.
fn onward(
    colour: Rgb,
    pot: &Pot,
    stock: &Stock,
    asked: &Mixing,
    watch: &dyn Watch,
) -> Result<Option<(Step, Pot)>> {
    let Some((parts, mut added)) = from_pot(colour, &pot.optics, stock, asked, watch)? else {
        return Ok(None);
    };
    added.sort_by(|one, other| other.1.cmp(&one.1).then(one.0.cmp(&other.0)));
    let after = pot.with(parts, &added, stock);
    let paints = after.shares.iter().map(|&(place, _)| &stock.paints()[place]);
    let blend = Blend::of(&after.optics.spectrum(stock.surface()), paints);
    let part = |&(place, parts): &(usize, u32)| Part { paint: stock.paints()[place].name.clone(), parts };
    let step = Step {
        target: colour,
        pot: parts,
        added: added.iter().map(part).collect(),
        blend,
        difference: ciede2000(Lab::from(colour), blend.lab),
    };
    Ok(Some((step, after)))
}

fn begun(own: &Recipe, stock: &Stock) -> Result<(Step, Pot)> {
    let total = f64::from(own.total());
    let share = |part: &Part| Ok((stock.find(&part.paint)?, f64::from(part.parts) / total));
    let shares = own.parts.iter().map(share).collect::<Result<_>>()?;
    let Recipe { target, blend, difference, .. } = *own;
    let step = Step { target, pot: 0, added: own.parts.clone(), blend, difference };
    Ok((step, Pot::new(shares, stock)))
}
