//! Choosing the few colours that stand for many.
//!
//! 1. Seeds are spread by greedy k-means++ (Arthur and Vassilvitskii 2007) and settled by Lloyd's rounds in
//!    Oklab with chroma stretched, where a distance costs next to nothing.
//! 2. Rounds with the squared CIEDE2000 difference move them to where the eye wants them. Squares matter: a plain
//!    difference would give up an eye of four cells for a smoother sky.
//! 3. The colour that is missed least moves to where the error is worst, as long as that helps.

use super::chance::Chance;
use super::pool::{Pool, apart};
use crate::colour::{Lab, Tone};

/// More colours than this teach nothing new.
const ENOUGH: usize = 16_384;
/// Draws for each seed, of which the best is kept.
const DRAWS: usize = 4;
/// Rounds in Oklab at most.
const ROUNDS: usize = 12;
/// Rounds with the exact measure after a change.
const EXACT_ROUNDS: usize = 3;
/// Moves of a colour at most.
const MOVES: usize = 6;

/// How colours are chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Choosing {
    /// The most colours to choose, 1 or more.
    pub count: usize,
    /// What chance starts from.
    pub seed: u64,
    /// How much lightness counts in a squared difference, 1 for the standard.
    pub light: f32,
}

/// Chooses at most `count` colours that stand for the colours of a pool; fewer when the pool has fewer.
pub fn choose(pool: &Pool, asked: &Choosing) -> Vec<Tone> {
    let pool = pool.thinned(ENOUGH);
    let mut chance = Chance::new(asked.seed);
    let seeds = spread(&pool, asked.count, &mut chance);
    if seeds.is_empty() {
        return Vec::new();
    }
    let mut state = State::new(&pool, seeds, asked.light);
    state.settle(EXACT_ROUNDS);
    for _ in 0..(kn("MOVES", MOVES as f32) as usize) {
        if !state.relocate(&mut chance) && kn("STOPMOVE", 1.0) > 0.0 {
            break;
        }
    }
    state.settle(kn("LAST", 3.0) as usize);
    state.centres
}

/// Spreads seeds over the pool and settles them; gives the label of each colour and the count of labels.
fn spread(pool: &Pool, count: usize, chance: &mut Chance) -> Vec<Vec<usize>> {
    let mut centres: Vec<[f32; 3]> = Vec::new();
    let mut nearest = vec![f32::INFINITY; pool.len()];
    let mut odds = pool.weights.clone();
    while centres.len() < count {
        let draws = if centres.is_empty() { 1 } else { DRAWS };
        let mut best: Option<(f64, Vec<f32>, [f32; 3])> = None;
        for _ in 0..draws {
            let Some(drawn) = chance.place(&odds) else { break };
            let place = pool.places[drawn];
            let near: Vec<f32> =
                pool.places.iter().zip(&nearest).map(|(&p, &n)| apart(p, place).min(n)).collect();
            let cost = near.iter().zip(&pool.weights).map(|(n, w)| f64::from(n * w)).sum();
            if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                best = Some((cost, near, place));
            }
        }
        let Some((_, near, place)) = best else { break };
        centres.push(place);
        nearest = near;
        odds = nearest.iter().zip(&pool.weights).map(|(n, w)| n * w).collect();
    }
    settle_plainly(pool, &mut centres)
}

/// Lloyd's rounds in stretched Oklab; gives the members of each centre.
fn settle_plainly(pool: &Pool, centres: &mut [[f32; 3]]) -> Vec<Vec<usize>> {
    let mut labels = vec![0_usize; pool.len()];
    for _ in 0..ROUNDS {
        let mut changed = false;
        let mut sums = vec![[0.0_f64; 4]; centres.len()];
        for (label, (&place, &weight)) in labels.iter_mut().zip(pool.places.iter().zip(&pool.weights)) {
            let mut best = (f32::INFINITY, 0);
            for (index, &centre) in centres.iter().enumerate() {
                let distance = apart(place, centre);
                if distance < best.0 {
                    best = (distance, index);
                }
            }
            changed |= *label != best.1;
            *label = best.1;
            let weight = f64::from(weight);
            for (sum, part) in sums[best.1].iter_mut().zip(place) {
                *sum += weight * f64::from(part);
            }
            sums[best.1][3] += weight;
        }
        for (centre, sum) in centres.iter_mut().zip(&sums).filter(|(_, sum)| sum[3] > 0.0) {
            #[expect(clippy::cast_possible_truncation, reason = "a mean of numbers of that size")]
            {
                *centre = std::array::from_fn(|i| (sum[i] / sum[3]) as f32);
            }
        }
        if !changed {
            break;
        }
    }
    let mut members = vec![Vec::new(); centres.len()];
    for (place, &label) in labels.iter().enumerate() {
        members[label].push(place);
    }
    members.retain(|members| !members.is_empty());
    members
}

