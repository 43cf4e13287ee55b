//! Numbers and lengths as a language writes them: the one place that knows its decimal sign and its units.
//! Thousands are not parted, and fractions stay as rulers are cut.

use super::Language;
use crate::length::{Length, Ratio, Ruler};

impl Language {
    /// Writes a number with so many digits behind the decimal sign.
    pub(in crate::sheet) fn decimal(self, value: f64, digits: usize) -> String {
        self.pointed(&format!("{value:.digits$}"))
    }

    /// Writes a number with so many digits behind the decimal sign or fewer, without idle zeros.
    pub(in crate::sheet) fn number(self, value: f64, digits: usize) -> String {
        let text = format!("{value:.digits$}");
        let idle = text.contains('.');
        self.pointed(if idle { text.trim_end_matches('0').trim_end_matches('.') } else { &text })
    }

    /// Writes millilitres as a hand can measure them: tenths for a few, else whole ones.
    pub(in crate::sheet) fn millilitres(self, ml: f64) -> String {
        let number = if ml < 10.0 { self.decimal(ml, 1) } else { self.decimal(ml.ceil(), 0) };
        format!("{number} {}", self.say("unit.ml"))
    }

    /// Writes what was read off a ruler: `4.76 mm`.
    pub(in crate::sheet) fn length(self, read: &str) -> String {
        let Some((number, unit)) = read.rsplit_once(' ') else { return self.pointed(read) };
        format!("{} {}", self.pointed(number), self.say(&format!("unit.{unit}")))
    }

    /// Gives a ruler that is read aloud in this language.
    pub(in crate::sheet) fn reader(self, ruler: Ruler) -> Reader {
        Reader { ruler, language: self }
    }

    fn pointed(self, number: &str) -> String {
        number.replace('.', self.say("number.point"))
    }
}

/// A ruler, and the language in which its lengths are written.
#[derive(Debug, Clone, Copy)]
pub(in crate::sheet) struct Reader {
    ruler: Ruler,
    language: Language,
}

impl Reader {
    /// Writes a length exactly where the ruler's system can, as [`Ruler::text`] does.
    pub(in crate::sheet) fn text(self, length: impl Into<Ratio>) -> String {
        self.language.length(&self.ruler.text(length))
    }

    /// Writes a length to the nearest line of the ruler.
    pub(in crate::sheet) fn near(self, length: impl Into<Ratio>) -> String {
        self.language.length(&self.ruler.near(length))
    }

    /// Writes a length to the next line of the ruler, never shorter than it is.
    pub(in crate::sheet) fn above(self, length: Length) -> String {
        self.language.length(&self.ruler.above(length))
    }

    /// Writes a length without its unit.
    pub(in crate::sheet) fn number(self, length: impl Into<Ratio>) -> String {
        self.language.pointed(&self.ruler.number(length))
    }

    /// Names the ruler.
    pub(in crate::sheet) fn name(self) -> String {
        if self.ruler.is_scale() {
            return self.language.say("ruler.scale").to_owned();
        }
        self.language.length(&self.ruler.to_string())
    }

    /// Gives the space between two neighbouring lines.
    pub(in crate::sheet) fn graduation(self) -> Length {
        self.ruler.graduation()
    }
}
