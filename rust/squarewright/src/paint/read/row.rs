//! One paint as a row of text, whatever the format: what the columns mean.

use crate::colour::{Lab, Rgb};
use crate::fault::{Result, StockFault};
use crate::paint::{Opacity, Paint, Price, Stock, Tint};

/// The columns that there may be; name and colour must be.
pub(super) const COLUMNS: [&str; 12] = [
    "name", "colour", "owned", "ml", "price", "currency", "opacity", "strength", "tint", "share", "white",
    "note",
];

/// White in which a tint is mixed is at least this light.
const WHITE: f64 = 85.0;

/// The text of one paint.
#[derive(Debug, Clone, Default)]
pub(super) struct Row {
    /// Where it stands: "row 3".
    pub(super) place: String,
    /// Its fields in the order of [`COLUMNS`]; empty text is no value.
    pub(super) fields: [Option<String>; COLUMNS.len()],
}

/// Finds a column by its name, in capitals or not; the American spelling of colour is understood.
pub(super) fn column(name: &str) -> Option<usize> {
    let name = name.trim().to_lowercase();
    let name = if name == "color" { "colour" } else { &name };
    COLUMNS.iter().position(|column| *column == name)
}

/// Says that there is no such column, and which one may be meant.
pub(super) fn unknown(place: String, name: &str) -> StockFault {
    let shared = |column: &&&str| {
        let letters = name.to_lowercase();
        let same = column.chars().filter(|&letter| letters.contains(letter)).count();
        2 * same >= column.len().max(letters.chars().count())
    };
    let near = COLUMNS.iter().filter(shared).max_by_key(|column| {
        column.chars().zip(name.to_lowercase().chars()).take_while(|(one, other)| one == other).count()
    });
    let asked = near.map_or_else(String::new, |column| format!(": did you mean {column}?"));
    StockFault::Column { place, what: format!("there is no column {name:?}{asked}") }
}

/// Makes a stock of rows; `decimal` stands before the decimals.
pub(super) fn stock(rows: Vec<Row>, decimal: char) -> Result<Stock> {
    if rows.len() > Stock::LIMIT {
        let (what, limit) = (format!("{} rows", rows.len()), format!("{} rows", Stock::LIMIT));
        return Err(StockFault::TooBig { what, limit }.into());
    }
    let reader = Reader { decimal };
    let mut paints = rows.iter().map(|row| reader.paint(row)).collect::<Result<Vec<_>>>()?;
    let white = paints
        .iter()
        .map(|paint| (Lab::from(paint.colour).l, paint.colour))
        .filter(|(lightness, _)| *lightness >= WHITE)
        .max_by(|one, other| one.0.total_cmp(&other.0));
    for (paint, row) in paints.iter_mut().zip(&rows) {
        paint.tint = reader.tint(row, white.map(|(_, colour)| colour))?;
    }
    Stock::placed(paints, |index| rows[index].place.clone())
}

impl Row {
    fn at(&self, column: &str) -> String {
        format!("{}, column {column}", self.place)
    }

    fn field(&self, column: &str) -> Option<&str> {
        let index = COLUMNS.iter().position(|other| *other == column)?;
        self.fields[index].as_deref().map(str::trim).filter(|text| !text.is_empty())
    }

    fn missing(&self, column: &str, what: &str) -> StockFault {
        StockFault::Column { place: self.at(column), what: what.into() }
    }

    fn colour(&self, column: &str) -> Result<Option<Rgb>> {
        let Some(text) = self.field(column) else { return Ok(None) };
        let colour = text.parse::<Rgb>();
        let fault = StockFault::Colour { place: self.at(column), got: format!("{text:?}") };
        colour.map(Some).map_err(|_| fault.into())
    }
}

/// Reads the fields of rows.
struct Reader {
    decimal: char,
}

