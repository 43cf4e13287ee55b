//! The palette text of free image editors: a first line, perhaps a name and a number of columns, then red,
//! green, blue and a name in each line. The old form has colours right after the first line.

use crate::colour::Rgb;
use crate::fault::{Result, StockFault};
use crate::paint::{Paint, Stock};

/// The first line.
pub(super) const MAGIC: &str = "GIMP Palette";
/// The most columns in which an editor shows a palette.
const COLUMNS: u32 = 256;

pub(super) fn stock(text: &str) -> Result<Stock> {
    let mut lines = (1..).zip(text.lines().map(str::trim));
    let bad = |line: usize, what: String| StockFault::Gpl { line, what };
    if lines.next().is_none_or(|(_, first)| first != MAGIC) {
        return Err(bad(1, format!("it does not begin with {MAGIC:?}")).into());
    }
    let (mut paints, mut places, mut unnamed) = (Vec::new(), Vec::new(), 0);
    for (line, words) in lines.filter(|(_, words)| !words.is_empty() && !words.starts_with('#')) {
        if let Some(columns) = words.strip_prefix("Columns:").filter(|_| paints.is_empty()) {
            let count = columns.trim().parse::<u32>().ok().filter(|&count| count <= COLUMNS);
            count.ok_or_else(|| bad(line, format!("{:?} is not 0 to {COLUMNS} columns", columns.trim())))?;
        } else if !(paints.is_empty() && words.starts_with("Name:")) {
            let (colour, name) = entry(words).map_err(|what| bad(line, what))?;
            let named = !matches!(name, "" | "Untitled");
            unnamed += usize::from(!named);
            paints.push(Paint::new(if named { name.to_owned() } else { colour.to_string() }, colour));
            places.push(line);
        }
    }
    let stock = Stock::placed(paints, |index| format!("line {}", places[index]))?;
    let note = format!("{unnamed} colours had no name and are called by their codes");
    Ok(stock.noted(if unnamed == 0 { Vec::new() } else { vec![note] }))
}

fn entry(words: &str) -> Result<(Rgb, &str), String> {
    let mut rest = words;
    let mut codes = [0; 3];
    for code in &mut codes {
        let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
        let (number, after) = rest.split_at(end);
        *code = number.parse().map_err(|_| format!("{number:?} is not a number from 0 to 255"))?;
        rest = after.trim_start();
    }
    Ok((Rgb(codes), rest))
}
