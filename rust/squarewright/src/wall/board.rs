//! What is taken on one panel: a bit for each place of the lattice.

use std::ops::Range;

use super::footprint::Footprint;
use super::lattice::Lattice;

/// The places of one panel, row by row in words of 64 bits; a set bit is taken.
#[derive(Debug, Clone)]
pub(super) struct Board {
    words: usize,
    bits: Vec<u64>,
    /// How many places are taken.
    pub(super) taken: usize,
}

impl Board {
    pub(super) fn new(lattice: &Lattice) -> Self {
        let words = lattice.columns.div_ceil(64);
        Self { words, bits: vec![0; words * lattice.rows], taken: 0 }
    }

    /// Takes the places of a footprint that starts at a column and a row.
    pub(super) fn put(&mut self, footprint: &Footprint, (x, y): (usize, usize)) {
        for (row, runs) in footprint.rows().enumerate() {
            let line = (y + row) * self.words;
            for &(from, to) in runs {
                for (word, mask) in masks(x + from, x + to) {
                    self.bits[line + word] |= mask;
                }
            }
        }
        self.taken += footprint.area;
    }

    /// Takes a rectangle of columns and rows, whatever of it was taken before.
    pub(super) fn block(&mut self, (columns, rows): (Range<usize>, Range<usize>)) {
        if columns.is_empty() {
            return;
        }
        for row in rows {
            for (word, mask) in masks(columns.start, columns.end) {
                let line = &mut self.bits[row * self.words + word];
                self.taken += (mask & !*line).count_ones() as usize;
                *line |= mask;
            }
        }
    }

    /// Tells whether a place is taken on both boards.
    pub(super) fn overlaps(&self, other: &Self) -> bool {
        self.bits.iter().zip(&other.bits).any(|(one, two)| one & two != 0)
    }

    /// Takes what is taken on another board too.
    pub(super) fn join(&mut self, other: &Self) {
        for (one, two) in self.bits.iter_mut().zip(&other.bits) {
            self.taken += (two & !*one).count_ones() as usize;
            *one |= two;
        }
    }

    /// Takes all places up to `by` to the left of and above what is taken.
    #[must_use]
    pub(super) fn grown(&self, by: usize) -> Self {
        let mut grown = self.clone();
        let mut reach = 0;
        while reach < by {
            let more = (reach + 1).min(by - reach);
            grown.grow(more);
            reach += more;
        }
        grown
    }

    /// Takes the places `by` to the left, then those `by` above.
    fn grow(&mut self, by: usize) {
        let (words, bits) = (by / 64, by % 64);
        for line in self.bits.chunks_mut(self.words) {
            for place in 0..line.len() {
                let word = |place: usize| line.get(place).copied().unwrap_or(0);
                let next = word(place + words) >> bits;
                let after = if bits == 0 { 0 } else { word(place + words + 1) << (64 - bits) };
                line[place] |= next | after;
            }
        }
        for place in 0..self.bits.len().saturating_sub(by * self.words) {
            self.bits[place] |= self.bits[place + by * self.words];
        }
    }

    /// Tells whether a place is taken.
    pub(super) fn is_taken(&self, column: usize, row: usize) -> bool {
        self.bits[row * self.words + column / 64] >> (column % 64) & 1 == 1
    }

    /// Finds the first place from `start` on, row by row, where a footprint fits.
    ///
    /// `looks` counts the rows that were looked at.
    pub(super) fn first(
        &self,
        footprint: &Footprint,
        start: (usize, usize),
        every: usize,
        looks: &mut u64,
    ) -> Option<(usize, usize)> {
        let (last_x, last_y) = footprint.last;
        let (mut x, mut row) = (start.0, 0);
        for y in (start.1..=last_y).step_by(every) {
            while x <= last_x {
                match self.clash(footprint, (x, y), &mut row, looks) {
                    None => return Some((x, y)),
                    Some(next) => x = next.next_multiple_of(every),
                }
            }
            x = 0;
        }
        None
    }

    /// Tells whether a footprint clashes at a place, and from which column on it may not.
    ///
    /// The row that clashed last is looked at first: it will most often clash again.
    fn clash(
        &self,
        footprint: &Footprint,
        (x, y): (usize, usize),
        first: &mut usize,
        looks: &mut u64,
    ) -> Option<usize> {
        let height = footprint.height();
        for row in (*first..height).chain(0..*first) {
            *looks += 1;
            for &(from, to) in footprint.row(row) {
                if let Some(free) = self.free_after(y + row, x + from, x + to) {
                    *first = row;
                    return Some(free - from);
                }
            }
        }
        None
    }

    /// Gives the first free column after the last taken place between two columns, if one is taken.
    fn free_after(&self, row: usize, from: usize, to: usize) -> Option<usize> {
        let line = &self.bits[row * self.words..(row + 1) * self.words];
        let (word, hit) = masks(from, to)
            .map(|(word, mask)| (word, line[word] & mask))
            .filter(|(_, hit)| *hit != 0)
            .last()?;
        let mut place = word * 64 + 64 - hit.leading_zeros() as usize;
        while place < self.words * 64 {
            let run = (line[place / 64] >> (place % 64)).trailing_ones() as usize;
            place += run;
            if run == 0 || !place.is_multiple_of(64) {
                break;
            }
        }
        Some(place)
    }
}

/// Gives the words that hold the places between two columns, each with its bits.
fn masks(from: usize, to: usize) -> impl Iterator<Item = (usize, u64)> {
    let (first, last) = (from / 64, (to - 1) / 64);
    (first..=last).map(move |word| {
        let low = if word == first { u64::MAX << (from % 64) } else { u64::MAX };
        let high = if word == last { u64::MAX >> (63 - (to - 1) % 64) } else { u64::MAX };
        (word, low & high)
    })
}
