//! The amounts of many figures together: each colour is mixed once, and bottles are counted once.

use super::amount::{Amounting, Amounts, Jar, Layer, Need, needs, whitest};
use super::recipe::Recipe;
use super::stock::Stock;
use crate::colour::Rgb;
use crate::fault::Result;

/// What the jars of many figures are filled by.
#[derive(Debug, Clone, Copy)]
pub struct Filling<'a> {
    /// The recipes; a colour without one has its volume alone.
    pub recipes: &'a [Recipe],
    /// The paints, when there are any.
    pub stock: Option<&'a Stock>,
    /// The numbers behind the amounts.
    pub asked: &'a Amounting,
    /// Mixes that are left over, in millilitres: that much less is mixed.
    pub mixed: &'a [(Rgb, f64)],
}

impl Amounts {
    /// Adds up amounts, each so many times, before anything is rounded to measures and bottles.
    ///
    /// # Errors
    /// As [`amounts`](super::amounts).
    pub fn together(each: &[(&Self, usize)], filling: &Filling<'_>) -> Result<Self> {
        let Filling { recipes, stock, asked, mixed } = *filling;
        asked.check()?;
        let mut jars: Vec<Jar> = Vec::new();
        for &(amounts, times) in each {
            for jar in &amounts.jars {
                let place = jars.iter().position(|known| known.colour == jar.colour).unwrap_or(jars.len());
                if place == jars.len() {
                    jars.push(Jar::empty(jar.colour, false));
                }
                let more =
                    jars[place].clone().holding((jar.area * times as f64, jar.coats, jar.ml * times as f64));
                jars[place] = Jar { undercoat: more.undercoat || jar.undercoat, ..more };
            }
        }
        let jars: Vec<Jar> = jars
            .into_iter()
            .map(|jar| {
                let recipe = recipes.iter().find(|recipe| recipe.target == jar.colour);
                let left = mixed.iter().filter(|(colour, _)| *colour == jar.colour);
                let open = jar.ml - left.map(|&(_, ml)| ml).sum::<f64>();
                // What is left over is enough: nothing is mixed.
                if open > 0.0 { jar.filled(open, recipe, asked) } else { jar }
            })
            .collect();
        let undercoat = layer(each, |amounts| amounts.undercoat);
        let paints = stock.map_or(Ok(Vec::new()), |stock| needs(&jars, undercoat.ml, stock, asked))?;
        let primer = layer(each, |amounts| amounts.primer);
        Ok(Self { jars, primer, undercoat, varnish: layer(each, |amounts| amounts.varnish), paints })
    }

    /// Gives what each paint has to give when only some jars are to be filled, and some of the white below others.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bottles are counted")]
    pub fn still(&self, jars: &[&Jar], undercoat: f64) -> Vec<Need> {
        let white = self.stock().as_ref().and_then(whitest);
        let need = |(place, need): (usize, &Need)| {
            let (mut ml, mut poured_ml) = (0.0, 0.0);
            for jar in jars {
                let parts: u32 = jar.doses.iter().map(|dose| dose.parts).sum();
                for dose in jar.doses.iter().filter(|dose| dose.paint == need.paint.name) {
                    let share = f64::from(dose.parts) / f64::from(parts);
                    (ml, poured_ml) = (ml + jar.ml * share, poured_ml + jar.batch_ml * share);
                }
            }
            if white == Some(place) {
                (ml, poured_ml) = (ml + undercoat, poured_ml + undercoat);
            }
            let bottles = (poured_ml / need.bottle_ml - 1e-3).ceil().max(0.0) as u32;
            Need { ml, poured_ml, bottles, ..need.clone() }
        };
        self.paints.iter().enumerate().map(need).collect()
    }
}

fn layer(each: &[(&Amounts, usize)], of: impl Fn(&Amounts) -> Layer) -> Layer {
    each.iter().fold(Layer::default(), |sum, &(amounts, times)| {
        let Layer { area, coats, ml } = of(amounts);
        let times = times as f64;
        Layer { area: sum.area + area * times, coats: sum.coats.max(coats), ml: sum.ml + ml * times }
    })
}
