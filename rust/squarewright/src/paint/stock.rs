//! All paints that are owned or on sale.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use super::mixture::{Optics, Surface};
use super::paint::Paint;
use super::recipe::Part;
use crate::colour::Rgb;
use crate::fault::{Error, Result, StockFault};

/// Craft colours under plain names of pigments and hues, as such paints typically look when dry.
const BASIC: [(&str, &str); 24] = [
    ("white", "#f4f3ee"),
    ("black", "#262626"),
    ("mid grey", "#7d8081"),
    ("red", "#b3202b"),
    ("scarlet", "#d23a2a"),
    ("orange", "#ee7623"),
    ("yellow", "#f6c915"),
    ("lemon yellow", "#f9e547"),
    ("yellow ochre", "#c8902f"),
    ("raw umber", "#6b5639"),
    ("burnt umber", "#4b352a"),
    ("burnt sienna", "#8b4a2e"),
    ("warm brown", "#7a4a2b"),
    ("sand", "#d9c29c"),
    ("leaf green", "#4d9a3c"),
    ("dark green", "#1f5440"),
    ("turquoise", "#148f8f"),
    ("sky blue", "#6fb7de"),
    ("ultramarine", "#2b3a93"),
    ("phthalo blue", "#16406f"),
    ("violet", "#563078"),
    ("magenta", "#ac1f62"),
    ("pink", "#ef96ae"),
    ("maroon", "#6d2430"),
];

/// One to [`Stock::LIMIT`] paints, each of its own name.
#[derive(Debug, Clone)]
pub struct Stock {
    paints: Vec<Paint>,
    surface: Surface,
    typical: bool,
    notes: Vec<String>,
    /// Worked out when they are first wanted; copies of a stock have them in common.
    optics: Arc<OnceLock<Vec<Optics>>>,
}

impl PartialEq for Stock {
    fn eq(&self, other: &Self) -> bool {
        let of = |stock: &Self| (stock.surface, stock.typical);
        of(self) == of(other) && self.paints == other.paints && self.notes == other.notes
    }
}

impl Stock {
    /// The most paints of a stock.
    pub const LIMIT: usize = 2000;

    /// Makes a stock.
    ///
    /// # Errors
    /// [`Error::Stock`] when there are no or too many paints, two of one name, or a number that cannot be.
    pub fn new(paints: Vec<Paint>) -> Result<Self> {
        Self::placed(paints, |place| format!("paint {}", place + 1))
    }

    /// Makes a stock whose paints stand at places of their own in a file.
    pub(super) fn placed(paints: Vec<Paint>, place: impl Fn(usize) -> String) -> Result<Self> {
        if paints.is_empty() {
            return Err(StockFault::Empty.into());
        }
        if paints.len() > Self::LIMIT {
            let (what, limit) = (format!("{} paints", paints.len()), Self::LIMIT.to_string());
            return Err(StockFault::TooBig { what, limit }.into());
        }
        let mut seen = BTreeMap::new();
        for (index, paint) in paints.iter().enumerate() {
            paint.check(&place(index))?;
            if let Some(earlier) = seen.insert(key(&paint.name), index) {
                let (place, earlier) = (format!("{}, column name", place(index)), place(earlier));
                return Err(StockFault::Duplicate { place, name: paint.name.clone(), earlier }.into());
            }
        }
        one_currency(&paints, &place)?;
        Ok(Self::plain(paints))
    }

    fn plain(paints: Vec<Paint>) -> Self {
        let (surface, optics) = (Surface::NONE, Arc::default());
        Self { paints, surface, typical: false, notes: Vec::new(), optics }
    }

    /// Gives about two dozen craft colours as they typically look; no bottle is exactly like them.
    ///
    /// # Panics
    /// Never: the list is part of the crate.
    pub fn basic() -> Self {
        let paint = |(name, code): (&str, &str)| Paint::new(name, code.parse::<Rgb>().expect("a colour"));
        Self::plain(BASIC.map(paint).to_vec()).typical()
    }

