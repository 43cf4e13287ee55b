//! Painting small patches over: whole patches take a neighbour's colour while the picture gains by it, and as
//! long as a patch is too small to paint (region merging after Koepfler, Lopez and Morel 1994, doi
//! 10.1137/0731015).

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::field::{Costs, Field};
use crate::fault::{Result, Watch};
use crate::grid::patch::connected;

/// Patches of more cells are left alone.
const LARGE: usize = 400;
/// Offers between two looks at the watch.
const STRIDE: usize = 1024;

/// What patches are to be like.
#[derive(Debug, Clone, Copy)]
pub(super) struct Merging {
    /// The fewest cells of a patch.
    pub(super) least: usize,
    /// What one patch fewer is worth.
    pub(super) worth: i32,
}

/// A patch that can be painted over, the cheapest first; ties go to the first patch.
type Offer = Reverse<(i64, usize, u32, u8)>;

struct Patches<'a> {
    costs: &'a Costs,
    asked: Merging,
    label: Vec<u8>,
    size: Vec<usize>,
    /// What its cells pay for its colour.
    own: Vec<i64>,
    /// Neighbours with the cost of the common border, ascending.
    beside: Vec<Vec<(usize, i64)>>,
    /// Counts changes of a patch, so that old offers are known.
    stamp: Vec<u32>,
    first: Vec<usize>,
    /// The next cell of the same patch, in a ring.
    ring: Vec<usize>,
    offers: BinaryHeap<Offer>,
    /// The colours next to a patch, with what is saved by taking each: kept to save the making.
    colours: Vec<(u8, i64)>,
}

/// Paints patches over; `labels` keeps at most the colours it has.
pub(super) fn merge(
    field: &Field,
    costs: &Costs,
    labels: &mut [u8],
    asked: Merging,
    watch: &dyn Watch,
) -> Result<()> {
    let value = |place: usize| field.cells[place].map(|_| labels[place]);
    let (patch_of, count) = connected(field.rows, field.columns, value);
    let mut patches = Patches::new(field, costs, labels, (&patch_of, count), asked);
    (0..count).for_each(|patch| patches.offer(patch));
    let mut turn = 0_usize;
    while let Some(Reverse((_, patch, stamp, label))) = patches.offers.pop() {
        turn += 1;
        if turn.is_multiple_of(STRIDE) {
            watch.check(0.8)?;
        }
        if stamp != patches.stamp[patch] || patches.size[patch] == 0 {
            continue;
        }
        patches.repaint(patch, label);
    }
    for patch in (0..count).filter(|&patch| patches.size[patch] > 0) {
        patches.cells(patch).for_each(|place| labels[place] = patches.label[patch]);
    }
    Ok(())
}

impl<'a> Patches<'a> {
    fn new(
        field: &'a Field,
        costs: &'a Costs,
        labels: &[u8],
        (patch_of, count): (&[usize], usize),
        asked: Merging,
    ) -> Self {
        const NONE: usize = usize::MAX;
        let (mut size, mut first, mut ring) = (vec![0; count], vec![NONE; count], vec![NONE; labels.len()]);
        let (mut label, mut beside, mut own) = (vec![0; count], vec![Vec::new(); count], vec![0; count]);
        for place in (0..labels.len()).filter(|&place| field.cells[place].is_some()) {
            let patch = patch_of[place];
            label[patch] = labels[place];
            size[patch] += 1;
            own[patch] += i64::from(costs.of(place, labels[place]));
            ring[place] = if first[patch] == NONE { place } else { ring[first[patch]] };
            if first[patch] == NONE {
                first[patch] = place;
            } else {
                ring[first[patch]] = place;
            }
            for (next, border) in field.around(place) {
                if field.cells[next].is_some() && patch_of[next] != patch {
                    add(&mut beside[patch], patch_of[next], i64::from(border));
                }
            }
        }
        let stamp = vec![0; count];
        let (offers, colours) = (BinaryHeap::new(), Vec::new());
        Self { costs, asked, label, size, own, beside, stamp, first, ring, offers, colours }
    }

