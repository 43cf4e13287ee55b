//! The words of a book by key: every printed string stands in `assets/words`, in English and in each language.

mod catalogue;
mod long;
mod numbers;

use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use self::catalogue::{Catalogue, source, translated};
pub(super) use self::numbers::Reader;
use super::text::KEPT;
use crate::fault::{Error, Result};
use crate::palette::Shade;

static ENGLISH: LazyLock<Catalogue> =
    LazyLock::new(|| source(include_str!("../../../assets/words/squarewright.pot")));
static GERMAN: LazyLock<Catalogue> =
    LazyLock::new(|| translated(include_str!("../../../assets/words/de.po")));
static LONG: LazyLock<Catalogue> = LazyLock::new(|| long::of(&ENGLISH));

/// A language that books are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Language {
    /// British English.
    #[default]
    English,
    /// German.
    German,
    /// English made 40 % longer, for tests of the pages.
    Long,
}

impl Language {
    /// All of them, for people and for tests.
    pub const ALL: [Self; 3] = [Self::English, Self::German, Self::Long];

    /// Gives its tag (BCP 47).
    pub fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
            Self::Long => "x-long",
        }
    }

    /// Lists all words as they are for a count of things, by key.
    pub fn words(self, count: usize) -> impl Iterator<Item = (&'static str, &'static str)> {
        ENGLISH.keys().map(move |key| (&**key, self.form(key, count)))
    }

    fn catalogue(self) -> &'static Catalogue {
        match self {
            Self::English => &ENGLISH,
            Self::German => &GERMAN,
            Self::Long => &LONG,
        }
    }

    /// Gives the forms of a message, in English where the language lacks it.
    ///
    /// # Panics
    /// When English lacks it too; the tests compare the keys with those in the sources.
    fn forms(self, key: &str) -> &'static [String] {
        let forms = self.catalogue().get(key).or_else(|| ENGLISH.get(key));
        forms.unwrap_or_else(|| panic!("the catalogue has no {key:?}"))
    }

    /// Tells which form a count takes: both languages tell one from all other numbers (plural rules of Unicode CLDR,
    /// and `Plural-Forms` in the catalogues).
    fn form(self, key: &str, count: usize) -> &'static str {
        let forms = self.forms(key);
        &forms[usize::from(count != 1).min(forms.len() - 1)]
    }

    /// Gives the words under a key.
    pub(super) fn say(self, key: &str) -> &'static str {
        self.form(key, 1)
    }

    /// Counts things in words that stay on one line.
    pub(super) fn counted(self, what: &str, count: usize) -> String {
        kept(&self.tell(what, count, &[]))
    }

    /// Gives the words for a count of things, with each `{name}` and the `{count}` filled in.
    pub(super) fn tell(self, key: &str, count: usize, values: &[(&str, &dyn fmt::Display)]) -> String {
        filled(self.form(key, count), &[values, &[("count", &count)]].concat())
    }

    /// Gives the words under a key with each `{name}` filled in.
    pub(super) fn fill(self, key: &str, values: &[(&str, &dyn fmt::Display)]) -> String {
        filled(self.say(key), values)
    }

    /// Names a typical craft paint.
    pub(super) fn paint(self, name: &str) -> String {
        let forms = self.catalogue().get(&format!("paint.{}", name.replace(' ', "-")));
        forms.map_or_else(|| name.to_owned(), |forms| forms[0].clone())
    }

    /// Names a colour.
    pub(super) fn shade(self, shade: Shade) -> String {
        let family = self.say(&format!("family.{}", shade.family.word()));
        match shade.word() {
            Some("") => family.to_owned(),
            Some(word) => self.fill(&format!("shade.{}", word.replace(' ', "-")), &[("family", &family)]),
            None => {
                let (number, count) = (shade.step + 1, shade.count);
                self.fill("shade.numbered", &[("family", &family), ("number", &number), ("count", &count)])
            }
        }
    }
}

/// Fills values into words; what a value says is left alone.
fn filled(words: &str, values: &[(&str, &dyn fmt::Display)]) -> String {
    let mut text = String::new();
    let mut rest = words;
    while let Some((before, after)) = rest.split_once('{') {
        text.push_str(before);
        let (name, after) = after.split_once('}').unwrap_or((after, ""));
        let value = values.iter().find(|(known, _)| *known == name);
        text += &value.map_or_else(|| format!("{{{name}}}"), |(_, value)| value.to_string());
        rest = after;
    }
    text + rest
}

impl FromStr for Language {
    type Err = Error;

    /// Reads a tag of BCP 47.
    fn from_str(text: &str) -> Result<Self> {
        let tag = text.trim().to_ascii_lowercase();
        Self::ALL.into_iter().find(|language| language.tag() == tag).ok_or_else(|| Error::Argument {
            name: "language",
            must: "\"en\" or \"de\"".into(),
            got: format!("{text:?}"),
        })
    }
}

impl fmt::Display for Language {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.tag())
    }
}

/// Keeps a length such as `4 1/4 in` on one line.
pub(super) fn kept(length: &str) -> String {
    length.replace(' ', KEPT)
}