impl Reader {
    fn paint(&self, row: &Row) -> Result<Paint> {
        let name = row.field("name").ok_or_else(|| row.missing("name", "the paint has no name"))?;
        let nothing = || StockFault::Colour { place: row.at("colour"), got: "nothing".into() };
        let colour = row.colour("colour")?.ok_or_else(nothing)?;
        let ml = row.field("ml").map(|text| text.strip_suffix("ml").unwrap_or(text).trim_end());
        Ok(Paint {
            owned: owned(row)?,
            ml: self.number(row, "ml", "a volume above zero, in millilitres", ml)?,
            price: self.price(row)?,
            opacity: opacity(row)?,
            strength: self.number(row, "strength", "a strength above zero", row.field("strength"))?,
            ..Paint::new(name, colour)
        })
    }

    fn number(&self, row: &Row, column: &str, must: &'static str, text: Option<&str>) -> Result<Option<f64>> {
        let Some(text) = text else { return Ok(None) };
        let bad = || StockFault::Amount { place: row.at(column), must, got: format!("{text:?}") };
        let number = self.plain(text).filter(|number| number.is_finite()).ok_or_else(bad)?;
        if number > 0.0 { Ok(Some(number)) } else { Err(bad().into()) }
    }

    fn plain(&self, text: &str) -> Option<f64> {
        let other = if self.decimal == ',' { '.' } else { ',' };
        if text.contains(other) {
            return None;
        }
        text.replace(self.decimal, ".").parse().ok()
    }

    fn price(&self, row: &Row) -> Result<Option<Price>> {
        let Some(text) = row.field("price") else { return Ok(None) };
        let bad = |what: String| StockFault::Price { place: row.at("price"), what };
        let is_number =
            |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '-' | '+' | '\'');
        let digits: String = text.chars().filter(|&letter| is_number(letter)).collect();
        let said = text.trim_matches(|letter: char| is_number(letter) || letter.is_whitespace());
        let amount = self.plain(&digits).filter(|amount| *amount >= 0.0 && text.contains(&digits));
        let amount = amount.ok_or_else(|| {
            bad(format!("{text:?} is not a price with {:?} before the decimals", self.decimal))
        })?;
        let stated = row.field("currency").unwrap_or_default();
        if !said.is_empty() && !stated.is_empty() && said != stated {
            return Err(bad(format!("the price is in {said:?}, the column currency says {stated:?}")).into());
        }
        let currency = if said.is_empty() { stated } else { said }.to_owned();
        Ok(Some(Price { amount, currency }))
    }

    fn tint(&self, row: &Row, white: Option<Rgb>) -> Result<Option<Tint>> {
        let must = "a share between 0 and 1";
        let share = self.number(row, "share", must, row.field("share"))?;
        let (colour, own) = (row.colour("tint")?, row.colour("white")?);
        match (colour, share) {
            (Some(colour), Some(share)) => {
                let nothing = StockFault::Colour {
                    place: row.at("white"),
                    got: "nothing, and no paint is white,".into(),
                };
                let white = own.or(white).ok_or(nothing)?;
                Ok(Some(Tint { colour, share, white }))
            }
            (Some(_), None) => Err(row.missing("share", "a tint needs the share of the paint in it").into()),
            (None, Some(_)) => Err(row.missing("tint", "a share needs the colour of the tint").into()),
            (None, None) => Ok(None),
        }
    }
}

fn owned(row: &Row) -> Result<bool> {
    let Some(text) = row.field("owned") else { return Ok(true) };
    match &*text.to_lowercase() {
        "yes" | "true" | "1" | "owned" => Ok(true),
        "no" | "false" | "0" | "on sale" => Ok(false),
        _ => Err(StockFault::Word { place: row.at("owned"), must: "yes or no", got: text.into() }.into()),
    }
}

fn opacity(row: &Row) -> Result<Option<Opacity>> {
    let Some(text) = row.field("opacity") else { return Ok(None) };
    let known = Opacity::ALL.into_iter().find(|(word, _)| *word == text.to_lowercase());
    let (place, must) = (row.at("opacity"), "opaque, half or transparent");
    known
        .map(|(_, opacity)| Some(opacity))
        .ok_or_else(|| StockFault::Word { place, must, got: text.into() }.into())
}
