//! One buying list for the wall: everything is added up first and rounded to packs, bottles and sheets last.

use serde::{Deserialize, Serialize};

use super::done::Todo;
use super::{Figure, Spacing, WallFigure, nest};
use crate::colour::Rgb;
use crate::fault::{Error, Result, Watch};
use crate::grid::Grid;
use crate::length::Length;
use crate::paint::{Amounts, Brush, Jar, Need, Set};
use crate::palette::Palette;
use crate::panel::Panel;
use crate::plan::{Plan, Step};

/// How panels are sold, and how many are at hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pack {
    /// Panels in a pack.
    pub panels: usize,
    /// What a pack costs, in hundredths: cents, pence.
    pub price: Option<u64>,
    /// Of what, as it is written: "EUR", "$"; empty when that is not said.
    pub currency: String,
    /// Panels at hand.
    pub owned: usize,
    /// Off-cuts of such panels at hand, as width and height.
    pub offcuts: Vec<(Length, Length)>,
}

impl Default for Pack {
    /// Gives packs of four (common practice) and no panel at hand.
    fn default() -> Self {
        Self { panels: 4, price: None, currency: String::new(), owned: 0, offcuts: Vec::new() }
    }
}

impl Pack {
    /// The most off-cuts at hand.
    const OFF_CUTS: usize = 100;

    /// Passes a pack that panels can be bought by, each off-cut turned as it lies on such a panel.
    ///
    /// # Errors
    /// [`Error::Argument`] when it holds no panel or far too many, and for an off-cut that no such panel holds.
    pub fn checked(mut self, panel: Panel) -> Result<Self> {
        let bad = |name, must, got| Err(Error::Argument { name, must, got });
        if !(1..=1000).contains(&self.panels) {
            return bad("pack", "1 to 1000 panels".into(), self.panels.to_string());
        }
        if self.offcuts.len() > Self::OFF_CUTS {
            let must = format!("a list of {} at the most", Self::OFF_CUTS);
            return bad("offcuts", must, self.offcuts.len().to_string());
        }
        for (width, height) in &mut self.offcuts {
            let holds = |wide: Length, high: Length| wide <= panel.width() && high <= panel.height();
            if !holds(*width, *height) {
                std::mem::swap(width, height);
            }
            let is_flat = *width.min(height) <= Length::ZERO;
            if is_flat || !holds(*width, *height) {
                let must = format!("above zero, and no larger than a panel of {panel}");
                return bad("offcuts", must, format!("{height} x {width}"));
            }
        }
        Ok(self)
    }
}

/// The panels to buy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Panels {
    /// Panels that the wall takes.
    pub needed: usize,
    /// Panels at hand that are used up.
    pub owned: usize,
    /// Packs to buy.
    pub packs: usize,
    /// Panels left of them.
    pub spare: usize,
    /// How they are sold.
    pub pack: Pack,
}

impl Panels {
    /// Rounds panels up to packs.
    pub fn new(needed: usize, pack: Pack) -> Self {
        let owned = pack.owned.min(needed);
        let packs = (needed - owned).div_ceil(pack.panels);
        Self { needed, owned, packs, spare: packs * pack.panels - (needed - owned), pack }
    }

    /// Gives what the packs cost, in hundredths, when that is known.
    pub fn cost(&self) -> Option<u64> {
        if self.packs == 0 { Some(0) } else { Some(self.pack.price? * self.packs as u64) }
    }
}

/// One paint to buy, or to have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Bottle {
    /// What it has to give.
    pub need: Need,
    /// Millilitres at hand: what was said to be left, else one full bottle of a paint that is owned.
    pub at_hand_ml: f64,
    /// Whole bottles to buy.
    pub to_buy: u32,
}

impl Bottle {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bottles are counted")]
    fn new(need: Need, left: &[(String, f64)]) -> Self {
        let said =
            left.iter().filter(|(name, _)| *name == need.paint.name).map(|&(_, ml)| ml).reduce(|a, b| a + b);
        let at_hand_ml = said.unwrap_or(if need.paint.owned { need.bottle_ml } else { 0.0 });
        // A thousandth of a bottle too little is far within the reserve.
        let missing = (need.poured_ml - at_hand_ml) / need.bottle_ml - 1e-3;
        Self { need, at_hand_ml, to_buy: missing.ceil().max(0.0) as u32 }
    }

    /// Gives what the bottles to buy cost, in hundredths, when that is known.
    pub fn cost(&self) -> Option<u64> {
        if self.to_buy == 0 {
            return Some(0);
        }
        Some(self.need.paint.price.as_ref()?.hundredths() * u64::from(self.to_buy))
    }
}

