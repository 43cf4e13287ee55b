//! Choosing the few colours that stand for many.
//!
//! 1. Seeds are spread by greedy k-means++ (Arthur and Vassilvitskii 2007) and settled by Lloyd's rounds in
//!    Oklab with chroma stretched, where a distance costs next to nothing.
//! 2. Rounds with the squared CIEDE2000 difference move them to where the eye wants them. Squares matter: a
//!    plain difference would give up an eye of four cells for a smoother sky.
//! 3. The colour that is missed least moves to where the error is worst, as often as that helps.

use super::chance::Chance;
use super::pool::{Pool, apart};
use crate::colour::{Lab, Tone};
use crate::fault::{Result, Watch};

/// More colours than this teach nothing new, or not enough for a first try.
const ENOUGH: usize = 4096;
const ENOUGH_TO_TRY: usize = 2048;
/// Draws for each seed, of which the best is kept.
const DRAWS: usize = 4;
/// Rounds in Oklab at most.
const ROUNDS: usize = 12;
/// Rounds with the exact measure.
const EXACT_ROUNDS: usize = 3;
/// Rounds with the exact measure after a colour has moved.
const AFTER_MOVE: usize = 2;
/// A centre whose middle is no farther away than this stays, as a squared difference.
const STILL: f32 = 0.02;
/// Tries to move a colour, all in all and in a first try.
const MOVES: usize = 12;
const MOVES_TO_TRY: usize = 6;
/// A move is tried when it seems to gain this share of what it gives up: neighbours will settle into the gap.
const PROMISING: f64 = 0.5;

/// How colours are chosen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choosing {
    /// The most colours to choose, 1 or more.
    pub count: usize,
    /// What chance starts from.
    pub seed: u64,
    /// How much lightness counts in a squared difference, 1 for the standard.
    pub light: f32,
    /// Whether it is a first try, after which colours are chosen again: in half the time.
    pub first_try: bool,
    /// The colours to choose from; any colour when there are none.
    pub candidates: Vec<Tone>,
}

/// Chooses at most `count` colours that stand for the colours of a pool; fewer when the pool has fewer.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher stops it.
pub fn choose(pool: &Pool, asked: &Choosing, watch: &dyn Watch) -> Result<Vec<Tone>> {
    let (enough, moves) = if asked.first_try { (ENOUGH_TO_TRY, MOVES_TO_TRY) } else { (ENOUGH, MOVES) };
    let pool = pool.thinned(enough);
    let mut chance = Chance::new(asked.seed);
    let members = spread(&pool, asked.count, &mut chance);
    watch.check(0.45)?;
    if members.is_empty() {
        return Ok(Vec::new());
    }
    let mut state = State::new(&pool, &members, asked);
    state.settle(EXACT_ROUNDS, watch)?;
    for _ in 0..moves {
        state.relocate(&mut chance, watch)?;
    }
    state.settle(EXACT_ROUNDS, watch)?;
    Ok(state.centres)
}

