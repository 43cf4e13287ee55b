//! A table with a header (RFC 4180), parted by commas or semicolons, whichever its header holds more of.

use csv::{ReaderBuilder, StringRecord, Trim};

use super::row::{COLUMNS, Row, column, unknown};
use super::write::unguarded;
use crate::fault::{Result, StockFault};
use crate::paint::Stock;

pub(super) fn rows(text: &str) -> Result<Vec<Row>> {
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let count = |sign: char| first.matches(sign).count();
    let delimiter = if count(';') > count(',') { b';' } else { b',' };
    let mut reader = ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(false)
        .trim(Trim::All)
        .from_reader(text.as_bytes());
    let mut columns: Option<Vec<usize>> = None;
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record
            .map_err(|error| StockFault::Syntax { place: "the table".into(), what: error.to_string() })?;
        let place = format!("row {}", record.position().map_or(1, csv::Position::line));
        match &columns {
            None => columns = Some(header(&record, &place)?),
            Some(columns) if record.iter().any(|field| !field.is_empty()) => {
                rows.push(row(columns, &record, place)?);
            }
            Some(_) => {}
        }
        if rows.len() > Stock::LIMIT {
            let (what, limit) =
                (format!("more than {} rows", Stock::LIMIT), format!("{} rows", Stock::LIMIT));
            return Err(StockFault::TooBig { what, limit }.into());
        }
    }
    Ok(rows)
}

fn header(record: &StringRecord, place: &str) -> Result<Vec<usize>> {
    let mut columns = Vec::new();
    for name in record {
        let at = || format!("{place}, column {name:?}");
        // A first row of values is no header: better said than that a colour is no column.
        let Some(index) = column(name) else {
            return Err(if record.iter().any(|name| column(name).is_some()) {
                unknown(place.into(), name)
            } else {
                no_header(place)
            }
            .into());
        };
        if columns.contains(&index) {
            return Err(StockFault::Column { place: at(), what: "it stands there twice".into() }.into());
        }
        columns.push(index);
    }
    if let Some(needed) = [0, 1].into_iter().find(|needed| !columns.contains(needed)) {
        let what = format!("there is no column {}", COLUMNS[needed]);
        return Err(StockFault::Column { place: place.into(), what }.into());
    }
    Ok(columns)
}

fn no_header(place: &str) -> StockFault {
    StockFault::Column {
        place: place.into(),
        what: "there is no header with the names of the columns".into(),
    }
}

fn row(columns: &[usize], record: &StringRecord, place: String) -> Result<Row> {
    if record.len() > columns.len() {
        let what = format!("{} fields under {} columns", record.len(), columns.len());
        return Err(StockFault::Column { place, what }.into());
    }
    let mut row = Row { place, ..Row::default() };
    for (&column, field) in columns.iter().zip(record) {
        row.fields[column] = Some(unguarded(field).to_owned());
    }
    Ok(row)
}