/// Sheets of card of one size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cards {
    /// Width and height of a sheet.
    pub sheet: (Length, Length),
    /// How many of them.
    pub sheets: usize,
}

/// Fixings of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Fixings {
    /// What one is rated for, in grams.
    pub grams: f64,
    /// How many.
    pub count: usize,
}

/// Everything to buy for the wall.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Buying {
    /// The panels.
    pub panels: Panels,
    /// The paints, in the order of the stock.
    pub paints: Vec<Bottle>,
    /// The card.
    pub cards: Vec<Cards>,
    /// White glue, in millilitres.
    pub glue_ml: f64,
    /// Primer, in millilitres.
    pub primer_ml: f64,
    /// Varnish, in millilitres.
    pub varnish_ml: f64,
    /// White under pale colours, in millilitres; it is among the paints when one of them is white.
    pub undercoat_ml: f64,
    /// Fresh edges of the blade.
    pub edges: usize,
    /// The fixings.
    pub fixings: Vec<Fixings>,
    /// One brush for each kind that some figure wants, the finest first.
    pub brushes: Vec<Brush>,
    /// Jars with lids.
    pub jars: usize,
}

/// What everything costs.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Money {
    /// The sum of what has a price, in hundredths.
    pub hundredths: u64,
    /// Of what; empty when that is not said.
    pub currency: String,
    /// How many lines with something to buy have no price.
    pub unpriced: usize,
}

/// What a wall is bought for.
pub(super) struct Wanted<'a> {
    /// What is left to do.
    pub(super) todo: Todo<'a>,
    /// Panels that are not in use yet.
    pub(super) panels: usize,
    pub(super) amounts: &'a Amounts,
    pub(super) pack: Pack,
    /// What is left in opened bottles.
    pub(super) left: &'a [(String, f64)],
}

impl Buying {
    /// Adds up what the steps that are left take. A colour takes no more paint once it is mixed for any figure.
    pub(super) fn new(wanted: &Wanted<'_>, watch: &dyn Watch) -> Result<Self> {
        let Wanted { todo, panels, amounts, left, .. } = *wanted;
        let plans = || todo.figures.iter().map(|each| &*each.plan).enumerate();
        let sum = |step: Step, of: fn(&Plan) -> f64| {
            plans().map(|(figure, plan)| of(plan) * todo.count(figure, step) as f64).sum::<f64>()
        };
        let edges = |(figure, plan): (usize, &Plan)| {
            let cuts = plan.cuts().map_or(&[][..], |cuts| &cuts.panels);
            todo.count(figure, Step::Cut) * cuts.iter().map(|panel| panel.totals.fresh_edges).sum::<usize>()
        };
        let undercoat_ml =
            plans().map(|(figure, plan)| undercoat(todo, figure) * plan.amounts().undercoat.ml);
        let undercoat_ml = undercoat_ml.sum();
        let jars: Vec<&Jar> = amounts.jars.iter().filter(|jar| !is_mixed(todo, jar.colour)).collect();
        let paints = amounts.still(&jars, undercoat_ml);
        Ok(Self {
            panels: Panels::new(panels, wanted.pack.clone()),
            paints: paints.into_iter().map(|need| Bottle::new(need, left)).collect(),
            cards: cards(todo, watch)?,
            glue_ml: sum(Step::Glue, |plan| plan.backing().map_or(0.0, |backing| backing.glue_ml().high)),
            primer_ml: sum(Step::Prime, |plan| plan.amounts().primer.ml),
            varnish_ml: sum(Step::Hang, |plan| plan.amounts().varnish.ml),
            undercoat_ml,
            edges: plans().map(edges).sum(),
            fixings: fixings(todo),
            brushes: brushes(todo),
            jars: jars.len(),
        })
    }

    /// Adds up the money.
    pub fn money(&self) -> Money {
        let bottles = self.paints.iter().filter(|bottle| bottle.to_buy > 0);
        let mut costs: Vec<Option<u64>> = bottles.clone().map(Bottle::cost).collect();
        costs.extend((self.panels.packs > 0).then(|| self.panels.cost()));
        let priced = bottles.filter_map(|bottle| bottle.need.paint.price.as_ref());
        let mut currencies = priced.map(|price| &price.currency).chain([&self.panels.pack.currency]);
        Money {
            hundredths: costs.iter().flatten().sum(),
            currency: currencies.find(|currency| !currency.is_empty()).cloned().unwrap_or_default(),
            unpriced: costs.iter().filter(|cost| cost.is_none()).count(),
        }
    }
}

/// Counts the copies that want white below their colours.
fn undercoat(todo: Todo<'_>, figure: usize) -> f64 {
    let copies = 0..todo.figures[figure].copies;
    copies.filter(|&copy| !todo.of(figure, copy).painted((Set::Undercoat, 1, None))).count() as f64
}

