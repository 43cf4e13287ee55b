//! Growing: a patch too small to paint takes cells next door, when that costs less than to lose it. So an eye
//! stays.

use super::field::{Costs, Field};
use super::merge::Merging;
use super::trim::is_loose;
use crate::fault::{Result, Watch};

/// Cells between two looks at the watch.
const STRIDE: usize = 4096;

/// Grows patches of fewer than `least` cells where that is the cheaper way.
pub(super) fn grow(
    field: &Field,
    costs: &Costs,
    labels: &mut [u8],
    asked: Merging,
    watch: &dyn Watch,
) -> Result<()> {
    let mut growing = Growing { field, costs, labels, asked };
    for place in 0..field.cells.len() {
        if place.is_multiple_of(STRIDE) {
            watch.check(0.7)?;
        }
        if field.cells[place].is_some() {
            growing.grow_at(place);
        }
    }
    Ok(())
}

struct Growing<'a> {
    field: &'a Field,
    costs: &'a Costs,
    labels: &'a mut [u8],
    asked: Merging,
}

impl Growing<'_> {
    /// Grows the patch at a place, if it is too small and this is its first cell.
    fn grow_at(&mut self, place: usize) {
        let least = self.asked.least;
        let small = self.patch(place, least);
        if small.len() >= least || small.iter().any(|&other| other < place) {
            return;
        }
        let Some(lost) = self.loss(&small) else { return };
        let mut taken = Vec::new();
        let mut left = lost - self.asked.worth;
        while left > 0 {
            let cells = self.patch(place, least);
            if cells.len() >= least {
                return;
            }
            let Some((price, next)) = self.cheapest(&cells, left) else { break };
            taken.push((next, self.labels[next]));
            self.labels[next] = self.labels[place];
            left -= price;
        }
        for (next, label) in taken {
            self.labels[next] = label;
        }
    }

    /// Gives the cells of the patch at `place`, or the first `most` of them.
    fn patch(&self, place: usize, most: usize) -> Vec<usize> {
        let mut found = vec![place];
        let mut at = 0;
        while at < found.len() && found.len() < most {
            for (next, _) in self.field.around(found[at]) {
                let same = self.field.cells[next].is_some() && self.labels[next] == self.labels[place];
                if same && !found.contains(&next) {
                    found.push(next);
                }
            }
            at += 1;
        }
        found
    }

    /// Gives what it costs to paint a patch over in the colour of a neighbour.
    fn loss(&self, patch: &[usize]) -> Option<i32> {
        let around = patch.iter().flat_map(|&place| self.field.around(place));
        let edge: Vec<(u8, i32)> = around
            .filter(|&(next, _)| self.field.cells[next].is_some() && !patch.contains(&next))
            .map(|(next, border)| (self.labels[next], border))
            .collect();
        let price = |&(label, _): &(u8, i32)| {
            let more = patch
                .iter()
                .map(|&place| self.costs.of(place, label) - self.costs.of(place, self.labels[place]));
            let saved = edge.iter().filter(|&&(other, _)| other == label).map(|&(_, border)| border);
            more.sum::<i32>() - saved.sum::<i32>()
        };
        edge.iter().map(price).min()
    }

    /// Finds the cell next door to a patch that can go over to it at the least price, below `most`.
    fn cheapest(&self, cells: &[usize], most: i32) -> Option<(i32, usize)> {
        let label = self.labels[cells[0]];
        let next_door = cells.iter().flat_map(|&cell| self.field.around(cell)).map(|(next, _)| next);
        let other = next_door.filter(|&next| self.field.cells[next].is_some() && self.labels[next] != label);
        let mut offers: Vec<(i32, usize)> = other.map(|next| (self.price(next, label), next)).collect();
        offers.sort_unstable();
        let offers = offers.into_iter().take_while(|&(price, _)| price < most);
        offers.into_iter().find(|&(_, next)| self.can_leave(next))
    }

    /// Says whether a cell can leave its patch so that the rest stays whole and large enough.
    fn can_leave(&self, place: usize) -> bool {
        is_loose(self.field, self.labels, place)
            && self.patch(place, self.asked.least + 1).len() > self.asked.least
    }

    /// Gives what it costs to give one cell another colour.
    fn price(&self, place: usize, label: u8) -> i32 {
        let borders = |own: u8| {
            let unlike = self.field.around(place).filter(|&(other, _)| self.labels[other] != own);
            unlike.map(|(_, border)| border).sum::<i32>()
        };
        let own = self.labels[place];
        self.costs.of(place, label) - self.costs.of(place, own) + borders(label) - borders(own)
    }
}
