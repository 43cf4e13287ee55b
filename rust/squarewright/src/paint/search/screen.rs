//! A first look at every mixture: eight bands in place of 36, single precision, sixteen ratios at a time.
//!
//! What stays is every mixture that could be the best; it is judged again in full.
#![expect(clippy::cast_possible_truncation, reason = "the first look needs no more than single precision")]

use super::far::{Lab32, squares};
use super::ratio::{LANES, Lanes, Ratios};
use crate::colour::{Lab, ciede2000};
use crate::paint::mixture::Optics;

/// The bands that are looked at, and how much each adds to X, Y and Z as shares of the white.
///
/// Fitted by least squares to 4,000 mixtures of smoothest spectra under the observer of `colour`; against
/// all 36 bands a mixture is moved by 0.09 on average in CIELAB, 0.8 in one of a hundred.
const NODES: [(usize, [f32; 3]); 8] = [
    (4, [0.080_510, 0.0, 0.315_978]),
    (8, [0.105_071, 0.028_141, 0.566_790]),
    (12, [0.017_839, 0.119_290, 0.113_480]),
    (15, [0.023_586, 0.230_562, 0.0]),
    (18, [0.214_347, 0.309_613, 0.003_702]),
    (21, [0.203_139, 0.160_776, 0.000_050]),
    (23, [0.226_956, 0.099_581, 0.0]),
    (28, [0.128_552, 0.052_036, 0.0]),
];

/// K and S of a paint in the bands that are looked at.
#[derive(Debug, Clone, Copy)]
pub(super) struct Glance([[f32; 2]; NODES.len()]);

impl From<&Optics> for Glance {
    fn from(optics: &Optics) -> Self {
        Self(NODES.map(|(band, _)| [optics.k[band] as f32, optics.s[band] as f32]))
    }
}

/// Differences up to this are as the quadratic around the wanted colour says, near enough.
const RELIED: f32 = 6.0;

/// A mixture worth a second look.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    /// Its difference from the wanted colour at first look, squared.
    pub(super) squared: f32,
    /// Places of its paints.
    pub(super) paints: [u16; 4],
    /// How many paints.
    pub(super) count: u8,
    /// Parts of each paint.
    pub(super) parts: [u8; 4],
}

impl Candidate {
    /// Gives the place and the parts of each paint.
    pub(super) fn chosen(&self) -> impl Iterator<Item = (usize, u32)> + Clone {
        let parts = self.paints.iter().zip(&self.parts).take(self.count.into());
        parts.map(|(&place, &parts)| (usize::from(place), u32::from(parts)))
    }
}

/// A wanted colour with the mixtures that come near it.
#[derive(Debug)]
pub(super) struct Target {
    measure: Measure,
    best: f32,
    /// Simple mixtures are kept up to this difference in any case.
    tolerance: f32,
    /// How far a first look may be off: so many times, and so much.
    slack: (f32, f32),
    limit: f32,
    simple_limit: f32,
    pub(super) kept: Vec<Candidate>,
}

/// How differences are taken at first look.
#[derive(Debug)]
enum Measure {
    /// As they grow around the wanted colour: quick, and right for small ones.
    Near(Near),
    /// By the formula itself, for a colour that nothing comes near.
    Far(Lab32),
}

impl Target {
    /// Looks for mixtures around the wanted colour.
    pub(super) fn new(wanted: Lab, tolerance: f64) -> Self {
        Self::made(Measure::Near(Near::new(wanted)), tolerance, (1.35, 0.15))
    }

    /// Looks for mixtures near a colour that nothing comes near.
    pub(super) fn far(wanted: Lab, tolerance: f64) -> Self {
        Self::made(Measure::Far(single(wanted)), tolerance, (1.02, 0.8))
    }

    fn made(measure: Measure, tolerance: f64, slack: (f32, f32)) -> Self {
        let (best, tolerance) = (f32::INFINITY, tolerance as f32);
        Self { measure, best, tolerance, slack, limit: best, simple_limit: best, kept: Vec::new() }
    }

    /// Tells whether nothing comes so near that the differences around the colour can be relied on.
    pub(super) fn is_far(&self) -> bool {
        self.best > RELIED * RELIED
    }

