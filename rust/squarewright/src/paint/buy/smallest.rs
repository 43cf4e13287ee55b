//! The cheapest set of paints out of which every colour can be mixed.
//!
//! Each colour has some choices of up to three paints that can make it; a set will do when for each colour it
//! holds one of these choices whole. This is no plain set cover, as a choice counts only when all its paints are
//! there; it is solved exactly by branch and bound: of the colours that are still open the one with the fewest
//! choices is taken, and its paint that serves most choices is bought or ruled out. What the dearest open
//! colours, no two of which share a paint, need at the least is the bound.

use std::cmp::Reverse;

/// Paints, one bit each.
pub(super) type Set = u128;

/// Paints that make a colour together, and how near they come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Choice {
    pub(super) paints: Set,
    pub(super) difference: f64,
    pub(super) bucket: u32,
}

/// What a set costs, then how well it does; less is better.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
struct Worth(u64, u32, f64);

/// The set that was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Smallest {
    /// The paints, those at hand among them.
    pub(super) paints: Set,
    /// Whether no cheaper one can be.
    pub(super) proven: bool,
}

struct Search<'a> {
    costs: &'a [u64],
    /// All choices of each colour, and of these the ones that hold no other.
    all: &'a [Vec<Choice>],
    least: Vec<Vec<Set>>,
    best: Option<(Worth, Set)>,
    nodes: usize,
    limit: usize,
}

/// Finds the cheapest set; `costs` has an entry for each paint, 0 for one at hand, and every colour has a choice.
pub(super) fn smallest(costs: &[u64], colours: &[Vec<Choice>], limit: usize) -> Smallest {
    let least = colours.iter().map(|choices| minimal(choices)).collect();
    let free = costs.iter().enumerate().filter(|&(_, &cost)| cost == 0).fold(0, |set, (at, _)| set | 1 << at);
    let mut search = Search { costs, all: colours, least, best: None, nodes: 0, limit };
    search.greedy(free);
    search.branch(free, 0);
    let paints = search.best.map_or(free, |(_, paints)| paints);
    Smallest { paints, proven: search.nodes <= search.limit }
}

/// Leaves out the choices that hold all paints of another.
fn minimal(choices: &[Choice]) -> Vec<Set> {
    let mut masks: Vec<Set> = choices.iter().map(|choice| choice.paints).collect();
    masks.sort_by_key(|mask| (mask.count_ones(), *mask));
    masks.dedup();
    let mut kept: Vec<Set> = Vec::new();
    for mask in masks {
        if kept.iter().all(|&other| other & mask != other) {
            kept.push(mask);
        }
    }
    kept
}

impl Search<'_> {
    fn cost(&self, mut paints: Set) -> u64 {
        let mut sum = 0;
        while paints != 0 {
            sum += self.costs[paints.trailing_zeros() as usize];
            paints &= paints - 1;
        }
        sum
    }

    /// Judges a set that makes every colour.
    fn worth(&self, paints: Set) -> Worth {
        let nearest = |choices: &Vec<Choice>| {
            let held = choices.iter().filter(|choice| choice.paints & paints == choice.paints);
            held.map(|choice| (choice.bucket, choice.difference))
                .min_by(|one, other| one.1.total_cmp(&other.1))
        };
        let near = self.all.iter().filter_map(nearest);
        let (buckets, differences) =
            near.fold((0, 0.0), |(buckets, sum), (bucket, difference)| (buckets + bucket, sum + difference));
        Worth(self.cost(paints), buckets, differences)
    }

    fn offer(&mut self, paints: Set) {
        let worth = self.worth(paints);
        if self.best.is_none_or(|(best, set)| worth < best || (worth == best && paints < set)) {
            self.best = Some((worth, paints));
        }
    }

    /// Buys what makes the most open colours for its price, to have a first bound.
    fn greedy(&mut self, free: Set) {
        let mut have = free;
        while let Some(next) =
            self.least.iter().filter(|choices| !made(choices, have)).flatten().copied().min_by_key(
                |&choice| {
                    let after = have | choice;
                    let served = self
                        .least
                        .iter()
                        .filter(|choices| !made(choices, have) && made(choices, after))
                        .count() as u64;
                    (self.cost(choice & !have) * 1000 / served.max(1), choice)
                },
            )
        {
            have |= next;
        }
        self.offer(have);
    }

    fn branch(&mut self, have: Set, ruled_out: Set) {
        self.nodes += 1;
        if self.nodes > self.limit {
            return;
        }
        let open = self.open(have, ruled_out);
        let Some(open) = open else { return };
        if open.is_empty() {
            self.offer(have);
            return;
        }
        let spent = self.cost(have);
        if self.best.is_some_and(|(Worth(best, ..), _)| spent + self.bound(&open, have) > best) {
            return;
        }
        let hardest = open.iter().min_by_key(|choices| choices.len()).map_or(&[][..], |choices| choices);
        let paint = busiest(hardest, &open, have);
        self.branch(have | paint, ruled_out);
        self.branch(have, ruled_out | paint);
    }

    /// Lists the choices that are left for each open colour; none when a colour has none left.
    fn open(&self, have: Set, ruled_out: Set) -> Option<Vec<Vec<Set>>> {
        let mut open = Vec::new();
        for choices in self.least.iter().filter(|choices| !made(choices, have)) {
            let left: Vec<Set> = choices.iter().copied().filter(|choice| choice & ruled_out == 0).collect();
            if left.is_empty() {
                return None;
            }
            open.push(left);
        }
        Some(open)
    }

    /// Gives what must be spent at the least: open colours, the dearest first, that share no paint.
    fn bound(&self, open: &[Vec<Set>], have: Set) -> u64 {
        let need = |choices: &Vec<Set>| {
            let cheapest = choices.iter().map(|choice| self.cost(choice & !have)).min().unwrap_or(0);
            (cheapest, choices.iter().fold(0, |all, choice| all | (choice & !have)))
        };
        let mut needs: Vec<(u64, Set)> = open.iter().map(need).collect();
        needs.sort_by_key(|&(cost, paints)| (Reverse(cost), paints.count_ones(), paints));
        let (mut seen, mut sum) = (0, 0);
        for (cost, paints) in needs {
            if paints & seen == 0 {
                sum += cost;
                seen |= paints;
            }
        }
        sum
    }
}

