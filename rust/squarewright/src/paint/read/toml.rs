//! TOML 1.0: one table `[[paint]]` for each paint, before them `surface` where layers of them have one.

use toml::{Table, Value};

use super::row::{COLUMNS, Row, column, unknown};
use super::text::row_after;
use crate::fault::{Result, StockFault};
use crate::paint::Surface;

pub(super) fn rows(text: &str) -> Result<(Surface, Vec<Row>)> {
    let mut table: Table = text.parse().map_err(|error: toml::de::Error| {
        let at = error.span().map_or(0, |span| span.start).min(text.len());
        let line = row_after(&text.as_bytes()[..at]);
        let what = error.message().lines().next().unwrap_or_default().to_owned();
        StockFault::Syntax { place: format!("row {line}"), what }
    })?;
    let (paints, shares) = (table.remove("paint"), table.remove("surface"));
    let surface = shares.map_or(Ok(Surface::NONE), surface)?;
    if let Some((key, _)) = table.into_iter().next() {
        let what = format!("there is no {key:?}: paints stand in tables [[paint]]");
        return Err(StockFault::Column { place: "the file".into(), what }.into());
    }
    let not_tables =
        || StockFault::Column { place: "paint".into(), what: "it is not a list of tables [[paint]]".into() };
    let paints = match paints {
        None => Vec::new(),
        Some(Value::Array(paints)) => paints,
        Some(_) => return Err(not_tables().into()),
    };
    let row = |(number, paint): (usize, Value)| match paint {
        Value::Table(table) => row(format!("paint {number}"), table),
        _ => Err(not_tables().into()),
    };
    let rows = (1..).zip(paints).map(row).collect::<Result<_>>()?;
    Ok((surface, rows))
}

fn surface(shares: Value) -> Result<Surface> {
    let got = shares.to_string();
    let number = |share: &Value| share.as_float().or_else(|| Some(share.as_integer()? as f64));
    let shares = match shares.as_array().map(Vec::as_slice) {
        Some([outer, inner]) => number(outer).zip(number(inner)),
        _ => None,
    };
    let surface = shares.and_then(|(outer, inner)| Surface::new(outer, inner).ok());
    let must = "two shares from 0 up to 1, such as [0.02, 0.4]";
    surface.ok_or_else(|| StockFault::Word { place: "surface".into(), must, got }.into())
}

fn row(place: String, table: Table) -> Result<Row> {
    let mut row = Row { place, ..Row::default() };
    for (key, value) in table {
        let index = column(&key).ok_or_else(|| unknown(row.place.clone(), &key))?;
        let text = match value {
            Value::String(text) => text,
            Value::Boolean(yes) => if yes { "yes" } else { "no" }.into(),
            Value::Integer(number) => number.to_string(),
            Value::Float(number) => number.to_string(),
            Value::Datetime(_) | Value::Array(_) | Value::Table(_) => {
                let place = format!("{}, column {}", row.place, COLUMNS[index]);
                return Err(
                    StockFault::Word { place, must: "text or a number", got: value.to_string() }.into()
                );
            }
        };
        row.fields[index] = Some(text);
    }
    Ok(row)
}
