//! An open hand in outline: set beside a picture, it says how large the thing will be.

use super::draw::{Line, Path};
use crate::length::{Length, Place};

/// How long a grown hand is, from the wrist to the tip of the middle finger: about 7 1/2 in (common practice).
pub(super) const LONG: Length = Length::inches(15, 2);
/// How wide it is with the thumb held out.
pub(super) const WIDE: Length = Length::inches(9, 2);

/// A finger in hundredths of the hand's length: its left and right side, where it parts from the one before,
/// and its tip.
const FINGERS: [[i64; 4]; 4] = [[0, 10, 55, 74], [11, 22, 52, 92], [23, 34, 52, 100], [35, 46, 55, 93]];
/// The thumb, the heel and the wrist, in the same measure.
const THUMB: [(i64, i64); 6] = [(46, 40), (53, 52), (58, 53), (59, 47), (50, 24), (40, 10)];
const WRIST: [(i64, i64); 5] = [(39, 0), (9, 0), (7, 10), (1, 26), (0, 40)];

/// Draws a hand whose wrist stands on `foot`, its left side at the left, `long` from wrist to tip.
pub(super) fn palm(foot: Place, long: Length) -> Path {
    let unit = long.units() as f64 / 100.0;
    #[expect(clippy::cast_possible_truncation, reason = "within a page")]
    let place = |x: f64, up: f64| {
        foot.moved(
            Length::from_units((x * unit).round() as i64),
            Length::from_units((-up * unit).round() as i64),
        )
    };
    let mut places = Vec::new();
    for [left, right, root, tip] in FINGERS {
        let (left, right, tip) = (left as f64, right as f64, tip as f64);
        let radius = (right - left) / 2.0;
        places.push(place(left, root as f64));
        for step in 0..=8 {
            let (sine, cosine) = libm::sincos(std::f64::consts::PI * f64::from(step) / 8.0);
            places.push(place(left + radius * (1.0 - cosine), tip - radius * (1.0 - sine)));
        }
        places.push(place(right, root as f64));
    }
    places.extend(THUMB.into_iter().chain(WRIST).map(|(x, up)| place(x as f64, up as f64)));
    Path(vec![Line { places, closed: true }])
}
