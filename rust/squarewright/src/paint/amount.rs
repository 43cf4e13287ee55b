//! How much paint: millilitres of each colour and of each paint, and whole bottles.
//!
//! A volume is area times coats over the spread (1 m² at 8 m² a litre takes 125 ml a coat), and more for what
//! stays in the brush and for touching up. Numbers are common practice, each with its range: see [`Amounting`].

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::coats::{Cover, cover};
use super::measure::Measure;
use super::paint::{Opacity, Paint};
use super::recipe::{Part, Recipe};
use super::stock::Stock;
use crate::colour::{Lab, Rgb};
use crate::fault::{Error, Result};

/// What is painted in one colour, in square millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Painted {
    /// The colour.
    pub colour: Rgb,
    /// Cells on the face of the board, and the ground of a whole square.
    pub face: f64,
    /// Edges that are painted.
    pub edges: f64,
}

impl Painted {
    /// Gives face and edges together, in square millimetres.
    pub fn area(&self) -> f64 {
        self.face + self.edges
    }
}

/// The numbers behind the amounts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Amounting {
    /// Coats of most colours, 1 to 5.
    pub coats: u32,
    /// Coats of white, yellow, orange and bright red, 1 to 6.
    pub weak_coats: u32,
    /// Square metres that a litre covers in one coat, 5 to 12.
    pub spread: f64,
    /// The same for the first coat on a raw board, 3 to 7.
    pub raw_spread: f64,
    /// Coats of primer on face and edges before the marks, 0 to 3.
    pub primer_coats: u32,
    /// Square metres that a litre of primer covers in one coat, 3 to 10.
    pub primer_spread: f64,
    /// Coats of varnish over the dry paint, 0 to 3.
    pub varnish_coats: u32,
    /// Square metres that a litre of varnish covers in one coat, 6 to 15.
    pub varnish_spread: f64,
    /// The share that stays in brush and jar, 0.1 to 0.3.
    pub loss: f64,
    /// The share kept for touching up, as a second mix never matches, 0 to 0.4.
    pub reserve: f64,
    /// The least that can be mixed, in millilitres, 0.5 to 10.
    pub smallest_ml: f64,
    /// A drop, in millilitres, 0.03 to 0.08.
    pub drop_ml: f64,
    /// What a bottle holds when its label is not known, in millilitres, 10 to 500.
    pub bottle_ml: f64,
}

impl Default for Amounting {
    fn default() -> Self {
        Self {
            coats: 2,
            weak_coats: 3,
            spread: 8.0,
            raw_spread: 5.0,
            primer_coats: 1,
            primer_spread: 6.0,
            varnish_coats: 1,
            varnish_spread: 10.0,
            loss: 0.2,
            reserve: 0.1,
            smallest_ml: 1.0,
            drop_ml: 0.05,
            bottle_ml: 59.0,
        }
    }
}

/// A number behind the amounts, with the range that is usual.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Setting {
    /// Its name, as in [`Amounting`].
    pub name: &'static str,
    /// What is reckoned with.
    pub value: f64,
    /// The least that is usual.
    pub low: f64,
    /// The most that is usual.
    pub high: f64,
}

impl Amounting {
    /// Lists every number with its range.
    pub fn settings(&self) -> [Setting; 13] {
        let set = |name, value, low, high| Setting { name, value, low, high };
        [
            set("coats", f64::from(self.coats), 1.0, 5.0),
            set("weak_coats", f64::from(self.weak_coats), 1.0, 6.0),
            set("spread", self.spread, 5.0, 12.0),
            set("raw_spread", self.raw_spread, 3.0, 7.0),
            set("primer_coats", f64::from(self.primer_coats), 0.0, 3.0),
            set("primer_spread", self.primer_spread, 3.0, 10.0),
            set("varnish_coats", f64::from(self.varnish_coats), 0.0, 3.0),
            set("varnish_spread", self.varnish_spread, 6.0, 15.0),
            set("loss", self.loss, 0.1, 0.3),
            set("reserve", self.reserve, 0.0, 0.4),
            set("smallest_ml", self.smallest_ml, 0.5, 10.0),
            set("drop_ml", self.drop_ml, 0.03, 0.08),
            set("bottle_ml", self.bottle_ml, 10.0, 500.0),
        ]
    }

    /// Finds a number that cannot be: zero, below zero or ten times beyond what is usual.
    ///
    /// # Errors
    /// [`Error::Argument`] with the name and what is usual.
    pub fn check(&self) -> Result<()> {
        let odd = |set: &Setting| {
            let needed = !set.name.ends_with("coats") && !matches!(set.name, "loss" | "reserve");
            !(set.value >= 0.0 && set.value <= 10.0 * set.high) || (needed && set.value < set.low / 10.0)
        };
        match self.settings().iter().find(|set| odd(set)) {
            Some(&Setting { name, value, low, high }) => {
                let must = format!("a number such as {low} to {high}");
                Err(Error::Argument { name, must, got: value.to_string() })
            }
            None if self.coats == 0 || self.weak_coats == 0 => {
                let must = "one coat at least".into();
                Err(Error::Argument { name: "coats", must, got: "0".into() })
            }
            None => Ok(()),
        }
    }

