//! A first look at every mixture: eight bands in place of 36, single precision, sixteen ratios at a time.
//!
//! What stays is every mixture that could be the best; it is judged again in full.
#![expect(clippy::cast_possible_truncation, reason = "the first look needs no more than single precision")]

use super::apart::{Lab32, squares};
use super::floor::Floor;
use super::ratio::{LANES, Lanes, Ratios};
use crate::colour::Lab;
use crate::paint::mixture::{Optics, Surface};

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

/// K and S of a paint in the bands that are looked at, and the surface of its layers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Glance {
    bands: [[f32; 2]; NODES.len()],
    surface: Surface,
}

impl Glance {
    /// Takes what is looked at of a paint.
    pub(super) fn new(optics: &Optics, surface: Surface) -> Self {
        Self { bands: NODES.map(|(band, _)| [optics.k[band] as f32, optics.s[band] as f32]), surface }
    }
}

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
    /// Gives the least that its difference can be in full.
    pub(super) fn least(&self) -> f64 {
        let (times, plus) = SLACK;
        f64::from((self.squared.max(0.0).sqrt() - plus) / times).max(0.0)
    }

    /// Gives the place and the parts of each paint.
    pub(super) fn chosen(&self) -> impl Iterator<Item = (usize, u32)> + Clone {
        let parts = self.paints.iter().zip(&self.parts).take(self.count.into());
        parts.map(|(&place, &parts)| (usize::from(place), u32::from(parts)))
    }
}

/// How far a first look may be off: so many times, and so much.
const SLACK: (f32, f32) = (1.02, 0.8);

/// The most mixtures that are kept for one colour, unless every one is wanted.
const MOST: usize = 1 << 16;

/// A wanted colour with the mixtures that come near it.
#[derive(Debug)]
pub(super) struct Target {
    wanted: Lab32,
    best: f32,
    /// Simple mixtures are kept up to this difference in any case.
    tolerance: f32,
    limit: f32,
    simple_limit: f32,
    pub(super) kept: Vec<Candidate>,
}

impl Target {
    fn new(wanted: Lab32, tolerance: f32) -> Self {
        let best = f32::INFINITY;
        Self { wanted, best, tolerance, limit: best, simple_limit: best, kept: Vec::new() }
    }

    /// Keeps what may be within the tolerance, whatever else is found.
    fn every(self) -> Self {
        let limit = widened(self.tolerance);
        Self { best: f32::NEG_INFINITY, limit, simple_limit: limit, ..self }
    }

    fn limit(&self, paints: usize) -> f32 {
        if paints <= 2 { self.simple_limit } else { self.limit }
    }

    /// Looks at one ratio a lane.
    fn look(&mut self, lab: &[Lanes; 3], candidate: Candidate, parts: &[[u8; 4]]) {
        let squared = squares(self.wanted, lab);
        let least = least(squared);
        let limit = self.limit(candidate.count.into());
        if least > limit {
            return;
        }
        for (&squared, &parts) in squared.iter().zip(parts).filter(|(squared, _)| **squared <= limit) {
            self.kept.push(Candidate { squared, parts, ..candidate });
        }
        if self.kept.len() > MOST && self.best >= 0.0 {
            self.thin();
        }
        if least < self.best {
            self.improve(least);
        }
    }

    fn improve(&mut self, best: f32) {
        self.best = best;
        let best = best.max(0.0).sqrt();
        self.limit = widened(best + 1.0);
        self.simple_limit = widened((best + 1.0).max(self.tolerance));
        // What was kept early is mostly beyond the limit by now.
        if self.kept.len() > 2048 {
            self.sift();
        }
    }

    /// Keeps the nearest half of what may be kept: of paints that are all alike every mixture is as near.
    fn thin(&mut self) {
        self.sift();
        if self.kept.len() > MOST / 2 {
            let order = |one: &Candidate, other: &Candidate| {
                let rest = |each: &Candidate| (each.count, each.paints, each.parts);
                one.squared.total_cmp(&other.squared).then_with(|| rest(one).cmp(&rest(other)))
            };
            self.kept.select_nth_unstable_by(MOST / 2, order);
            self.kept.truncate(MOST / 2);
        }
    }

    /// Drops what has come to lie beyond the limit.
    fn sift(&mut self) {
        let limits = (self.limit, self.simple_limit);
        self.kept.retain(|each| each.squared <= if each.count <= 2 { limits.1 } else { limits.0 });
    }
}

/// Gives how far, squared, a first look may be from a colour that is so far in full.
fn widened(difference: f32) -> f32 {
    let (times, plus) = SLACK;
    (difference * times + plus) * (difference * times + plus)
}

/// All wanted colours, as many together as there are lanes.
#[derive(Debug)]
pub(super) struct Targets {
    groups: Vec<(Floor, Vec<Target>)>,
}

impl Targets {
    /// Begins to look for the mixtures nearest to some colours, or for every one within the tolerance.
    pub(super) fn new(wanted: impl Iterator<Item = Lab>, tolerance: f64, every: bool) -> Self {
        let wanted: Vec<Lab32> = wanted.map(single).collect();
        let group = |wanted: &[Lab32]| {
            let lanes = std::array::from_fn(|lane| wanted[lane.min(wanted.len() - 1)]);
            let target = |&wanted: &Lab32| {
                let target = Target::new(wanted, tolerance as f32);
                if every { target.every() } else { target }
            };
            (Floor::new(&lanes), wanted.iter().map(target).collect())
        };
        Self { groups: wanted.chunks(LANES).map(group).collect() }
    }

