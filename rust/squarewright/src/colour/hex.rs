//! Colours as text: `#rrggbb` out; `#rrggbb`, `rrggbb` or `#rgb` in.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::Rgb;
use crate::fault::Error;

impl fmt::Display for Rgb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [r, g, b] = self.0;
        write!(f, "#{r:02x}{g:02x}{b:02x}")
    }
}

impl FromStr for Rgb {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        codes(text).map(Self).ok_or_else(|| Error::Colour { got: format!("{text:?}") })
    }
}

fn codes(text: &str) -> Option<[u8; 3]> {
    let (marked, digits) = text.strip_prefix('#').map_or((false, text), |digits| (true, digits));
    let digit = digits.bytes().map(nibble).collect::<Option<Vec<u8>>>()?;
    match (digit.as_slice(), marked) {
        (&[r, g, b], true) => Some([r, g, b].map(|digit| digit * 17)),
        (&[r, s, g, h, b, c], _) => Some([r * 16 + s, g * 16 + h, b * 16 + c]),
        _ => None,
    }
}

fn nibble(byte: u8) -> Option<u8> {
    match byte {
        b'0'..=b'9' => Some(byte - b'0'),
        b'a'..=b'f' => Some(byte - b'a' + 10),
        b'A'..=b'F' => Some(byte - b'A' + 10),
        _ => None,
    }
}

impl Serialize for Rgb {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Rgb {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Cow::<str>::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}
