//! Growing: a patch too small to paint takes cells next door, when that costs less than to lose it. So an eye stays.

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
    for place in 0..labels.len() {
        if place.is_multiple_of(STRIDE) {
            watch.check(0.7)?;
        }
        if field.cells[place].is_some() {
            grow_at(field, costs, labels, (place, asked));
        }
    }
    Ok(())
}

/// Grows the patch at a place, if it is too small and this is its first cell.
fn grow_at(field: &Field, costs: &Costs, labels: &mut [u8], (place, asked): (usize, Merging)) {
    let small = patch(field, labels, place, asked.least);
    if small.len() >= asked.least || small.iter().any(|&other| other < place) {
        return;
    }
    let Some(lost) = loss(field, costs, labels, &small) else { return };
    let mut taken = Vec::new();
    let mut left = lost - asked.worth;
    while left > 0 {
        let cells = patch(field, labels, place, asked.least);
        if cells.len() >= asked.least {
            return;
        }
        let Some((more, next)) = cheapest(field, costs, labels, (&cells, asked.least, left)) else { break };
        taken.push((next, labels[next]));
        labels[next] = labels[place];
        left -= more;
    }
    for (next, label) in taken {
        labels[next] = label;
    }
}

/// Gives the cells of the patch at `place`, or the first `most` of them.
fn patch(field: &Field, labels: &[u8], place: usize, most: usize) -> Vec<usize> {
    let mut found = vec![place];
    let mut at = 0;
    while at < found.len() && found.len() < most {
        for (next, _) in field.around(found[at]) {
            if field.cells[next].is_some() && labels[next] == labels[place] && !found.contains(&next) {
                found.push(next);
            }
        }
        at += 1;
    }
    found
}

/// Gives what it costs to paint a patch over in the colour of a neighbour.
fn loss(field: &Field, costs: &Costs, labels: &[u8], patch: &[usize]) -> Option<i32> {
    let around = patch.iter().flat_map(|&place| field.around(place));
    let edge: Vec<(u8, i32)> = around
        .filter(|&(next, _)| field.cells[next].is_some() && !patch.contains(&next))
        .map(|(next, border)| (labels[next], border))
        .collect();
    let price = |&(label, _): &(u8, i32)| {
        let more = patch.iter().map(|&place| costs.of(place, label) - costs.of(place, labels[place]));
        let saved = edge.iter().filter(|&&(other, _)| other == label).map(|&(_, border)| border);
        more.sum::<i32>() - saved.sum::<i32>()
    };
    edge.iter().map(price).min()
}

/// Finds the cell next door to a patch that can go over to it at the least price, below `most`.
fn cheapest(
    field: &Field,
    costs: &Costs,
    labels: &[u8],
    (cells, least, most): (&[usize], usize, i32),
) -> Option<(i32, usize)> {
    let label = labels[cells[0]];
    let next_door = cells.iter().flat_map(|&cell| field.around(cell)).map(|(next, _)| next);
    let other = next_door.filter(|&next| field.cells[next].is_some() && labels[next] != label);
    let mut offers: Vec<(i32, usize)> =
        other.map(|next| (price(field, costs, labels, next, label), next)).collect();
    offers.sort_unstable();
    let offers = offers.into_iter().take_while(|&(price, _)| price < most);
    offers.into_iter().find(|&(_, next)| can_leave(field, labels, next, least))
}

/// Says whether a cell can leave its patch so that the rest stays whole and large enough.
fn can_leave(field: &Field, labels: &[u8], place: usize, least: usize) -> bool {
    is_loose(field, labels, place) && patch(field, labels, place, least + 1).len() > least
}

/// Gives what it costs to give one cell another colour.
fn price(field: &Field, costs: &Costs, labels: &[u8], place: usize, label: u8) -> i32 {
    let borders = |own: u8| {
        let unlike = field.around(place).filter(|&(other, _)| labels[other] != own);
        unlike.map(|(_, border)| border).sum::<i32>()
    };
    costs.of(place, label) - costs.of(place, labels[place]) + borders(label) - borders(labels[place])
}