    fn cells(&self, patch: usize) -> impl Iterator<Item = usize> {
        let first = self.first[patch];
        let mut at = Some(first);
        std::iter::from_fn(move || {
            let place = at?;
            at = Some(self.ring[place]).filter(|&next| next != first);
            Some(place)
        })
    }

    /// Offers to paint a patch over in the colour of the neighbour where that costs least.
    fn offer(&mut self, patch: usize) {
        if self.size[patch] == 0 || self.size[patch] > LARGE {
            return;
        }
        let mut colours = std::mem::take(&mut self.colours);
        colours.clear();
        for &(next, border) in &self.beside[patch] {
            let saved = border + i64::from(self.asked.worth);
            match colours.iter_mut().find(|(colour, _)| *colour == self.label[next]) {
                Some((_, sum)) => *sum += saved,
                None => colours.push((self.label[next], saved)),
            }
        }
        // What is neither needed nor a gain is not offered, and what is no better than another not added up.
        let needed = self.size[patch] < self.asked.least;
        let (mut least, mut best) = (if needed { i64::MAX } else { -1 }, None);
        for &(colour, saved) in &colours {
            let less = self.own[patch] + saved;
            let Some(pays) = self.would_pay(patch, colour, least.saturating_add(less)) else { continue };
            if best.is_none_or(|other| (pays - less, colour) < (least, other)) {
                (least, best) = (pays - less, Some(colour));
            }
        }
        if let Some(colour) = best {
            self.offers.push(Reverse((least, patch, self.stamp[patch], colour)));
        }
        self.colours = colours;
    }

    /// Gives what a patch would pay for a colour, when that is not more than `most`.
    fn would_pay(&self, patch: usize, colour: u8, most: i64) -> Option<i64> {
        let mut sum = 0;
        for place in self.cells(patch) {
            sum += i64::from(self.costs.of(place, colour));
            if sum > most {
                return None;
            }
        }
        Some(sum)
    }

    /// Paints a patch over and joins it with all neighbours of its new colour.
    ///
    /// Offers stay good where nothing changed: only the neighbours of what changes colour or goes get new
    /// ones.
    fn repaint(&mut self, patch: usize, colour: u8) {
        self.own[patch] = self.would_pay(patch, colour, i64::MAX).unwrap_or(0);
        self.label[patch] = colour;
        let beside = self.beside[patch].iter().map(|&(next, _)| next);
        let joined: Vec<usize> = beside.clone().filter(|&next| self.label[next] == colour).collect();
        let mut affected: Vec<usize> = beside.collect();
        let all = joined.iter().copied().chain([patch]);
        let into = all.max_by_key(|&id| (self.beside[id].len(), Reverse(id))).unwrap_or(patch);
        for gone in joined.into_iter().chain([patch]).filter(|&id| id != into) {
            affected.extend(self.beside[gone].iter().map(|&(next, _)| next));
            self.join(gone, into);
        }
        affected.push(into);
        affected.sort_unstable();
        affected.dedup();
        for id in affected {
            self.stamp[id] += 1;
            self.offer(id);
        }
    }

    fn join(&mut self, gone: usize, into: usize) {
        self.size[into] += std::mem::take(&mut self.size[gone]);
        self.own[into] += self.own[gone];
        self.ring.swap(self.first[gone], self.first[into]);
        for (next, border) in std::mem::take(&mut self.beside[gone]) {
            if let Ok(place) = self.beside[next].binary_search_by_key(&gone, |&(id, _)| id) {
                self.beside[next].remove(place);
            }
            if next != into {
                add(&mut self.beside[into], next, border);
                add(&mut self.beside[next], into, border);
            }
        }
    }
}

fn add(list: &mut Vec<(usize, i64)>, id: usize, border: i64) {
    match list.binary_search_by_key(&id, |&(id, _)| id) {
        Ok(place) => list[place].1 += border,
        Err(place) => list.insert(place, (id, border)),
    }
}
