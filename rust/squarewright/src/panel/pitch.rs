//! Which cell sizes a maker likes to measure.

use crate::fault::{Error, Result};
use crate::length::{Length, Ratio, Ruler, System};

/// The cell sizes that a fit may choose from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Pitches {
    /// The ruler's own list: the faces of a scale ruler for inches, whole and half millimetres for metric.
    #[default]
    Friendly,
    /// Every multiple of the ruler's graduation.
    Any,
    /// Exactly these.
    Listed(Vec<Ratio>),
}

/// The divisions of a scale ruler, largest first.
pub(super) const SCALE: [Length; 10] = [
    Length::inches(3, 1),
    Length::inches(3, 2),
    Length::inches(1, 1),
    Length::inches(3, 4),
    Length::inches(1, 2),
    Length::inches(3, 8),
    Length::inches(1, 4),
    Length::inches(3, 16),
    Length::inches(1, 8),
    Length::inches(3, 32),
];

const HALF_MM: Length = Length::hundredths_mm(50);
const LEAST_METRIC: Length = Length::hundredths_mm(250);

impl Pitches {
    /// Finds the largest cell size of at most `room` for which `holds` is true, or none.
    ///
    /// # Errors
    /// [`Error::Argument`] when a list is empty.
    pub fn largest(&self, ruler: Ruler, room: Ratio, holds: impl Fn(Ratio) -> bool) -> Result<Option<Ratio>> {
        Ok(match self {
            Self::Listed(list) if list.is_empty() => {
                return Err(Error::Argument {
                    name: "pitches",
                    must: "at least one".into(),
                    got: "none".into(),
                });
            }
            Self::Listed(list) => list.iter().copied().filter(|&pitch| holds(pitch)).max(),
            Self::Any => multiples(ruler.graduation(), room).find(|&pitch| holds(pitch)),
            Self::Friendly => match ruler.system() {
                System::Inch => SCALE.iter().map(|length| length.ratio()).find(|&pitch| holds(pitch)),
                System::Metric => largest_half_mm(room, holds),
            },
        })
    }
}

/// Finds the largest whole or half millimetre, 2.5 mm or more, for which `holds` is true.
pub(super) fn largest_half_mm(room: Ratio, holds: impl Fn(Ratio) -> bool) -> Option<Ratio> {
    multiples(HALF_MM, room).take_while(|&pitch| pitch >= LEAST_METRIC.ratio()).find(|&pitch| holds(pitch))
}

/// Counts down through the multiples of `step` that are at most `room`.
fn multiples(step: Length, room: Ratio) -> impl Iterator<Item = Ratio> {
    let most = usize::try_from(room.holds(step.ratio())).unwrap_or(0);
    (1..=most).rev().map(move |count| step.ratio().times(count))
}
