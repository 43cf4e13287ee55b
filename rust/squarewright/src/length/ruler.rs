//! What the maker measures with: it decides which pitches are friendly and how a length is read.

use std::str::FromStr;

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{Length, Ratio, fraction};
use crate::fault::{Error, Result};

/// The system that a ruler is cut in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum System {
    /// Inches and their binary fractions.
    Inch,
    /// Millimetres.
    Metric,
}

impl FromStr for System {
    type Err = Error;

    /// Reads `inch` or `metric`.
    fn from_str(text: &str) -> Result<Self> {
        match text {
            "inch" => Ok(Self::Inch),
            "metric" => Ok(Self::Metric),
            _ => {
                let must = "\"inch\" or \"metric\"".into();
                Err(Error::Argument { name: "units", must, got: format!("{text:?}") })
            }
        }
    }
}

/// A ruler: its graduation, its system, and whether it is a three-sided scale ruler.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Ruler {
    graduation: Length,
    system: System,
    scale: bool,
}

impl Ruler {
    /// The finest and the coarsest graduation that a ruler may have.
    const FINEST: Length = Length::hundredths_mm(10);
    const COARSEST: Length = Length::inches(1, 1);

    /// Makes a plain ruler of the given graduation.
    ///
    /// # Errors
    /// [`Error::Argument`] when the graduation is finer than 0.1 mm or coarser than 1 in.
    pub fn new(graduation: Length) -> Result<Self> {
        if graduation < Self::FINEST || graduation > Self::COARSEST {
            return Err(Error::Argument {
                name: "ruler",
                must: "the space between two neighbouring lines, 0.1 mm to 1 in, or \"scale ruler\"".into(),
                got: graduation.to_string(),
            });
        }
        // No inch graduation in use is a whole count of tenths of a millimetre.
        let metric = graduation.units() % Length::hundredths_mm(10).units() == 0;
        Ok(Self { graduation, system: if metric { System::Metric } else { System::Inch }, scale: false })
    }

    /// Makes a three-sided scale ruler: its full-size face is cut in 1/16 in.
    pub const fn scale() -> Self {
        Self { graduation: Length::inches(1, 16), system: System::Inch, scale: true }
    }

    /// Reads `"1/16 in"`, `"0.5 mm"` or `"scale ruler"`.
    ///
    /// # Errors
    /// [`Error::Length`] or [`Error::Argument`] when the text names no ruler.
    pub fn parse(text: &str) -> Result<Self> {
        match text.trim().to_ascii_lowercase().as_str() {
            "scale ruler" | "scale" => Ok(Self::scale()),
            _ => Self::new(Length::parse(text, "ruler")?),
        }
    }

    /// Gives the ruler that most people have: cut to 1/16 in or to 1 mm.
    pub fn common(system: System) -> Self {
        match system {
            System::Inch => Self::default(),
            System::Metric => Self { graduation: Length::hundredths_mm(100), system, scale: false },
        }
    }

    /// Gives the space between two neighbouring lines.
    pub fn graduation(self) -> Length {
        self.graduation
    }

    /// Gives the system that it is cut in.
    pub fn system(self) -> System {
        self.system
    }

    /// Tells whether it is a scale ruler.
    pub fn is_scale(self) -> bool {
        self.scale
    }

    /// Writes a length as it is read off this ruler, exactly where that can be done in its system.
    pub fn text(self, length: impl Into<Ratio>) -> String {
        let ratio = length.into();
        match self.system {
            System::Inch if Self::is_binary(ratio) => fraction::inches(ratio),
            System::Inch => format!("{:.3} in", ratio.mm() / 25.4),
            System::Metric => {
                let hundredth = Length::hundredths_mm(1);
                fraction::hundredths(ratio.rounded_to(hundredth).units() / hundredth.units())
            }
        }
    }

    /// Writes a length to the nearest line of this ruler; one too short for any line as it is.
    pub fn near(self, length: impl Into<Ratio>) -> String {
        let ratio = length.into();
        let near = ratio.rounded_to(self.graduation);
        if near == Length::ZERO { self.text(ratio) } else { self.text(near) }
    }

    /// Writes a length to the next line of this ruler, never shorter than it is.
    pub fn above(self, length: Length) -> String {
        let up = Length::from_units(self.graduation.units() - 1);
        self.text((length + up).ratio().floor_to(self.graduation))
    }

    /// Writes a length without its unit, for the cells of a table.
    pub fn number(self, length: impl Into<Ratio>) -> String {
        let text = self.text(length);
        text.trim_end_matches(" in").trim_end_matches(" mm").to_owned()
    }

    fn is_binary(ratio: Ratio) -> bool {
        ratio.whole().is_some_and(|length| length.units() % Length::inches(1, 128).units() == 0)
    }

    /// Gives the face of the scale ruler on which one division is one `pitch`, if there is one.
    pub fn face(self, pitch: Ratio) -> Option<ScaleFace> {
        let pitch = pitch.whole().filter(|_| self.scale)?;
        let (unit, twin) = ScaleFace::PAIRS.into_iter().find_map(|(a, b)| match pitch {
            _ if pitch == a => Some((a, b)),
            _ if pitch == b => Some((b, a)),
            _ => None,
        })?;
        Some(ScaleFace { unit, twin })
    }
}

impl Default for Ruler {
    /// Gives the plain ruler in 1/16 in.
    fn default() -> Self {
        Self { graduation: Length::inches(1, 16), system: System::Inch, scale: false }
    }
}

impl fmt::Display for Ruler {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.scale { formatter.write_str("scale ruler") } else { self.graduation.fmt(formatter) }
    }
}

impl From<Ruler> for String {
    fn from(ruler: Ruler) -> Self {
        ruler.to_string()
    }
}

impl TryFrom<String> for Ruler {
    type Error = Error;
    fn try_from(text: String) -> Result<Self> {
        Self::parse(&text)
    }
}

/// One face of a scale ruler: divisions of one size, sharing an edge with divisions of twice or half that.
///
/// The faces and their pairing are those of the architect's scale as drafting handbooks give them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScaleFace {
    unit: Length,
    twin: Length,
}

impl ScaleFace {
    const PAIRS: [(Length, Length); 5] = [
        (Length::inches(3, 32), Length::inches(3, 16)),
        (Length::inches(1, 8), Length::inches(1, 4)),
        (Length::inches(3, 8), Length::inches(3, 4)),
        (Length::inches(1, 2), Length::inches(1, 1)),
        (Length::inches(3, 2), Length::inches(3, 1)),
    ];
    /// The length of the ruler itself.
    const SPAN: Length = Length::inches(12, 1);

    /// Gives the size of one division.
    pub fn unit(self) -> Length {
        self.unit
    }

    /// Gives the division that shares the edge and is numbered from the other end.
    pub fn twin(self) -> Length {
        self.twin
    }

    /// Counts the divisions beyond the 0: one more lies before it, finely divided.
    pub fn divisions(self) -> usize {
        usize::try_from(Self::SPAN.units() / self.unit.units()).unwrap_or(0) - 1
    }

    /// Counts how often the ruler is set down anew to count `cells` from the start edge.
    pub fn resets(self, cells: usize) -> usize {
        cells.div_ceil(self.divisions()).saturating_sub(1)
    }
}