    fn improve(&mut self, best: f32) {
        self.best = best;
        let best = best.sqrt();
        let (times, plus) = self.slack;
        let widened = |difference: f32| (difference * times + plus) * (difference * times + plus);
        self.limit = widened(best + 1.0);
        self.simple_limit = widened((best + 1.0).max(self.tolerance));
        // What was kept early is mostly beyond the limit by now.
        if self.kept.len() > 2048 {
            self.sift();
        }
    }

    /// Drops what has come to lie beyond the limit.
    pub(super) fn sift(&mut self) {
        let limits = (self.limit, self.simple_limit);
        self.kept.retain(|each| each.squared <= if each.count <= 2 { limits.1 } else { limits.0 });
    }
}

fn single(lab: Lab) -> Lab32 {
    [lab.l, lab.a, lab.b].map(|part| part as f32)
}

/// CIEDE2000 squared near a wanted colour, as a quadratic form.
#[derive(Debug)]
struct Near {
    centre: Lab32,
    /// Three squares, then the products of L\* and a\*, L\* and b\*, a\* and b\*.
    form: [f32; 6],
}

impl Near {
    fn new(wanted: Lab) -> Self {
        const STEP: f64 = 0.5;
        let bend = |by: [f64; 3]| {
            let at = |sign: f64| {
                let [l, a, b] = by.map(|part| sign * part * STEP);
                let difference = ciede2000(wanted, Lab { l: wanted.l + l, a: wanted.a + a, b: wanted.b + b });
                difference * difference
            };
            f64::midpoint(at(1.0), at(-1.0)) / (STEP * STEP)
        };
        let product = |one: usize, other: usize| {
            let (mut plus, mut minus) = ([0.0; 3], [0.0; 3]);
            (plus[one], plus[other], minus[one], minus[other]) = (1.0, 1.0, 1.0, -1.0);
            ((bend(plus) - bend(minus)) / 2.0) as f32
        };
        let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        let [l, a, b] = axes.map(|axis| bend(axis) as f32);
        Self { centre: single(wanted), form: [l, a, b, product(0, 1), product(0, 2), product(1, 2)] }
    }

    fn squared(&self, [l, a, b]: &[Lanes; 3]) -> Lanes {
        let Self { centre, form: [ll, aa, bb, la, lb, ab] } = *self;
        let mut squared = [0.0; LANES];
        for lane in 0..LANES {
            let (dl, da, db) = (l[lane] - centre[0], a[lane] - centre[1], b[lane] - centre[2]);
            squared[lane] = dl * (ll * dl + la * da + lb * db) + da * (aa * da + ab * db) + bb * db * db;
        }
        squared
    }
}

/// Looks at all ratios of some paints.
pub(super) fn look(glances: &[Glance], paints: [u16; 4], ratios: &Ratios, targets: &mut [Target]) {
    match ratios.paints {
        1 => blocks::<1>(glances, paints, ratios, targets),
        2 => blocks::<2>(glances, paints, ratios, targets),
        3 => blocks::<3>(glances, paints, ratios, targets),
        _ => blocks::<4>(glances, paints, ratios, targets),
    }
}

/// Gives how near the nearest ratio of two paints comes to each colour, squared.
pub(super) fn nearest_pair(
    glances: &[Glance],
    pair: [u16; 2],
    ratios: &Ratios,
    targets: &[Target],
) -> Vec<f32> {
    let chosen = pair.map(|paint| glances[usize::from(paint)]);
    let mut nearest = vec![f32::INFINITY; targets.len()];
    for lanes in &ratios.lanes {
        let lab = colours(&chosen, lanes);
        for (nearest, target) in nearest.iter_mut().zip(targets) {
            *nearest = nearest.min(differences(target, &lab).1);
        }
    }
    nearest
}

fn blocks<const N: usize>(glances: &[Glance], paints: [u16; 4], ratios: &Ratios, targets: &mut [Target]) {
    let chosen: [Glance; N] = std::array::from_fn(|paint| glances[usize::from(paints[paint])]);
    for (block, lanes) in ratios.lanes.iter().enumerate() {
        let lab = colours(&chosen, lanes);
        for target in &mut *targets {
            let (squared, least) = differences(target, &lab);
            let limit = if N <= 2 { target.simple_limit } else { target.limit };
            if least > limit {
                continue;
            }
            let parts = &ratios.parts[block * LANES..ratios.parts.len().min((block + 1) * LANES)];
            for (&squared, &parts) in squared.iter().zip(parts).filter(|(squared, _)| **squared <= limit) {
                target.kept.push(Candidate { squared, paints, count: N as u8, parts });
            }
            if least < target.best {
                target.improve(least);
            }
        }
    }
}

