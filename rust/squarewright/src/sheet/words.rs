//! The message catalogue: every printed string stands in `assets/words.en.txt` under its key.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use super::text::KEPT;
use crate::fault::{Error, Result};

type Catalogue = BTreeMap<&'static str, &'static str>;

static ENGLISH: LazyLock<Catalogue> = LazyLock::new(|| {
    let lines = include_str!("../../assets/words.en.txt").lines();
    lines.filter(|line| !line.starts_with('#')).filter_map(|line| line.split_once(" = ")).collect()
});

/// A language that books are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Language {
    /// British English.
    #[default]
    English,
}

impl Language {
    fn catalogue(self) -> &'static Catalogue {
        match self {
            Self::English => &ENGLISH,
        }
    }

    /// Gives the words under a key.
    ///
    /// # Panics
    /// When the catalogue lacks the key; the tests draw every page.
    pub(super) fn say(self, key: &str) -> &'static str {
        self.catalogue().get(key).unwrap_or_else(|| panic!("the catalogue has no {key:?}"))
    }

    /// Counts things in words: `{what}.one` for one of them, `{what}.many` for any other number.
    pub(super) fn counted(self, what: &str, count: usize) -> String {
        kept(&match count {
            1 => self.say(&format!("{what}.one")).to_owned(),
            _ => self.fill(&format!("{what}.many"), &[("count", &count)]),
        })
    }

    /// Gives the words under a key with each `{name}` filled in.
    pub(super) fn fill(self, key: &str, values: &[(&str, &dyn fmt::Display)]) -> String {
        values.iter().fold(self.say(key).to_owned(), |text, (name, value)| {
            text.replace(&format!("{{{name}}}"), &value.to_string())
        })
    }
}

impl FromStr for Language {
    type Err = Error;

    /// Reads a language code of ISO 639-1.
    fn from_str(text: &str) -> Result<Self> {
        match text.trim().to_ascii_lowercase().as_str() {
            "en" => Ok(Self::English),
            _ => Err(Error::Argument { name: "language", must: "\"en\"".into(), got: format!("{text:?}") }),
        }
    }
}

impl fmt::Display for Language {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::English => "en",
        })
    }
}

/// Keeps a length such as `4 1/4 in` on one line.
pub(super) fn kept(length: &str) -> String {
    length.replace(' ', KEPT)
}
