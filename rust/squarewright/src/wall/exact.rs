//! Whether a set of figures fits on one panel, by looking at every way to do it.
//!
//! The first free place, row by row, is either the first place of a figure that still has none, or it stays
//! free for good. There are no more places to spare than the figures leave, so both ways end. What is left of
//! the panel and of the figures is remembered when it led nowhere.

use std::collections::HashSet;

use super::figure::Run;
use super::lay::{Job, Spot};

/// The most places along a side of a panel that is searched: a row is one word.
pub(super) const SIDE: usize = 64;
/// Words that are spent on what led nowhere.
const MEMORY: usize = 4_000_000;

/// What a search found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Answer {
    /// A way: kind, turn and place of each figure.
    Way(Vec<(usize, usize, Spot)>),
    /// There is none.
    None,
    /// It was given up.
    Unknown,
}

/// One turn of a kind as words.
struct Stamp {
    rows: Vec<u64>,
    /// The column of its first place in its first row.
    first: usize,
    last: Spot,
}

/// The turns of all kinds as words, for panels of few places.
pub(super) struct Stamps {
    kinds: Vec<Vec<Stamp>>,
    areas: Vec<usize>,
    size: Spot,
    every: usize,
}

impl Stamps {
    /// Makes the words; none when the panel has more places than are searched.
    pub(super) fn new(job: &Job) -> Option<Self> {
        let size = (job.lattice.columns, job.lattice.rows);
        if size.0 > SIDE || size.1 > SIDE || !job.lattice.exact {
            return None;
        }
        let word = |runs: &[Run]| runs.iter().fold(0, |word, &(from, to)| word | bits(from, to));
        let kinds = job.turns.iter().map(|turns| {
            let stamp = turns.iter().map(|turn| {
                let rows: Vec<u64> = turn.rows().map(word).collect();
                let first = rows.first().map_or(0, |row| row.trailing_zeros() as usize);
                Stamp { rows, first, last: turn.last }
            });
            stamp.collect()
        });
        let areas = job.turns.iter().map(|turns| turns[0].area).collect();
        Some(Self { kinds: kinds.collect(), areas, size, every: job.lattice.every })
    }

    /// Looks for a way to put so many figures of each kind on one panel; `effort` is used up.
    pub(super) fn fit(&self, counts: Vec<usize>, effort: &mut u64) -> Answer {
        let wanted: usize = counts.iter().zip(&self.areas).map(|(count, area)| count * area).sum();
        let Some(spare) = (self.size.0 * self.size.1).checked_sub(wanted) else { return Answer::None };
        let mut order: Vec<usize> = (0..counts.len()).filter(|&kind| counts[kind] > 0).collect();
        order.sort_by_key(|&kind| std::cmp::Reverse(self.areas[kind]));
        let rows = vec![!bits(0, self.size.0); self.size.1];
        let mut walk = Walk {
            left: counts.iter().sum(),
            stamps: self,
            order,
            counts,
            rows,
            spare,
            way: Vec::new(),
            nowhere: HashSet::new(),
            words: 0,
            effort,
        };
        match walk.go(0) {
            Some(true) => Answer::Way(walk.way),
            Some(false) => Answer::None,
            None => Answer::Unknown,
        }
    }
}

/// A search on its way.
struct Walk<'a> {
    stamps: &'a Stamps,
    order: Vec<usize>,
    counts: Vec<usize>,
    left: usize,
    rows: Vec<u64>,
    spare: usize,
    way: Vec<(usize, usize, Spot)>,
    nowhere: HashSet<Box<[u64]>>,
    words: usize,
    effort: &'a mut u64,
}

impl Walk<'_> {
    /// Goes on from the first free place; tells whether a way was found, none when it is given up.
    fn go(&mut self, mut row: usize) -> Option<bool> {
        if self.left == 0 {
            return Some(true);
        }
        while row < self.rows.len() && self.rows[row] == u64::MAX {
            row += 1;
        }
        let state = self.state(row);
        if self.nowhere.contains(&state) {
            return Some(false);
        }
        let (before, spare) = (self.rows.clone(), self.spare);
        let found = self.places(row);
        if found == Some(true) {
            return found;
        }
        self.rows = before;
        self.spare = spare;
        if found.is_some() && self.words < MEMORY {
            self.words += state.len();
            self.nowhere.insert(state);
        }
        found
    }

    /// Tries each figure at the first free place, then leaves that place free, as long as places can be spared.
    fn places(&mut self, mut row: usize) -> Option<bool> {
        while row < self.rows.len() {
            if self.rows[row] == u64::MAX {
                row += 1;
                continue;
            }
            *self.effort = self.effort.checked_sub(1)?;
            let column = self.rows[row].trailing_ones() as usize;
            if self.figures(column, row)? {
                return Some(true);
            }
            if self.spare == 0 {
                break;
            }
            self.spare -= 1;
            self.rows[row] |= 1 << column;
        }
        Some(false)
    }

    fn figures(&mut self, column: usize, row: usize) -> Option<bool> {
        let stamps = self.stamps;
        for place in 0..self.order.len() {
            let kind = self.order[place];
            if self.counts[kind] == 0 {
                continue;
            }
            for (turn, stamp) in stamps.kinds[kind].iter().enumerate() {
                let Some(x) = column.checked_sub(stamp.first) else { continue };
                let even = x.is_multiple_of(stamps.every) && row.is_multiple_of(stamps.every);
                if !even || x > stamp.last.0 || row > stamp.last.1 || !self.is_free(stamp, x, row) {
                    continue;
                }
                self.flip(stamp, x, row);
                self.counts[kind] -= 1;
                self.left -= 1;
                self.way.push((kind, turn, (x, row)));
                if self.go(row)? {
                    return Some(true);
                }
                self.way.pop();
                self.left += 1;
                self.counts[kind] += 1;
                self.flip(stamp, x, row);
            }
        }
        Some(false)
    }

    fn is_free(&self, stamp: &Stamp, x: usize, y: usize) -> bool {
        self.rows[y..].iter().zip(&stamp.rows).all(|(taken, word)| taken & (word << x) == 0)
    }

    fn flip(&mut self, stamp: &Stamp, x: usize, y: usize) {
        self.rows[y..].iter_mut().zip(&stamp.rows).for_each(|(taken, word)| *taken ^= word << x);
    }

    fn state(&self, row: usize) -> Box<[u64]> {
        let counts = self.order.iter().map(|&kind| self.counts[kind] as u64);
        counts.chain(self.rows[row.min(self.rows.len())..].iter().copied()).collect()
    }
}

fn bits(from: usize, to: usize) -> u64 {
    if from == to { 0 } else { (u64::MAX << from) & (u64::MAX >> (64 - to)) }
}