/// Works out L\*, a\* and b\* of one mixture a lane.
fn colours<const N: usize>(chosen: &[Glance; N], parts: &[Lanes; 4]) -> [Lanes; 3] {
    let mut sums = [[0.0; LANES]; 3];
    for (node, (_, weights)) in NODES.iter().enumerate() {
        let (mut k, mut s) = ([0.0; LANES], [0.0; LANES]);
        for (glance, parts) in chosen.iter().zip(parts) {
            let [paint_k, paint_s] = glance.0[node];
            for lane in 0..LANES {
                k[lane] += parts[lane] * paint_k;
                s[lane] += parts[lane] * paint_s;
            }
        }
        let mut reflected = [0.0; LANES];
        for lane in 0..LANES {
            let q = k[lane] / s[lane];
            reflected[lane] = 1.0 + q - (q * (q + 2.0)).sqrt();
        }
        for (sum, weight) in sums.iter_mut().zip(weights) {
            for lane in 0..LANES {
                sum[lane] += weight * reflected[lane];
            }
        }
    }
    let [x, y, z] = sums.map(responses);
    let mut lab = [[0.0; LANES]; 3];
    for lane in 0..LANES {
        lab[0][lane] = 116.0 * y[lane] - 16.0;
        lab[1][lane] = 500.0 * (x[lane] - y[lane]);
        lab[2][lane] = 200.0 * (y[lane] - z[lane]);
    }
    lab
}

/// The response of the eye in CIELAB: a cube root, by a guess from the bits and one step of Halley's method.
fn responses(shares: Lanes) -> Lanes {
    const EPSILON: f32 = 216.0 / 24_389.0;
    let mut found = [0.0; LANES];
    for lane in 0..LANES {
        let share = shares[lane];
        let bits = share.to_bits();
        // A third of the bits, as a sum of quarters, and what the exponent's offset needs.
        let third = (bits >> 2) + (bits >> 4) + (bits >> 6) + (bits >> 8) + (bits >> 10) + (bits >> 12);
        let guess = f32::from_bits(third + 0x2a51_5f5a);
        let cube = guess * guess * guess;
        let root = guess * (cube + share + share) / (cube + cube + share);
        let line = share * (24_389.0 / (27.0 * 116.0)) + 16.0 / 116.0;
        found[lane] = if share > EPSILON { root } else { line };
    }
    found
}

fn differences(target: &Target, lab: &[Lanes; 3]) -> (Lanes, f32) {
    let squared = match &target.measure {
        Measure::Near(near) => near.squared(lab),
        Measure::Far(wanted) => squares(*wanted, lab),
    };
    let mut least = squared;
    for half in [8, 4, 2, 1] {
        for lane in 0..half {
            least[lane] = if least[lane + half] < least[lane] { least[lane + half] } else { least[lane] };
        }
    }
    (squared, least[0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paint::Stock;

    /// The first look is off by little against the full 36 bands.
    #[test]
    fn the_first_look_is_near_the_full_one() {
        let stock = Stock::basic();
        let optics: Vec<Optics> = stock.paints().iter().map(crate::paint::Paint::optics).collect();
        let glances: Vec<Glance> = optics.iter().map(Glance::from).collect();
        let ratios = Ratios::new(2, 12);
        let mut worst = 0.0f64;
        for one in 0..optics.len() {
            for other in one + 1..optics.len() {
                let [l, a, b] = colours(&[glances[one], glances[other]], &ratios.lanes[0]);
                for (lane, parts) in ratios.parts.iter().take(LANES).enumerate() {
                    let parts = [(&optics[one], f64::from(parts[0])), (&optics[other], f64::from(parts[1]))];
                    let full = Optics::mixed(parts.into_iter()).spectrum().lab();
                    let quick = Lab { l: l[lane].into(), a: a[lane].into(), b: b[lane].into() };
                    worst = worst.max(ciede2000(full, quick));
                }
            }
        }
        assert!(worst < 0.6, "{worst}");
    }
}
