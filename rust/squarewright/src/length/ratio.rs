//! An exact fraction of units, for divisions that are not whole.

use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, Sub};

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{Length, fraction, parse};

/// An exact length `numerator / denominator` units, kept in lowest terms with a denominator above zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ratio {
    numerator: i128,
    denominator: i128,
}

impl Ratio {
    /// Makes the fraction in lowest terms.
    ///
    /// # Panics
    /// When the denominator is zero.
    pub fn new(numerator: i128, denominator: i128) -> Self {
        assert!(denominator != 0, "a ratio has a denominator");
        let divisor = gcd(numerator, denominator) * denominator.signum();
        Self { numerator: numerator / divisor, denominator: denominator / divisor }
    }

    /// Gives the numerator, in units.
    pub fn numerator(self) -> i128 {
        self.numerator
    }

    /// Gives the denominator.
    pub fn denominator(self) -> i128 {
        self.denominator
    }

    /// Gives the count of units when it is whole and in range.
    pub fn whole(self) -> Option<Length> {
        (self.denominator == 1).then(|| i64::try_from(self.numerator).ok()).flatten().map(Length::from_units)
    }

    /// Gives the nearest length, half a unit (3.5 nm) away at most.
    pub fn nearest(self) -> Length {
        self.rounded_to(Length::from_units(1))
    }

    /// Multiplies by a count.
    #[must_use]
    pub fn times(self, count: usize) -> Self {
        Self::new(self.numerator * count as i128, self.denominator)
    }

    /// Divides by a count above zero.
    ///
    /// # Panics
    /// When the count is zero.
    #[must_use]
    pub fn over(self, count: usize) -> Self {
        Self::new(self.numerator, self.denominator * count as i128)
    }

    /// Counts how many whole `parts` it holds.
    pub fn holds(self, part: Self) -> i128 {
        (self.numerator * part.denominator).div_euclid(self.denominator * part.numerator)
    }

    /// Rounds to the nearest multiple of `graduation`, halves up.
    pub fn rounded_to(self, graduation: Length) -> Length {
        let q = i128::from(graduation.units());
        let count = (2 * self.numerator + q * self.denominator).div_euclid(2 * q * self.denominator);
        to_length(count * q)
    }

    /// Rounds down to a multiple of `graduation`.
    pub fn floor_to(self, graduation: Length) -> Length {
        let q = i128::from(graduation.units());
        to_length(self.numerator.div_euclid(q * self.denominator) * q)
    }

    /// Gives the value in millimetres.
    pub fn mm(self) -> f64 {
        self.numerator as f64 / (self.denominator as f64 * Length::MM.units() as f64)
    }

    /// Gives the value in PDF points.
    pub fn pt(self) -> f64 {
        self.numerator as f64 / (self.denominator as f64 * Length::PT.units() as f64)
    }

    /// Gives the value without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self { numerator: self.numerator.abs(), denominator: self.denominator }
    }

    /// Tells whether the value is above zero.
    pub fn is_positive(self) -> bool {
        self.numerator > 0
    }
}

fn gcd(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.abs(), b.abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

fn to_length(units: i128) -> Length {
    Length::from_units(i64::try_from(units).unwrap_or(if units < 0 { i64::MIN } else { i64::MAX }))
}

impl From<Length> for Ratio {
    fn from(length: Length) -> Self {
        length.ratio()
    }
}

impl Add for Ratio {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(
            self.numerator * other.denominator + other.numerator * self.denominator,
            self.denominator * other.denominator,
        )
    }
}

impl Sub for Ratio {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + Self { numerator: -other.numerator, denominator: other.denominator }
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ratio {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.numerator * other.denominator).cmp(&(other.numerator * self.denominator))
    }
}

impl fmt::Display for Ratio {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&fraction::exact(*self))
    }
}

impl Serialize for Ratio {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Ratio {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        parse(&text, "length").map_err(serde::de::Error::custom)
    }
}
