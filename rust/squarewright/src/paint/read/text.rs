//! Bytes become text: UTF-8 with or without a byte order mark, or UTF-16 with one (Unicode 15, section 2.6).

use crate::fault::{Result, StockFault};
use crate::paint::Stock;

pub(super) fn decoded(bytes: &[u8]) -> Result<String> {
    if bytes.len() > Stock::FILE_BYTES {
        let what = format!("{} KiB", bytes.len().div_ceil(1024));
        return Err(StockFault::TooBig { what, limit: format!("{} KiB", Stock::FILE_BYTES / 1024) }.into());
    }
    let text = match bytes {
        [0xff, 0xfe, rest @ ..] => wide(rest, u16::from_le_bytes)?,
        [0xfe, 0xff, rest @ ..] => wide(rest, u16::from_be_bytes)?,
        _ => {
            let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
            let text = std::str::from_utf8(bytes)
                .map_err(|error| fault(&bytes[..error.valid_up_to()], "a byte that is not UTF-8"))?;
            text.to_owned()
        }
    };
    match text.find('\0') {
        Some(at) => Err(fault(&text.as_bytes()[..at], "a NUL character").into()),
        None => Ok(text),
    }
}

fn wide(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<String> {
    let odd = StockFault::Encoding { place: "the end".into(), what: "half a character of UTF-16" };
    let units = bytes.chunks(2).map(|pair| <[u8; 2]>::try_from(pair).map(unit));
    let units: Vec<u16> = units.collect::<Result<_, _>>().map_err(|_| odd)?;
    let mut text = String::new();
    for letter in char::decode_utf16(units) {
        text.push(letter.map_err(|_| fault(text.as_bytes(), "half a character of UTF-16"))?);
    }
    Ok(text)
}

fn fault(before: &[u8], what: &'static str) -> StockFault {
    StockFault::Encoding { place: format!("row {}", row_after(before)), what }
}

/// Gives the row, from 1, in which text goes on.
pub(super) fn row_after(before: &[u8]) -> usize {
    before.split(|&byte| byte == b'\n').count()
}
