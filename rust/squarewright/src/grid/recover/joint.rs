//! The choice for both axes together.

use super::hypothesis::Hypothesis;

/// A guess for across and one for down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pair {
    pub(super) x: Hypothesis,
    pub(super) y: Hypothesis,
    /// Lower is better.
    pub(super) score: f64,
}

impl Pair {
    /// Says whether another pair means cells of another size.
    pub(super) fn differs(&self, other: &Self) -> bool {
        let far = |one: &Hypothesis, two: &Hypothesis| (two.pitch() - one.pitch()).abs() / one.pitch() > 0.1;
        far(&self.x, &other.x) || far(&self.y, &other.y)
    }

    /// Gives the smaller of the two contrasts.
    pub(super) fn contrast(&self) -> f64 {
        self.x.contrast.min(self.y.contrast)
    }
}

/// Lists all pairs, best first; cells that are not square and kernels that differ cost something.
pub(super) fn pairs(xs: &[Hypothesis], ys: &[Hypothesis], lengths: (f64, f64)) -> Vec<Pair> {
    let floor = |guesses: &[Hypothesis]| guesses.iter().map(|guess| guess.rss).fold(f64::INFINITY, f64::min);
    let (floor_x, floor_y) = (floor(xs), floor(ys));
    let mut pairs = Vec::with_capacity(xs.len() * ys.len());
    for &x in xs {
        for &y in ys {
            let score = x.score(floor_x)
                + y.score(floor_y)
                + discord(&x, &y, lengths)
                + x.kernel().price()
                + y.kernel().price();
            pairs.push(Pair { x, y, score });
        }
    }
    pairs.sort_by(|a, b| a.score.total_cmp(&b.score));
    pairs
}

fn discord(x: &Hypothesis, y: &Hypothesis, lengths: (f64, f64)) -> f64 {
    let (a, b) = (x.pitch(), y.pitch());
    let slack = a * 0.6 * (a / lengths.0 + b / lengths.1);
    let pitches = if (a - b).abs() <= slack {
        0.0
    } else if a.max(b) / a.min(b) < 1.4 {
        0.5
    } else {
        2.5
    };
    let families = if x.kernel().family() == y.kernel().family() { 0.0 } else { 0.5 };
    let kernels = if x.kernel() == y.kernel() { 0.0 } else { 0.05 };
    pitches + families + kernels
}
