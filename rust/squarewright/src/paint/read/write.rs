//! A stock as text again.

use std::fmt::Write as _;

use toml::Value;

use super::gpl::MAGIC;
use super::row::COLUMNS;
use crate::colour::Rgb;
use crate::paint::{Opacity, Paint, Stock, Surface};

/// A value as it stands in a file.
enum Field {
    Words(String),
    Plain(String),
}

/// Writes a number in plain figures; with a decimal where a whole number of TOML could not hold as many.
fn figures(value: f64) -> String {
    if value.abs() < 1e18 { value.to_string() } else { format!("{value}.0") }
}

/// Gives the fields of a paint that are known, by their columns.
fn fields(paint: &Paint) -> Vec<(&'static str, Field)> {
    let words = |text: &str| Some(Field::Words(text.to_owned()));
    let number = |value: Option<f64>| value.map(|value| Field::Plain(figures(value)));
    let (price, tint) = (paint.price.as_ref(), paint.tint);
    let currency = price.filter(|price| !price.currency.is_empty());
    let given = [
        ("name", words(&paint.name)),
        ("colour", words(&paint.colour.to_string())),
        ("owned", Some(Field::Plain(paint.owned.to_string()))),
        ("ml", number(paint.ml)),
        ("price", number(price.map(|price| price.amount))),
        ("currency", currency.and_then(|price| words(&price.currency))),
        ("opacity", paint.opacity.map(Opacity::word).and_then(words)),
        ("strength", number(paint.strength)),
        ("tint", tint.and_then(|tint| words(&tint.colour.to_string()))),
        ("share", number(tint.map(|tint| tint.share))),
        ("white", tint.and_then(|tint| words(&tint.white.to_string()))),
    ];
    given.into_iter().filter_map(|(column, field)| Some((column, field?))).collect()
}

pub(super) fn toml(stock: &Stock) -> String {
    let mut text = String::new();
    if stock.surface() != Surface::NONE {
        let [outer, inner] = stock.surface().shares();
        let _ = writeln!(text, "surface = [{outer:?}, {inner:?}]");
    }
    for paint in stock.paints() {
        let gap = if text.is_empty() { "" } else { "\n" };
        let _ = writeln!(text, "{gap}[[paint]]");
        for (column, field) in fields(paint) {
            let value = match field {
                Field::Words(words) => Value::String(words).to_string(),
                Field::Plain(value) => value,
            };
            let _ = writeln!(text, "{column} = {value}");
        }
    }
    text
}

pub(super) fn csv(stock: &Stock) -> String {
    let known: Vec<_> = stock.paints().iter().map(fields).collect();
    let used = |column: &&&str| known.iter().flatten().any(|(other, _)| other == *column);
    let columns: Vec<&str> = COLUMNS.iter().filter(used).copied().collect();
    let mut text = columns.join(",") + "\r\n";
    for paint in &known {
        let field = |column: &&str| match paint.iter().find(|(other, _)| other == column) {
            Some((_, Field::Words(words))) => quoted(&guarded(words)),
            Some((_, Field::Plain(value))) => value.clone(),
            None => String::new(),
        };
        text += &columns.iter().map(field).collect::<Vec<_>>().join(",");
        text += "\r\n";
    }
    text
}

pub(super) fn gpl(stock: &Stock) -> String {
    let colours = stock.paints().iter().map(|paint| (paint.colour, &*paint.name));
    gpl_text("paints", colours)
}

/// Writes colours with their names as the palette text of free image editors.
pub fn gpl_text<'a>(name: &str, colours: impl IntoIterator<Item = (Rgb, &'a str)>) -> String {
    let line = |text: &str| -> String {
        text.chars().map(|letter| if breaks(letter) { ' ' } else { letter }).collect()
    };
    let mut text = format!("{MAGIC}\nName: {}\nColumns: 8\n#\n", line(name));
    for (Rgb([r, g, b]), name) in colours {
        let _ = writeln!(text, "{r:3} {g:3} {b:3}\t{}", line(name));
    }
    text
}

/// Tells whether a character could end a line, or cannot be shown.
fn breaks(letter: char) -> bool {
    letter.is_control() || matches!(letter, '\u{2028}' | '\u{2029}')
}

fn quoted(field: &str) -> String {
    let plain = !field.contains([',', ';', '"', '\r', '\n']) && field.trim() == field;
    if plain { field.to_owned() } else { format!("\"{}\"", field.replace('"', "\"\"")) }
}

/// What a spreadsheet would take for a formula (OWASP, "CSV Injection"), or for the guard itself.
pub(crate) fn reads_as_formula(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠', '\''])
}

/// Keeps a spreadsheet from taking a name for a formula.
fn guarded(text: &str) -> String {
    if reads_as_formula(text) { format!("'{text}") } else { text.to_owned() }
}

/// Takes the guard off again.
pub(super) fn unguarded(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| reads_as_formula(rest)).unwrap_or(text)
}