    /// Looks at all ratios of some paints.
    pub(super) fn look(&mut self, glances: &[Glance], paints: [u16; 4], ratios: &Ratios) {
        match ratios.paints {
            1 => self.blocks::<1>(glances, paints, ratios),
            2 => self.blocks::<2>(glances, paints, ratios),
            3 => self.blocks::<3>(glances, paints, ratios),
            _ => self.blocks::<4>(glances, paints, ratios),
        }
    }

    fn blocks<const N: usize>(&mut self, glances: &[Glance], paints: [u16; 4], ratios: &Ratios) {
        let chosen: [Glance; N] = std::array::from_fn(|paint| glances[usize::from(paints[paint])]);
        let candidate = Candidate { squared: 0.0, paints, count: N as u8, parts: [0; 4] };
        for (lanes, parts) in ratios.lanes.iter().zip(ratios.parts.chunks(LANES)) {
            let lab = colours(&chosen, lanes);
            for (floor, targets) in &mut self.groups {
                for (target, least) in targets.iter_mut().zip(floor.least(&lab)) {
                    if least <= target.limit(N) {
                        target.look(&lab, candidate, parts);
                    }
                }
            }
        }
    }

    /// Finds how near, squared, the nearest ratio of two paints comes to each colour, where that is nearer than
    /// the best so far of the colour and either paint.
    pub(super) fn nearest_pair(
        &self,
        glances: &[Glance],
        pair: [u16; 2],
        ratios: &Ratios,
        best: &mut [Vec<f32>],
    ) {
        let pair = pair.map(usize::from);
        let chosen = pair.map(|paint| glances[paint]);
        for lanes in &ratios.lanes {
            let lab = colours(&chosen, lanes);
            for ((floor, targets), best) in self.groups.iter().zip(best.chunks_mut(LANES)) {
                for ((target, bound), best) in targets.iter().zip(floor.least(&lab)).zip(best) {
                    if bound < best[pair[0]].max(best[pair[1]]) {
                        let nearest = least(squares(target.wanted, &lab));
                        for paint in pair {
                            best[paint] = best[paint].min(nearest);
                        }
                    }
                }
            }
        }
    }

    /// Gives for each colour the mixtures that could be the best.
    pub(super) fn kept(self) -> impl Iterator<Item = Vec<Candidate>> {
        self.groups.into_iter().flat_map(|(_, targets)| targets).map(|mut target| {
            target.sift();
            target.kept
        })
    }
}

fn single(lab: Lab) -> Lab32 {
    [lab.l, lab.a, lab.b].map(|part| part as f32)
}

/// Works out L\*, a\* and b\* of one mixture a lane.
fn colours<const N: usize>(chosen: &[Glance; N], parts: &[Lanes; 4]) -> [Lanes; 3] {
    let surface = chosen.first().map_or(Surface::NONE, |glance| glance.surface);
    let mut sums = [[0.0; LANES]; 3];
    for (node, (_, weights)) in NODES.iter().enumerate() {
        let (mut k, mut s) = ([0.0; LANES], [0.0; LANES]);
        for (glance, parts) in chosen.iter().zip(parts) {
            let [paint_k, paint_s] = glance.bands[node];
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
        if surface != Surface::NONE {
            reflected = reflected.map(|inside| surface.seen(inside.into()) as f32);
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

fn least(mut lanes: Lanes) -> f32 {
    for half in [8, 4, 2, 1] {
        for lane in 0..half {
            lanes[lane] = if lanes[lane + half] < lanes[lane] { lanes[lane + half] } else { lanes[lane] };
        }
    }
    lanes[0]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::ciede2000;
    use crate::paint::Stock;

    /// The first look is off by little against the full 36 bands.
    #[test]
    fn the_first_look_is_near_the_full_one() {
        let stock = Stock::basic();
        let optics = stock.optics();
        let glances: Vec<Glance> = optics.iter().map(|optics| Glance::new(optics, stock.surface())).collect();
        let ratios = Ratios::new(2, 12);
        let mut worst = 0.0f64;
        for one in 0..optics.len() {
            for other in one + 1..optics.len() {
                let [l, a, b] = colours(&[glances[one], glances[other]], &ratios.lanes[0]);
                for (lane, parts) in ratios.parts.iter().take(LANES).enumerate() {
                    let parts = [(&optics[one], f64::from(parts[0])), (&optics[other], f64::from(parts[1]))];
                    let full = Optics::mixed(parts.into_iter()).spectrum(stock.surface()).lab();
                    let quick = Lab { l: l[lane].into(), a: a[lane].into(), b: b[lane].into() };
                    worst = worst.max(ciede2000(full, quick));
                }
            }
        }
        assert!(worst < 0.6, "{worst}");
    }

    #[test]
    fn of_mixtures_that_are_all_as_near_no_more_are_kept_than_there_is_room_for() {
        let mut target = Target::new([50.0, 0.0, 0.0], 3.0);
        let lab = [[50.0; LANES], [1.0; LANES], [0.0; LANES]];
        for paint in 0..20_000 {
            let candidate = Candidate { squared: 0.0, paints: [paint, 0, 0, 0], count: 3, parts: [1; 4] };
            target.look(&lab, candidate, &[[1; 4]; LANES]);
        }
        assert!(target.kept.len() > MOST / 4 && target.kept.len() <= MOST);
        assert!(target.kept.iter().any(|each| each.paints[0] == 0), "the first of those as near stay");
    }
}