/// Tells whether a colour is mixed for any figure that has it: so it was said, or some of it is on a board.
fn is_mixed(todo: Todo<'_>, colour: Rgb) -> bool {
    let has = |each: &WallFigure| each.plan.amounts().jars.iter().any(|jar| jar.colour == colour);
    (0..todo.figures.len()).filter(|&figure| has(&todo.figures[figure])).any(|figure| {
        (0..todo.figures[figure].copies).any(|copy| {
            let own = todo.of(figure, copy);
            own.has(Step::Mix) || own.has(Step::Choose) || own.used(Some(colour))
        })
    })
}

/// Lists one brush for each kind that some figure still wants and none was painted with, the finest first.
fn brushes(todo: Todo<'_>) -> Vec<Brush> {
    let brush = |figure: usize| Brush::for_pitch(todo.figures[figure].plan.fit().pitch);
    let used = |figure: usize| (0..todo.figures[figure].copies).any(|copy| todo.of(figure, copy).used(None));
    let all = 0..todo.figures.len();
    let had: Vec<Brush> = all.clone().filter(|&figure| used(figure)).map(brush).collect();
    let mut brushes: Vec<Brush> = all.map(brush).filter(|brush| !had.contains(brush)).collect();
    brushes.sort_unstable();
    brushes.dedup();
    brushes
}

fn fixings(todo: Todo<'_>) -> Vec<Fixings> {
    let mut found: Vec<Fixings> = Vec::new();
    for (figure, each) in todo.figures.iter().enumerate() {
        let grams = each.plan.mounting().fixing;
        let count = each.plan.hanging().fixings * todo.count(figure, Step::Hang);
        match found.iter_mut().find(|known| known.grams.total_cmp(&grams).is_eq()) {
            Some(known) => known.count += count,
            None => found.push(Fixings { grams, count }),
        }
    }
    found.retain(|fixings| fixings.count > 0);
    found
}

/// Lays the cards on sheets, each as the smallest rectangle round it, and counts these; cards that take more
/// than one sheet by themselves keep theirs.
fn cards(todo: Todo<'_>, watch: &dyn Watch) -> Result<Vec<Cards>> {
    let mut found: Vec<(Cards, Vec<Figure>)> = Vec::new();
    for (figure, each) in todo.figures.iter().enumerate() {
        let copies = todo.count(figure, Step::CutCard);
        let Some(backing) = each.plan.backing().filter(|_| copies > 0) else { continue };
        let sheet = backing.card.sheet;
        let place = found.iter().position(|(cards, _)| cards.sheet == sheet).unwrap_or(found.len());
        if place == found.len() {
            found.push((Cards { sheet, sheets: 0 }, Vec::new()));
        }
        let extent = backing.extent();
        match rectangle((extent.width, extent.height), sheet).filter(|_| backing.sheets == 1) {
            Some(card) => found[place].1.extend(std::iter::repeat_n(card, copies)),
            None => found[place].0.sheets += backing.sheets * copies,
        }
    }
    let mut all = Vec::new();
    for (mut cards, parts) in found {
        if !parts.is_empty() {
            let (sheet, gap) = (Panel::new(cards.sheet.0, cards.sheet.1)?, Length::ZERO);
            let spacing = Spacing { gap, step: STEP, ..Spacing::default() };
            cards.sheets += nest(parts, sheet, spacing, watch)?.panels.len();
        }
        all.push(cards);
    }
    Ok(all)
}

/// Cards count as whole multiples of this, so that there is room for the knife.
const STEP: Length = Length::inches(1, 4);

/// Makes a rectangle of cells as large as a card, when it fits its sheet.
fn rectangle((width, height): (Length, Length), sheet: (Length, Length)) -> Option<Figure> {
    let cells = |side: Length| usize::try_from((side.units() + STEP.units() - 1) / STEP.units()).unwrap_or(0);
    let (columns, rows) = (cells(width), cells(height));
    let fits = |columns: usize, rows: usize| {
        STEP.ratio().times(columns) <= sheet.0.ratio() && STEP.ratio().times(rows) <= sheet.1.ratio()
    };
    let can_be_laid = Panel::new(sheet.0, sheet.1).is_ok();
    if !can_be_laid || !(fits(columns, rows) || fits(rows, columns)) {
        return None;
    }
    let palette = Palette::new(vec![Rgb::BLACK]).ok()?;
    let grid = Grid::new(rows, columns, vec![Some(0); rows * columns], palette).ok()?;
    Some(Figure { grid, pitch: STEP.ratio() })
}