    /// Gives the millilitres for an area in square millimetres, with loss and reserve.
    pub fn ml(&self, area: f64, coats: u32, spread: f64) -> f64 {
        // A square metre has 10⁶ mm² and a litre 10³ ml.
        area * f64::from(coats) / spread / 1e3 * (1.0 + self.loss) * (1.0 + self.reserve)
    }

    /// Gives the millilitres of colour, whose first coat may fall on a raw board.
    fn colour_ml(&self, area: f64, coats: u32, raw: bool) -> f64 {
        if raw && coats > 0 {
            self.ml(area, 1, self.raw_spread) + self.ml(area, coats - 1, self.spread)
        } else {
            self.ml(area, coats, self.spread)
        }
    }
}

/// What one jar holds: a colour mixed for the whole figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Jar {
    /// The colour.
    pub colour: Rgb,
    /// Square millimetres to paint.
    pub area: f64,
    /// How many coats.
    pub coats: u32,
    /// Whether a white coat comes under it.
    pub undercoat: bool,
    /// Millilitres needed, before any rounding.
    pub ml: f64,
    /// Millilitres to mix: no less than the smallest batch, in whole measures.
    pub batch_ml: f64,
    /// By what the parts are counted.
    pub measure: Measure,
    /// How many measures of each paint; empty when there is no recipe.
    pub doses: Vec<Part>,
}

/// What one paint has to give.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Need {
    /// The paint.
    pub paint: Paint,
    /// Millilitres over all jars and the undercoat, before any rounding.
    pub ml: f64,
    /// Millilitres that leave the bottle: whole measures, and no jar under the smallest batch.
    pub poured_ml: f64,
    /// What one bottle holds, as its label says or as is usual.
    pub bottle_ml: f64,
    /// Whole bottles.
    pub bottles: u32,
}

/// Something brushed on all over: primer, undercoat or varnish.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Layer {
    /// Square millimetres.
    pub area: f64,
    /// How many coats.
    pub coats: u32,
    /// Millilitres, before any rounding.
    pub ml: f64,
}

/// How much of everything that comes out of bottles.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Amounts {
    /// A jar for each colour, in the order of the colours.
    pub jars: Vec<Jar>,
    /// The primer, before the marks.
    pub primer: Layer,
    /// The white under pale and badly covering colours.
    pub undercoat: Layer,
    /// The varnish over the dry paint.
    pub varnish: Layer,
    /// What each paint has to give, in the order of the stock; empty when there are no recipes.
    pub paints: Vec<Need>,
}

impl Need {
    /// Gives what all bottles to buy cost, in hundredths; nothing for a paint at hand.
    pub fn cost(&self) -> Option<u64> {
        if self.paint.owned {
            return Some(0);
        }
        Some(self.paint.price.as_ref()?.hundredths() * u64::from(self.bottles))
    }
}

impl Amounts {
    /// Adds up the millilitres of colour, before any rounding.
    pub fn colour_ml(&self) -> f64 {
        self.jars.iter().map(|jar| jar.ml).sum()
    }

    /// Gives the paints that are used; none when there are no recipes.
    pub fn stock(&self) -> Option<Stock> {
        Stock::new(self.paints.iter().map(|need| need.paint.clone()).collect()).ok()
    }
}

/// Works out how much paint is needed.
///
/// Recipes may be fewer than colours; a colour without one has its volume alone. The undercoat is taken from
/// the whitest paint of the stock, when there is one.
///
/// # Errors
/// [`Error::Argument`] for numbers that cannot be, or for a recipe with a paint that the stock does not hold.
pub fn amounts(
    painted: &[Painted],
    recipes: &[Recipe],
    stock: Option<&Stock>,
    asked: &Amounting,
) -> Result<Amounts> {
    asked.check()?;
    let jar = |painted: &Painted| {
        let recipe = recipes.iter().find(|recipe| recipe.target == painted.colour);
        jar(painted, recipe, stock, asked)
    };
    let jars: Vec<Jar> = painted.iter().map(jar).collect();
    let whole: f64 = painted.iter().map(Painted::area).sum();
    let layer = |area, coats, spread| Layer { area, coats, ml: asked.ml(area, coats, spread) };
    let under: f64 = jars.iter().filter(|jar| jar.undercoat).map(|jar| jar.area).sum();
    let undercoat = layer(under, u32::from(under > 0.0), asked.spread);
    let paints = stock.map_or(Ok(Vec::new()), |stock| needs(&jars, undercoat.ml, stock, asked))?;
    Ok(Amounts {
        jars,
        primer: layer(whole, asked.primer_coats, asked.primer_spread),
        undercoat,
        varnish: layer(whole, asked.varnish_coats, asked.varnish_spread),
        paints,
    })
}

