//! Many colours at once, ready to be compared with a few.

use crate::colour::{Lab, Oklab, Tone};

/// How much more than in Oklab a difference in red-green or yellow-blue counts: without it small vivid
/// things, an eye or a beak, go grey.
const VIVID: f64 = 2.2;

/// Colours with weights, prepared for [`choose`](super::choose).
#[derive(Debug, Clone, Default)]
pub struct Pool {
    pub(super) places: Vec<[f32; 3]>,
    /// The colours for the exact measure.
    pub tones: Vec<Tone>,
    /// How much each colour counts, 0 or more.
    pub weights: Vec<f32>,
}

impl Pool {
    /// Prepares linear light, each colour counting `weight`.
    pub fn new(light: impl Iterator<Item = ([f32; 3], f32)>) -> Self {
        let mut pool = Self::default();
        for (light, weight) in light {
            let light = light.map(f64::from);
            pool.places.push(place(light));
            pool.tones.push(Tone::from(Lab::from_linear(light)));
            pool.weights.push(weight);
        }
        pool
    }

    /// Counts the colours.
    pub fn len(&self) -> usize {
        self.tones.len()
    }

    /// Says whether there is no colour at all.
    pub fn is_empty(&self) -> bool {
        self.tones.is_empty()
    }

    /// Keeps at most `most` of the colours that count, evenly drawn.
    pub(super) fn thinned(&self, most: usize) -> Self {
        let counting: Vec<usize> = (0..self.len()).filter(|&place| self.weights[place] > 0.0).collect();
        let step = counting.len().div_ceil(most).max(1);
        self.part(&mut counting.into_iter().step_by(step))
    }

    /// Gives a pool of the colours at some places.
    #[must_use]
    pub fn part(&self, places: &mut dyn Iterator<Item = usize>) -> Self {
        let mut pool = Self::default();
        for place in places {
            pool.places.push(self.places[place]);
            pool.tones.push(self.tones[place]);
            pool.weights.push(self.weights[place]);
        }
        pool
    }
}

#[expect(clippy::cast_possible_truncation, reason = "seven digits are plenty for a difference")]
pub(super) fn place(light: [f64; 3]) -> [f32; 3] {
    let Oklab { l, a, b } = Oklab::from_linear(light);
    [l as f32, (VIVID * a) as f32, (VIVID * b) as f32]
}

/// Gives the square of the plain distance.
pub(super) fn apart(one: [f32; 3], other: [f32; 3]) -> f32 {
    let [l, a, b] = [one[0] - other[0], one[1] - other[1], one[2] - other[2]];
    l * l + a * a + b * b
}