    /// Gives the same stock with some of its paints alone, by their places.
    ///
    /// # Errors
    /// [`Error::Stock`] when none is left.
    pub fn only(&self, keep: impl Fn(usize) -> bool) -> Result<Self> {
        let kept = self.paints.iter().enumerate().filter(|&(place, _)| keep(place));
        let kept = Self::new(kept.map(|(_, paint)| paint.clone()).collect())?.under(self.surface);
        Ok(Self { typical: self.typical, notes: self.notes.clone(), ..kept })
    }

    /// Gives the same stock with some paints at hand, by their names.
    #[must_use]
    pub fn holding(&self, held: impl Fn(&str) -> bool) -> Self {
        let mut stock = self.clone();
        for paint in stock.paints.iter_mut().filter(|paint| held(&paint.name)) {
            paint.owned = true;
        }
        stock
    }

    /// Names the paints of parts that go by their places.
    pub fn named(&self, parts: &[(usize, u32)]) -> Vec<Part> {
        parts.iter().map(|&(place, parts)| Part { paint: self.paints[place].name.clone(), parts }).collect()
    }

    /// Gives the paints in order.
    pub fn paints(&self) -> &[Paint] {
        &self.paints
    }

    /// Gives how each takes and throws back light, in order.
    pub fn optics(&self) -> &[Optics] {
        self.optics.get_or_init(|| self.paints.iter().map(|paint| paint.optics(self.surface)).collect())
    }

    /// Gives the surface that layers of these paints are taken to have: none, unless it was said.
    pub fn surface(&self) -> Surface {
        self.surface
    }

    /// Takes layers of these paints to have such a surface.
    #[must_use]
    pub fn under(self, surface: Surface) -> Self {
        Self { surface, optics: Arc::default(), ..self }
    }

    /// Tells whether its colours are typical ones and not those of real bottles.
    pub fn is_typical(&self) -> bool {
        self.typical
    }

    /// Marks its colours as typical ones.
    #[must_use]
    pub fn typical(self) -> Self {
        Self { typical: true, ..self }
    }

    /// Gives what there is to know about how it was read.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    pub(super) fn noted(mut self, notes: Vec<String>) -> Self {
        self.notes = notes;
        self
    }

    /// Finds a paint by its name, in capitals or not.
    ///
    /// # Errors
    /// [`Error::Argument`] with the nearest names when there is none.
    pub fn find(&self, name: &str) -> Result<usize> {
        let wanted = key(name);
        self.paints.iter().position(|paint| key(&paint.name) == wanted).ok_or_else(|| {
            let shared = |other: &str| key(other).chars().filter(|letter| wanted.contains(*letter)).count();
            let near =
                self.paints.iter().max_by_key(|paint| (shared(&paint.name), paint.name.len() == name.len()));
            let must = near
                .map_or_else(String::new, |paint| format!("a paint of the stock, such as {:?}", paint.name));
            Error::Argument { name: "paint", must, got: format!("{name:?}") }
        })
    }
}

/// Gives a name as it is compared: letters alike in capitals or not, single spaces.
fn key(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn one_currency(paints: &[Paint], place: impl Fn(usize) -> String) -> Result<()> {
    let mut priced =
        paints.iter().enumerate().filter_map(|(index, paint)| Some((index, paint.price.as_ref()?)));
    let Some((_, first)) = priced.next() else { return Ok(()) };
    match priced.find(|(_, price)| price.currency != first.currency) {
        Some((index, price)) => {
            let said = |currency: &str| {
                if currency.is_empty() { "no currency".into() } else { format!("{currency:?}") }
            };
            let what = format!(
                "the price is in {}, prices before it in {}",
                said(&price.currency),
                said(&first.currency)
            );
            Err(StockFault::Price { place: format!("{}, column price", place(index)), what }.into())
        }
        None => Ok(()),
    }
}