fn jar(painted: &Painted, recipe: Option<&Recipe>, stock: Option<&Stock>, asked: &Amounting) -> Jar {
    let Cover { weak, undercoat } = cover(painted.colour);
    let sheer = recipe.zip(stock).is_some_and(|(recipe, stock)| is_sheer(recipe, stock));
    let coats = if weak { asked.weak_coats } else { asked.coats } + u32::from(sheer);
    let raw = asked.primer_coats == 0 && !undercoat;
    let area = painted.area();
    let ml = asked.colour_ml(area, coats, raw);
    Jar::empty(painted.colour, undercoat).holding((area, coats, ml)).filled(ml, recipe, asked)
}

impl Jar {
    /// Gives a jar with nothing in it.
    pub(super) fn empty(colour: Rgb, undercoat: bool) -> Self {
        let (area, coats, ml, batch_ml, doses) = (0.0, 0, 0.0, 0.0, Vec::new());
        Self { colour, area, coats, undercoat, ml, batch_ml, measure: Measure::Drop, doses }
    }

    /// Wants more of it: for so many square millimetres in so many coats, in millilitres.
    pub(super) fn holding(self, (area, coats, ml): (f64, u32, f64)) -> Self {
        Self { area: self.area + area, coats: self.coats.max(coats), ml: self.ml + ml, ..self }
    }

    /// Counts out what to mix for so many millilitres: no less than the smallest batch.
    pub(super) fn filled(self, ml: f64, recipe: Option<&Recipe>, asked: &Amounting) -> Self {
        let parts = recipe.map_or(1, Recipe::total);
        let (measure, times) = Measure::choose(ml.max(asked.smallest_ml), parts, asked.drop_ml);
        let dose = |part: &Part| Part { paint: part.paint.clone(), parts: part.parts * times };
        let doses = recipe.map_or_else(Vec::new, |recipe| recipe.parts.iter().map(dose).collect());
        let batch_ml = measure.ml(asked.drop_ml) * f64::from(parts * times);
        Self { batch_ml, measure, doses, ..self }
    }
}

/// Tells whether half of a recipe or more lets the ground show through.
fn is_sheer(recipe: &Recipe, stock: &Stock) -> bool {
    let clear = |part: &&Part| {
        let paint = stock.find(&part.paint).map(|place| &stock.paints()[place]);
        paint.is_ok_and(|paint| paint.opacity == Some(Opacity::Transparent))
    };
    2 * recipe.parts.iter().filter(clear).map(|part| part.parts).sum::<u32>() >= recipe.total()
}

pub(super) fn needs(jars: &[Jar], undercoat: f64, stock: &Stock, asked: &Amounting) -> Result<Vec<Need>> {
    let mut volumes: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
    let mut add = |place: usize, ml: f64, poured: f64| {
        let volume = volumes.entry(place).or_default();
        *volume = (volume.0 + ml, volume.1 + poured);
    };
    for jar in jars {
        let parts: u32 = jar.doses.iter().map(|dose| dose.parts).sum();
        for dose in &jar.doses {
            let share = f64::from(dose.parts) / f64::from(parts);
            add(stock.find(&dose.paint)?, jar.ml * share, jar.batch_ml * share);
        }
    }
    if let Some(white) = whitest(stock).filter(|_| undercoat > 0.0) {
        add(white, undercoat, undercoat);
    }
    Ok(volumes.into_iter().map(|(place, volume)| need(&stock.paints()[place], volume, asked)).collect())
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bottles are counted")]
fn need(paint: &Paint, (ml, poured_ml): (f64, f64), asked: &Amounting) -> Need {
    let bottle_ml = paint.ml.unwrap_or(asked.bottle_ml);
    // A thousandth of a bottle too little is no second bottle: it is far within the reserve.
    let bottles = (poured_ml / bottle_ml - 1e-3).ceil().max(1.0) as u32;
    Need { paint: paint.clone(), ml, poured_ml, bottle_ml, bottles }
}

/// Finds the whitest paint of a stock, when one is white enough to go under others.
pub fn whitest(stock: &Stock) -> Option<usize> {
    let white = |paint: &Paint| {
        let lab = Lab::from(paint.colour);
        (lab.l >= 85.0 && lab.chroma() <= 10.0).then_some(lab.l - lab.chroma())
    };
    let scored = stock.paints().iter().enumerate().filter_map(|(place, paint)| Some((place, white(paint)?)));
    scored.max_by(|one, other| one.1.total_cmp(&other.1).then(other.0.cmp(&one.0))).map(|(place, _)| place)
}
