//! One buying list for the wall: everything is added up first and rounded to packs, bottles and sheets last.

use serde::{Deserialize, Serialize};

use super::{Figure, Spacing, WallFigure, nest};
use crate::fault::{Error, Result, Watch};
use crate::grid::Grid;
use crate::length::Length;
use crate::paint::{Amounts, Brush, Need};
use crate::palette::Palette;
use crate::panel::Panel;

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
}

impl Default for Pack {
    /// Gives packs of four (common practice) and no panel at hand.
    fn default() -> Self {
        Self { panels: 4, price: None, currency: String::new(), owned: 0 }
    }
}

impl Pack {
    /// Passes a pack that panels can be bought by.
    ///
    /// # Errors
    /// [`Error::Argument`] when it holds no panel, or far too many.
    pub fn checked(self) -> Result<Self> {
        if (1..=1000).contains(&self.panels) {
            return Ok(self);
        }
        let (must, got) = ("1 to 1000 panels".into(), self.panels.to_string());
        Err(Error::Argument { name: "pack", must, got })
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
    pub(super) figures: &'a [WallFigure],
    /// Panels that the figures take.
    pub(super) panels: usize,
    pub(super) amounts: &'a Amounts,
    pub(super) pack: Pack,
    /// What is left in opened bottles.
    pub(super) left: &'a [(String, f64)],
}

impl Buying {
    pub(super) fn new(wanted: &Wanted<'_>, watch: &dyn Watch) -> Result<Self> {
        let Wanted { figures, panels, amounts, left, .. } = *wanted;
        let sum = |of: fn(&WallFigure) -> f64| {
            figures.iter().map(|each| of(each) * each.copies as f64).sum::<f64>()
        };
        let edges = |each: &WallFigure| {
            let cuts = each.plan.cuts().map_or(&[][..], |cuts| &cuts.panels);
            each.copies * cuts.iter().map(|panel| panel.totals.fresh_edges).sum::<usize>()
        };
        let mut brushes: Vec<Brush> =
            figures.iter().map(|each| Brush::for_pitch(each.plan.fit().pitch)).collect();
        brushes.sort_unstable();
        brushes.dedup();
        Ok(Self {
            panels: Panels::new(panels, wanted.pack.clone()),
            paints: amounts.paints.iter().map(|need| Bottle::new(need.clone(), left)).collect(),
            cards: cards(figures, watch)?,
            glue_ml: sum(|each| each.plan.backing().map_or(0.0, |backing| backing.glue_ml().high)),
            primer_ml: amounts.primer.ml,
            varnish_ml: amounts.varnish.ml,
            undercoat_ml: amounts.undercoat.ml,
            edges: figures.iter().map(edges).sum(),
            fixings: fixings(figures),
            brushes,
            jars: amounts.jars.len(),
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

fn fixings(figures: &[WallFigure]) -> Vec<Fixings> {
    let mut found: Vec<Fixings> = Vec::new();
    for each in figures {
        let (grams, count) = (each.plan.mounting().fixing, each.plan.hanging().fixings * each.copies);
        match found.iter_mut().find(|known| known.grams.total_cmp(&grams).is_eq()) {
            Some(known) => known.count += count,
            None => found.push(Fixings { grams, count }),
        }
    }
    found
}

/// Lays the cards on sheets, each as the smallest rectangle round it, and counts these; cards that take more
/// than one sheet by themselves keep theirs.
fn cards(figures: &[WallFigure], watch: &dyn Watch) -> Result<Vec<Cards>> {
    let mut found: Vec<(Cards, Vec<Figure>)> = Vec::new();
    for each in figures {
        let Some(backing) = each.plan.backing() else { continue };
        let sheet = backing.card.sheet;
        let place = found.iter().position(|(cards, _)| cards.sheet == sheet).unwrap_or(found.len());
        if place == found.len() {
            found.push((Cards { sheet, sheets: 0 }, Vec::new()));
        }
        let extent = backing.extent();
        match rectangle((extent.width, extent.height), sheet).filter(|_| backing.sheets == 1) {
            Some(card) => found[place].1.extend(std::iter::repeat_n(card, each.copies)),
            None => found[place].0.sheets += backing.sheets * each.copies,
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
    let palette = Palette::new(vec![crate::colour::Rgb::BLACK]).ok()?;
    let grid = Grid::new(rows, columns, vec![Some(0); rows * columns], palette).ok()?;
    Some(Figure { grid, pitch: STEP.ratio() })
}