fn made(choices: &[Set], have: Set) -> bool {
    choices.iter().any(|choice| choice & have == *choice)
}

/// Finds the paint of the hardest colour that serves most choices of all open ones.
fn busiest(hardest: &[Set], open: &[Vec<Set>], have: Set) -> Set {
    let mut candidates = hardest.iter().fold(0, |all, choice| all | choice) & !have;
    let mut best = (0, 0);
    while candidates != 0 {
        let paint = candidates & candidates.wrapping_neg();
        candidates &= candidates - 1;
        let among = |choices: &[Set]| choices.iter().filter(|choice| *choice & paint != 0).count();
        let serves = (among(hardest) * 1000) + open.iter().map(|choices| among(choices)).sum::<usize>();
        if serves > best.0 {
            best = (serves, paint);
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::{Choice, Set, Worth, smallest};

    /// Numbers that follow from a seed (xorshift, G. Marsaglia 2003).
    struct Numbers(u64);

    impl Numbers {
        fn below(&mut self, limit: u64) -> u64 {
            self.0 ^= self.0 << 13;
            self.0 ^= self.0 >> 7;
            self.0 ^= self.0 << 17;
            self.0 % limit
        }
    }

    fn instance(numbers: &mut Numbers, count: u64) -> (Vec<u64>, Vec<Vec<Choice>>) {
        let costs = (0..count).map(|_| numbers.below(5) * 100 + numbers.below(3)).collect();
        let choice = |numbers: &mut Numbers| {
            let paints = (0..=numbers.below(3)).fold(0, |set: Set, _| set | 1 << numbers.below(count));
            let difference = numbers.below(300) as f64 / 100.0;
            Choice { paints, difference, bucket: u32::from(difference > 1.0) + u32::from(difference > 2.0) }
        };
        let colours = (0..6).map(|_| (0..=numbers.below(7)).map(|_| choice(numbers)).collect()).collect();
        (costs, colours)
    }

    fn worth(costs: &[u64], colours: &[Vec<Choice>], set: Set) -> Option<Worth> {
        let mut worth = Worth(0, 0, 0.0);
        worth.0 = (0..costs.len()).filter(|&at| set >> at & 1 == 1).map(|at| costs[at]).sum();
        for choices in colours {
            let held = choices.iter().filter(|choice| choice.paints & set == choice.paints);
            let best = held.min_by(|one, other| one.difference.total_cmp(&other.difference))?;
            worth = Worth(worth.0, worth.1 + best.bucket, worth.2 + best.difference);
        }
        Some(worth)
    }

    /// All subsets of 14 paints stand against the search.
    #[test]
    fn no_set_is_cheaper_or_as_cheap_and_nearer() {
        let mut numbers = Numbers(7);
        for round in 0..40 {
            let (costs, colours) = instance(&mut numbers, 14);
            let found = smallest(&costs, &colours, 200_000);
            let least = (0..1 << 14).filter_map(|set| worth(&costs, &colours, set));
            let least = least.min_by(|one, other| one.partial_cmp(other).unwrap()).unwrap();
            let ours = worth(&costs, &colours, found.paints).unwrap();
            assert!(found.proven);
            assert_eq!((ours.0, ours.1), (least.0, least.1), "round {round}");
            assert!((ours.2 - least.2).abs() < 1e-9, "round {round}");
        }
    }

    #[test]
    fn a_search_cut_short_gives_a_set_that_will_do_and_says_so() {
        let (costs, colours) = instance(&mut Numbers(11), 14);
        let found = smallest(&costs, &colours, 0);
        assert!(!found.proven);
        assert!(worth(&costs, &colours, found.paints).is_some());
    }
}
