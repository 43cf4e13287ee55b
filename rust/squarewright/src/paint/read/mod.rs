//! Lists of paints as files: TOML, CSV and the open GPL palette text. Bytes in, a stock out, and text again.

mod csv;
mod gpl;
mod row;
mod text;
mod toml;
mod write;

pub use write::gpl_text;
pub(crate) use write::reads_as_formula;

use super::stock::Stock;
use crate::fault::{Error, Result};

/// How a list of paints is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Format {
    /// TOML 1.0: one table `[[paint]]` for each paint.
    Toml,
    /// A table with a header, its fields parted by commas or semicolons (RFC 4180).
    Csv,
    /// The palette text of free image editors: names and colours alone.
    Gpl,
}

impl Format {
    /// Tells the format by the ending of a file's name, and the text where that says nothing.
    pub fn of(name: &str, bytes: &[u8]) -> Self {
        let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending).to_ascii_lowercase();
        match &*ending {
            "toml" => Self::Toml,
            "csv" => Self::Csv,
            "gpl" => Self::Gpl,
            _ => match text::decoded(bytes) {
                Ok(text) if text.starts_with(gpl::MAGIC) => Self::Gpl,
                Ok(text) if text.lines().any(|line| line.trim() == "[[paint]]") => Self::Toml,
                _ => Self::Csv,
            },
        }
    }
}

impl Stock {
    /// The largest list of paints that is read, in bytes.
    pub const FILE_BYTES: usize = 1 << 20;

    /// Reads a list of paints; `decimal` is the sign before the decimals of numbers in text: `.` or `,`.
    ///
    /// # Errors
    /// [`Error::Stock`] with the row and the column of what is wrong.
    pub fn read(bytes: &[u8], format: Format, decimal: char) -> Result<Self> {
        if !matches!(decimal, '.' | ',') {
            let (must, got) = ("\".\" or \",\"".into(), format!("{decimal:?}"));
            return Err(Error::Argument { name: "decimal", must, got });
        }
        let text = text::decoded(bytes)?;
        match format {
            Format::Toml => {
                let (surface, rows) = toml::rows(&text)?;
                Ok(row::stock(rows, decimal)?.under(surface))
            }
            Format::Csv => row::stock(csv::rows(&text)?, decimal),
            Format::Gpl => gpl::stock(&text),
        }
    }

    /// Writes the list; GPL keeps names and colours alone, CSV all but the surface.
    pub fn to_text(&self, format: Format) -> String {
        match format {
            Format::Toml => write::toml(self),
            Format::Csv => write::csv(self),
            Format::Gpl => write::gpl(self),
        }
    }
}