/// Spreads seeds over the pool and settles them; gives the members of each.
fn spread(pool: &Pool, count: usize, chance: &mut Chance) -> Vec<Vec<usize>> {
    let mut centres: Vec<[f32; 3]> = Vec::new();
    let mut nearest = vec![f32::INFINITY; pool.len()];
    let mut odds = pool.weights.clone();
    while centres.len() < count {
        let mut best: Option<(f64, Vec<f32>, [f32; 3])> = None;
        for _ in 0..if centres.is_empty() { 1 } else { DRAWS } {
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
    let mut labels = vec![usize::MAX; pool.len()];
    for _ in 0..ROUNDS {
        let before = labels.clone();
        let mut sums = vec![[0.0_f64; 4]; centres.len()];
        for (label, (&place, &weight)) in labels.iter_mut().zip(pool.places.iter().zip(&pool.weights)) {
            let mut best = (f32::INFINITY, 0);
            for (index, &centre) in centres.iter().enumerate() {
                let distance = apart(place, centre);
                if distance < best.0 {
                    best = (distance, index);
                }
            }
            *label = best.1;
            for (sum, part) in sums[best.1].iter_mut().zip([place[0], place[1], place[2], 1.0]) {
                *sum += f64::from(weight) * f64::from(part);
            }
        }
        if labels == before {
            break;
        }
        for (centre, sum) in centres.iter_mut().zip(&sums).filter(|(_, sum)| sum[3] > 0.0) {
            #[expect(clippy::cast_possible_truncation, reason = "a mean of numbers of that size")]
            let mean = |i: usize| (sum[i] / sum[3]) as f32;
            *centre = std::array::from_fn(mean);
        }
    }
    let mut members = vec![Vec::new(); centres.len()];
    for (place, &label) in labels.iter().enumerate() {
        members[label].push(place);
    }
    members.retain(|members| !members.is_empty());
    members
}

/// What a colour of the pool pays: for which centre, how much, and how much for the next best.
#[derive(Debug, Clone, Copy)]
struct Paid {
    centre: usize,
    cost: f32,
    next: f32,
}

/// Centres with what every colour of the pool pays.
#[derive(Clone)]
struct State<'a> {
    pool: &'a Pool,
    asked: &'a Choosing,
    centres: Vec<Tone>,
    /// For each centre what every colour of the pool would pay for it.
    columns: Vec<Vec<f32>>,
    paid: Vec<Paid>,
}

impl<'a> State<'a> {
    fn new(pool: &'a Pool, members: &[Vec<usize>], asked: &'a Choosing) -> Self {
        let mut paid = vec![Paid { centre: 0, cost: 0.0, next: 0.0 }; pool.len()];
        for (centre, members) in members.iter().enumerate() {
            for &member in members {
                paid[member].centre = centre;
            }
        }
        let columns = vec![Vec::new(); members.len()];
        let mut state = Self { pool, asked, centres: vec![Tone::default(); members.len()], columns, paid };
        state.move_to(state.middles());
        state
    }

    /// Moves the centres; only what those that move cost is computed again.
    fn move_to(&mut self, centres: Vec<Tone>) {
        for ((old, new), column) in self.centres.iter_mut().zip(centres).zip(&mut self.columns) {
            if column.is_empty() || *old != new {
                *old = new;
                column.clear();
                new.squares(&self.pool.tones, self.asked.light, |cost| column.push(cost));
            }
        }
        self.paid.fill(Paid { centre: 0, cost: f32::INFINITY, next: f32::INFINITY });
        for (centre, column) in self.columns.iter().enumerate() {
            for (paid, &cost) in self.paid.iter_mut().zip(column) {
                if cost < paid.cost {
                    *paid = Paid { centre, cost, next: paid.cost };
                } else if cost < paid.next {
                    paid.next = cost;
                }
            }
        }
    }

    /// Gives the middle of what every centre stands for, or the candidate nearest to that.
    fn middles(&self) -> Vec<Tone> {
        let mut sums = vec![[0.0_f64; 4]; self.centres.len()];
        for (paid, (&tone, &weight)) in self.paid.iter().zip(self.pool.tones.iter().zip(&self.pool.weights)) {
            let Lab { l, a, b } = tone.into();
            for (sum, part) in sums[paid.centre].iter_mut().zip([l, a, b, 1.0]) {
                *sum += f64::from(weight) * part;
            }
        }
        let mut middles = self.centres.clone();
        for (middle, [l, a, b, weight]) in middles.iter_mut().zip(sums).filter(|(_, sum)| sum[3] > 0.0) {
            let new = Tone::from(Lab { l: l / weight, a: a / weight, b: b / weight });
            if middle.squared(new, 1.0) > STILL {
                *middle = new;
            }
        }
        snap(&mut middles, &self.asked.candidates);
        middles
    }

    fn total(&self) -> f64 {
        self.paid.iter().zip(&self.pool.weights).map(|(paid, &weight)| f64::from(paid.cost * weight)).sum()
    }

    fn settle(&mut self, rounds: usize, watch: &dyn Watch) -> Result<()> {
        for _ in 0..rounds {
            self.move_to(self.middles());
            watch.check(0.5)?;
        }
        Ok(())
    }

    /// Moves the centre that is missed least to where the error is worst, if that helps.
    fn relocate(&mut self, chance: &mut Chance, watch: &dyn Watch) -> Result<()> {
        let mut missed = vec![0.0_f64; self.centres.len()];
        for (paid, &weight) in self.paid.iter().zip(&self.pool.weights) {
            missed[paid.centre] += f64::from((paid.next - paid.cost).min(f32::MAX) * weight);
        }
        let idle = (0..missed.len()).min_by(|&i, &j| missed[i].total_cmp(&missed[j])).unwrap_or(0);
        let odds: Vec<f32> =
            self.paid.iter().zip(&self.pool.weights).map(|(paid, w)| paid.cost * w).collect();
        let drawn = (0..DRAWS).filter_map(|_| chance.place(&odds)).map(|place| self.pool.tones[place]);
        let better = |one: (f64, Tone), other: (f64, Tone)| if other.0 > one.0 { other } else { one };
        let best = drawn.map(|tone| (self.gain(tone), tone)).reduce(better);
        let Some((_, tone)) = best.filter(|(gain, _)| *gain > PROMISING * missed[idle]) else {
            return Ok(());
        };
        let mut moved = self.clone();
        let mut centres = self.centres.clone();
        centres[idle] = tone;
        snap(&mut centres, &self.asked.candidates);
        moved.move_to(centres);
        moved.settle(AFTER_MOVE, watch)?;
        if moved.total() < self.total() {
            *self = moved;
        }
        Ok(())
    }

    /// Gives how much less would be paid with one more centre.
    fn gain(&self, tone: Tone) -> f64 {
        let mut payers = self.paid.iter().zip(&self.pool.weights);
        let mut gain = 0.0;
        tone.squares(&self.pool.tones, self.asked.light, |cost| {
            if let Some((paid, &weight)) = payers.next() {
                gain += f64::from((paid.cost - cost).max(0.0) * weight);
            }
        });
        gain
    }
}

/// Moves each colour to the nearest candidate that no colour before it has taken; without candidates they
/// stay.
///
/// The order of the colours decides; there may be more colours than candidates, and these stay the same then.
pub fn snap(colours: &mut [Tone], candidates: &[Tone]) {
    let mut taken = vec![false; candidates.len()];
    for colour in colours {
        let free = (0..candidates.len()).filter(|&place| !taken[place]);
        let distance = |place: usize| colour.squared(candidates[place], 1.0);
        if let Some(best) = free.min_by(|&one, &other| distance(one).total_cmp(&distance(other))) {
            taken[best] = true;
            *colour = candidates[best];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Rgb;
    use crate::fault::Unwatched;

    #[expect(clippy::cast_possible_truncation, reason = "light needs no more than 24 bits")]
    fn narrow(light: f64) -> f32 {
        light as f32
    }

    fn pool(colours: &[[u8; 3]]) -> Pool {
        let light = |&colour: &[u8; 3]| (Rgb(colour).linear().map(narrow), 1.0);
        Pool::new(colours.iter().map(light))
    }

    fn asked(count: usize) -> Choosing {
        Choosing { count, light: 1.0, ..Choosing::default() }
    }

    fn tone(colour: [u8; 3]) -> Tone {
        Tone::from(Lab::from(Rgb(colour)))
    }

    #[test]
    fn few_colours_are_found_exactly_and_no_more() {
        let three = [[200, 30, 30], [20, 180, 40], [240, 240, 240]];
        let many: Vec<[u8; 3]> = three.iter().cycle().copied().take(90).collect();
        let found = choose(&pool(&many), &asked(8), &Unwatched).unwrap();
        assert_eq!(found.len(), 3);
        for colour in three {
            let nearest =
                found.iter().map(|&other| tone(colour).squared(other, 1.0)).fold(f32::MAX, f32::min);
            assert!(nearest < 0.01, "{colour:?} is {nearest} away");
        }
    }

    #[test]
    fn a_small_vivid_group_gets_a_colour_of_its_own() {
        let greys = (60..160_u8).flat_map(|code| [[code; 3]; 4]);
        let colours: Vec<[u8; 3]> = greys.chain([[250, 120, 0]; 4]).collect();
        let found = choose(&pool(&colours), &asked(4), &Unwatched).unwrap();
        let nearest =
            found.iter().map(|&other| tone([250, 120, 0]).squared(other, 1.0)).fold(f32::MAX, f32::min);
        assert!(nearest < 4.0, "{nearest}");
    }

    #[test]
    fn only_candidates_are_chosen_and_each_once() {
        let candidates = [[0, 0, 0], [255, 255, 255], [128, 128, 128], [255, 0, 0]].map(tone).to_vec();
        let colours: Vec<[u8; 3]> = (0..=255).map(|code| [code; 3]).collect();
        let asked = Choosing { candidates: candidates.clone(), ..asked(3) };
        let mut found = choose(&pool(&colours), &asked, &Unwatched).unwrap();
        assert_eq!(found.len(), 3);
        assert!(found.iter().all(|colour| candidates.contains(colour)));
        found.dedup();
        assert_eq!(found.len(), 3);
    }

    #[test]
    fn nothing_to_choose_from_gives_nothing() {
        assert!(choose(&Pool::default(), &asked(4), &Unwatched).unwrap().is_empty());
    }
}
