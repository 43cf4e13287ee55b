//! Repeatable chance: the same seed, the same draws, on every machine.

/// `SplitMix64` (Steele, Lea and Flood 2014, doi 10.1145/2660193.2660195).
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// Draws a number from 0 up to but without 1.
    pub(super) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / 9_007_199_254_740_992.0
    }

    /// Draws a whole number from 0 up to but without `count`, which is above zero.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        // The upper half of a product of 128 bits is below the count.
        usize::try_from((u128::from(self.next()) * count as u128) >> 64).unwrap_or(0)
    }

    /// Draws a place, each as often as its weight says; none when no weight is above zero.
    pub(super) fn place(&mut self, weights: &[f32]) -> Option<usize> {
        let total: f64 = weights.iter().map(|&weight| f64::from(weight)).sum();
        let mut left = self.share() * total;
        let mut last = None;
        for (place, &weight) in weights.iter().enumerate().filter(|(_, weight)| **weight > 0.0) {
            last = Some(place);
            left -= f64::from(weight);
            if left < 0.0 {
                break;
            }
        }
        last
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_draws_are_those_of_the_published_generator() {
        // first outputs for seed 1234567 of the reference code (public domain, Vigna 2015); from memory
        let mut chance = Chance::new(1_234_567);
        assert_eq!(chance.next(), 6_457_827_717_110_365_317);
        assert_eq!(chance.next(), 3_203_168_211_198_807_973);
    }

    #[test]
    fn weight_decides_what_is_drawn() {
        let mut chance = Chance::new(0);
        assert_eq!(chance.place(&[0.0, 0.0]), None);
        assert!((0..50).all(|_| chance.place(&[0.0, 3.0, 0.0]) == Some(1)));
        let often = (0..1000).filter(|_| chance.place(&[1.0, 3.0]) == Some(1)).count();
        assert!((650..850).contains(&often), "{often}");
    }
}
