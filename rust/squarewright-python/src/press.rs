//! How a book is printed, from keywords.

use std::collections::BTreeMap;

use pyo3::prelude::*;
use squarewright::length::System;
use squarewright::sheet::{Language, Pages, Press, Stretch};

use crate::failure::Failure;
use crate::length::whole;

/// The keywords of `to_pdf` as they come in.
#[derive(FromPyObject)]
pub(crate) enum Names {
    One(String),
    Many(Vec<String>),
}

/// A bar and what it measured across and down.
pub(crate) type Bars<'py> = (Bound<'py, PyAny>, Bound<'py, PyAny>, Bound<'py, PyAny>);

/// What was asked for.
pub(crate) struct Printing<'a, 'py> {
    pub(crate) paper: &'a str,
    pub(crate) pages: Option<Names>,
    pub(crate) units: Option<&'a str>,
    pub(crate) large_print: bool,
    pub(crate) ink: &'a str,
    pub(crate) language: &'a str,
    pub(crate) bars: Option<Bars<'py>>,
}

impl Printing<'_, '_> {
    /// Checks all of it.
    pub(crate) fn press(self) -> PyResult<Press> {
        let pages = self.pages.map(|names| match names {
            Names::One(name) => Pages::named(&[&name]),
            Names::Many(names) => Pages::named(&names.iter().map(String::as_str).collect::<Vec<_>>()),
        });
        let stretch = self.bars.map(|(bar, across, down)| {
            let length = |value| whole(value, "bars");
            Stretch::of_bars(length(&bar)?, length(&across)?, length(&down)?)
                .map_err(Failure::from)
                .map_err(PyErr::from)
        });
        Ok(Press {
            paper: self.paper.parse().map_err(Failure::from)?,
            pages: pages.transpose().map_err(Failure::from)?.unwrap_or_default(),
            language: self.language.parse().map_err(Failure::from)?,
            units: self.units.map(str::parse::<System>).transpose().map_err(Failure::from)?,
            large_print: self.large_print,
            ink: self.ink.parse().map_err(Failure::from)?,
            stretch: stretch.transpose()?.unwrap_or_default(),
        })
    }
}

/// Give the words of a language as they are for a count of things, so that tests can compare them with the catalogues.
#[pyfunction]
#[pyo3(name = "_words")]
pub(crate) fn words(language: &str, count: usize) -> PyResult<BTreeMap<&'static str, &'static str>> {
    Ok(language.parse::<Language>().map_err(Failure::from)?.words(count).collect())
}