/// Centres with what every colour of the pool pays.
#[derive(Clone)]
struct State<'a> {
    pool: &'a Pool,
    light: f32,
    centres: Vec<Tone>,
    /// For each colour its centre, what that costs, and what the next best would cost.
    paid: Vec<(usize, f32, f32)>,
}

impl<'a> State<'a> {
    fn new(pool: &'a Pool, members: Vec<Vec<usize>>, light: f32) -> Self {
        let centres = members.iter().map(|members| mean(pool, members.iter().copied())).collect();
        let mut state = Self { pool, light, centres, paid: Vec::new() };
        state.assign();
        state
    }

    fn assign(&mut self) {
        let pay = |&tone: &Tone| {
            let mut paid = (0, f32::INFINITY, f32::INFINITY);
            for (index, &centre) in self.centres.iter().enumerate() {
                let cost = tone.squared(centre, self.light);
                if cost < paid.1 {
                    paid = (index, cost, paid.1);
                } else if cost < paid.2 {
                    paid.2 = cost;
                }
            }
            paid
        };
        self.paid = self.pool.tones.iter().map(pay).collect();
    }

    fn total(&self) -> f64 {
        self.paid.iter().zip(&self.pool.weights).map(|(paid, &weight)| f64::from(paid.1 * weight)).sum()
    }

    /// Moves every centre to the middle of what it stands for, again and again.
    fn settle(&mut self, rounds: usize) {
        for _ in 0..rounds {
            let soft = kn("SOFT", 0.0);
            let mut sums = vec![[0.0_f64; 4]; self.centres.len()];
            for (place, paid) in self.paid.iter().enumerate() {
                let w = f64::from(self.pool.weights[place]) / if soft > 0.0 { f64::from(paid.1.sqrt() + soft) } else { 1.0 };
                let lab = Lab::from(self.pool.tones[place]);
                for (s, p) in sums[paid.0].iter_mut().zip([lab.l, lab.a, lab.b, 1.0]) { *s += w * p; }
            }
            for (centre, s) in self.centres.iter_mut().zip(sums) {
                if s[3] > 0.0 { *centre = Tone::from(Lab { l: s[0] / s[3], a: s[1] / s[3], b: s[2] / s[3] }); }
            }
            self.assign();
        }
    }

    /// Moves the centre that is missed least to where the error is worst; says whether that helped.
    fn relocate(&mut self, chance: &mut Chance) -> bool {
        let mut missed = vec![0.0_f64; self.centres.len()];
        for (paid, &weight) in self.paid.iter().zip(&self.pool.weights) {
            missed[paid.0] += f64::from((paid.2 - paid.1).min(1e6) * weight);
        }
        let Some(idle) = (0..missed.len()).min_by(|&i, &j| missed[i].total_cmp(&missed[j])) else { return false };
        let odds: Vec<f32> = self.paid.iter().zip(&self.pool.weights).map(|(paid, w)| paid.1 * w).collect();
        let mut best: Option<(f64, Tone)> = None;
        for _ in 0..DRAWS {
            let Some(place) = chance.place(&odds) else { return false };
            let tone = self.pool.tones[place];
            let gain = |(&(_, cost, _), (&other, &weight)): (&(usize, f32, f32), (&Tone, &f32))| {
                f64::from((cost - other.squared(tone, self.light)).max(0.0) * weight)
            };
            let gain = self.paid.iter().zip(self.pool.tones.iter().zip(&self.pool.weights)).map(gain).sum();
            if best.is_none_or(|(most, _)| gain > most) {
                best = Some((gain, tone));
            }
        }
        let Some((_, tone)) = best else { return false };
        let mut moved = self.clone();
        moved.centres[idle] = tone;
        moved.assign();
        moved.settle(2);
        let better = moved.total() < self.total();
        if better {
            *self = moved;
        }
        better
    }
}

/// Gives the mean of some colours of a pool.
pub(super) fn mean(pool: &Pool, members: impl Iterator<Item = usize>) -> Tone {
    let (mut sum, mut total) = ([0.0_f64; 3], 0.0);
    for member in members {
        let (lab, weight) = (Lab::from(pool.tones[member]), f64::from(pool.weights[member]));
        for (sum, part) in sum.iter_mut().zip([lab.l, lab.a, lab.b]) {
            *sum += weight * part;
        }
        total += weight;
    }
    let [l, a, b] = sum.map(|sum| sum / total);
    Tone::from(Lab { l, a, b })
}

pub fn kn(name: &str, default: f32) -> f32 {
    std::env::var(name).ok().and_then(|v| v.parse().ok()).unwrap_or(default)
}
