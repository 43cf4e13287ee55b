//! Shades of one family mixed in one pot: the lightest first, then darker paint into what is left.

use serde::{Deserialize, Serialize};

use super::mixture::Optics;
use super::recipe::{Part, Recipe};
use super::search::{Mixing, from_pot, mix};
use super::stock::Stock;
use super::trust::{Trust, trust};
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
    /// The colour that this is predicted to make.
    pub colour: Rgb,
    /// How far that is from the wanted one, CIEDE2000.
    pub difference: f64,
    /// How far the prediction can be trusted.
    pub trust: Trust,
}

/// What is in the pot: the paints and their shares of one part.
struct Pot {
    optics: Optics,
    shares: Vec<(usize, f64)>,
}

impl Pot {
    fn new(shares: Vec<(usize, f64)>, stock: &Stock) -> Self {
        let optics: Vec<Optics> = shares.iter().map(|&(place, _)| stock.paints()[place].optics()).collect();
        let amounts = shares.iter().map(|&(_, amount)| amount);
        Self { optics: Optics::mixed(optics.iter().zip(amounts)), shares }
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

/// Mixes colours from the lightest to the darkest, each out of the pot of the one before where that comes
/// within the tolerance, or as near as a recipe of its own; a new pot is begun where it does not.
///
/// # Errors
/// As [`mix`].
pub fn pot(colours: &[Rgb], stock: &Stock, asked: &Mixing, watch: &dyn Watch) -> Result<Vec<Step>> {
    let mut colours = colours.to_vec();
    colours.sort_by(|&one, &other| Lab::from(other).l.total_cmp(&Lab::from(one).l).then(one.cmp(&other)));
    let fresh = mix(&colours, stock, asked, watch)?;
    let mut steps = Vec::new();
    let mut before: Option<Pot> = None;
    for (&colour, recipes) in colours.iter().zip(&fresh) {
        let own = &recipes[0];
        let enough = own.difference.max(asked.tolerance);
        let (step, after) =
            match before.map(|pot| onward(colour, &pot, stock, asked, watch)).transpose()?.flatten() {
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
    let spectrum = after.optics.spectrum();
    let part = |&(place, parts): &(usize, u32)| Part { paint: stock.paints()[place].name.clone(), parts };
    let step = Step {
        target: colour,
        pot: parts,
        added: added.iter().map(part).collect(),
        colour: spectrum.rgb(),
        difference: ciede2000(Lab::from(colour), spectrum.lab()),
        trust: trust(after.shares.iter().map(|&(place, _)| &stock.paints()[place])),
    };
    Ok(Some((step, after)))
}

fn begun(own: &Recipe, stock: &Stock) -> Result<(Step, Pot)> {
    let total = f64::from(own.total());
    let share = |part: &Part| Ok((stock.find(&part.paint)?, f64::from(part.parts) / total));
    let shares = own.parts.iter().map(share).collect::<Result<_>>()?;
    let Recipe { target, colour, difference, trust, .. } = *own;
    let step = Step { target, pot: 0, added: own.parts.clone(), colour, difference, trust };
    Ok((step, Pot::new(shares, stock)))
}
