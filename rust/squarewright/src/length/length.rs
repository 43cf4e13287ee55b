//! A length as a whole count of units.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub};

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{Ratio, parse};
use crate::fault::{Error, Result};

/// An exact length: a whole count of units, 3,657,600 to the inch and so 144,000 to the millimetre.
///
/// That unit makes 1/128 in, 1/60 in, 0.01 mm, the PDF point and the CSS pixel all whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);
    /// One inch.
    pub const INCH: Self = Self(3_657_600);
    /// One millimetre.
    pub const MM: Self = Self(144_000);
    /// One PDF point, 1/72 in.
    pub const PT: Self = Self(50_800);
    /// The longest length that is accepted: 1 km.
    pub const LONGEST: Self = Self(144_000_000_000);

    /// Makes a length from a count of units.
    pub const fn from_units(units: i64) -> Self {
        Self(units)
    }

    /// Makes `numerator / denominator` inches, which must be a whole count of units.
    ///
    /// # Panics
    /// When the fraction is finer than the unit: meant for constants such as `inches(3, 16)`.
    pub const fn inches(numerator: i64, denominator: i64) -> Self {
        assert!(
            (numerator * Self::INCH.0) % denominator == 0,
            "a constant in inches is a whole count of units"
        );
        Self(numerator * Self::INCH.0 / denominator)
    }

    /// Makes a count of hundredths of a millimetre.
    pub const fn hundredths_mm(hundredths: i64) -> Self {
        Self(hundredths * Self::MM.0 / 100)
    }

    /// Makes a count of tenths of a PDF point.
    pub const fn tenths_pt(tenths: i64) -> Self {
        Self(tenths * Self::PT.0 / 10)
    }

    /// Reads a length with its unit.
    ///
    /// # Errors
    /// [`Error::Length`] when the text is not a length, or is finer than one unit.
    pub fn parse(text: &str, field: &'static str) -> Result<Self> {
        let exact = parse(text, field)?;
        exact
            .whole()
            .ok_or_else(|| Error::Length { field, got: format!("{text:?}, finer than this can hold") })
    }

    /// Gives the count of units.
    pub const fn units(self) -> i64 {
        self.0
    }

    /// Gives the length in millimetres.
    pub fn mm(self) -> f64 {
        self.0 as f64 / Self::MM.0 as f64
    }

    /// Gives the length in PDF points.
    pub fn pt(self) -> f64 {
        self.0 as f64 / Self::PT.0 as f64
    }

    /// Gives the exact fraction that this length is.
    pub fn ratio(self) -> Ratio {
        Ratio::new(i128::from(self.0), 1)
    }

    /// Gives half of the length, rounded to the unit.
    #[must_use]
    pub const fn half(self) -> Self {
        Self(self.0 / 2)
    }

    /// Gives the length without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Passes a length above zero.
    ///
    /// # Errors
    /// [`Error::Length`] when it is zero or negative.
    pub fn positive(self, field: &'static str) -> Result<Self> {
        if self.0 > 0 { Ok(self) } else { Err(Error::Length { field, got: self.to_string() }) }
    }

    /// Passes a length of zero or more.
    ///
    /// # Errors
    /// [`Error::Length`] when it is negative.
    pub fn not_negative(self, field: &'static str) -> Result<Self> {
        if self.0 >= 0 { Ok(self) } else { Err(Error::Length { field, got: self.to_string() }) }
    }
}

impl fmt::Display for Length {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.ratio().fmt(formatter)
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, count: i64) -> Self {
        Self(self.0 * count)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

impl Serialize for Length {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Length {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text, "length").map_err(serde::de::Error::custom)
    }
}
