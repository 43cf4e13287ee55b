//! The curves of scalers: cubic convolution (R. G. Keys, 1981), Lanczos windows (C. E. Duchon, 1979), and tables
//! of them.

use std::sync::LazyLock;

/// Cubic convolution at a distance of `a`; `bend` is its slope at 1.
pub(super) fn cubic(a: f64, bend: f64) -> f64 {
    if a < 1.0 {
        ((bend + 2.0) * a - (bend + 3.0)) * a * a + 1.0
    } else if a < 2.0 {
        ((bend * a - 5.0 * bend) * a + 8.0 * bend) * a - 4.0 * bend
    } else {
        0.0
    }
}

/// A Lanczos window of so many lobes at a distance of `a`.
pub(super) fn lanczos(a: f64, lobes: f64) -> f64 {
    if a < 1e-9 {
        return 1.0;
    }
    if a >= lobes {
        return 0.0;
    }
    let turn = std::f64::consts::PI * a;
    lobes * libm::sin(turn) * libm::sin(turn / lobes) / (turn * turn)
}

/// A function of a distance, looked up between 512 steps a unit.
#[derive(Debug)]
pub(super) struct Table(Vec<f64>);

impl Table {
    const STEPS: f64 = 512.0;

    /// Integrates from 0 by Simpson's rule.
    fn integral(end: u32, function: impl Fn(f64) -> f64) -> Self {
        let step = 1.0 / Self::STEPS;
        let mut sum = 0.0;
        let mut values = vec![0.0];
        for place in 0..=end * Self::STEPS as u32 {
            let from = f64::from(place) * step;
            sum += step / 6.0 * (function(from) + 4.0 * function(from + step / 2.0) + function(from + step));
            values.push(sum);
        }
        Self(values)
    }

    /// Gives the value at a distance, 0 beyond the end.
    pub(super) fn at(&self, distance: f64) -> f64 {
        let place = distance * Self::STEPS;
        let low = place as usize;
        match self.0.get(low..low + 2) {
            Some(pair) => pair[0] + (pair[1] - pair[0]) * (place - low as f64),
            None => 0.0,
        }
    }
}

/// The weights of the cells that a pixel shows, for 512 phases between the middles of two cells and a last one;
/// those of each phase sum to 1.
#[derive(Debug)]
pub(super) struct Phases(Vec<[f64; 8]>);

impl Phases {
    /// Tables a curve that reaches so many cells to each side.
    pub(super) fn of(reach: usize, curve: impl Fn(f64) -> f64) -> Self {
        let row = |step: u32| {
            let phase = f64::from(step) / Table::STEPS;
            let mut weights = [0.0; 8];
            for (tap, weight) in weights[..2 * reach].iter_mut().enumerate() {
                *weight = curve((phase + reach as f64 - 1.0 - tap as f64).abs());
            }
            let sum: f64 = weights.iter().sum();
            weights.map(|weight| weight / sum)
        };
        Self((0..=Table::STEPS as u32 + 1).map(row).collect())
    }

    /// Gives the weights of a phase from 0 to 1; those past `N` are left out.
    #[inline]
    pub(super) fn at<const N: usize>(&self, phase: f64) -> [f64; N] {
        let place = phase * Table::STEPS;
        let low = place as usize;
        let rest = place - low as f64;
        let (near, far) = (&self.0[low], &self.0[low + 1]);
        std::array::from_fn(|tap| near[tap] + (far[tap] - near[tap]) * rest)
    }
}

/// The integral from 0.
pub(super) static RISE_CUBIC: LazyLock<Table> = LazyLock::new(|| Table::integral(2, |a| cubic(a, -0.5)));
/// The integral from 0.
pub(super) static RISE_LANCZOS: LazyLock<Table> = LazyLock::new(|| {
    // A filter's weights sum to 1 when it is applied, so its integral is brought to 1/2.
    let raw = Table::integral(3, |a| lanczos(a, 3.0));
    let end = raw.at(3.0);
    Table(raw.0.into_iter().map(|value| value * 0.5 / end).collect())
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cubic_convolution_has_the_published_values() {
        // Keys 1981: u(0) = 1, u(1) = u(2) = 0; for a = -1/2, u(1/2) = 9/16 and u(3/2) = -1/16.
        for (distance, value) in [(0.0, 1.0), (1.0, 0.0), (2.0, 0.0), (0.5, 0.5625), (1.5, -0.0625)] {
            assert!((cubic(distance, -0.5) - value).abs() < 1e-12);
        }
    }
}
