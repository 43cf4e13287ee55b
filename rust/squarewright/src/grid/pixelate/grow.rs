//! Growing: a patch too small to paint takes cells next door, when that costs less than to lose it. So an eye stays.

use super::field::{Costs, Field};
use super::merge::Merging;
use super::trim::is_loose;

/// Grows patches of fewer than `least` cells where that is the cheaper way.
pub(super) fn grow(field: &Field, costs: &Costs, labels: &mut [u8], asked: Merging) {
    for place in (0..labels.len()).filter(|&place| field.cells[place].is_some()) {
        let small = patch(field, labels, place, asked.least);
        if small.len() >= asked.least || small.iter().any(|&other| other < place) {
            continue;
        }
        let Some(lost) = loss(field, costs, labels, &small) else { continue };
        let mut taken = Vec::new();
        let price = spread(field, costs, labels, (place, asked.least), &mut taken);
        if price.is_none_or(|price| price + asked.worth >= lost) {
            for (next, label) in taken {
                labels[next] = label;
            }
        }
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

/// Adds the cheapest cells next door until the patch at `place` has `least` cells; gives what that costs, and in
/// `taken` the colours that these cells had.
fn spread(
    field: &Field,
    costs: &Costs,
    labels: &mut [u8],
    (place, least): (usize, usize),
    taken: &mut Vec<(usize, u8)>,
) -> Option<i32> {
    let mut total = 0;
    loop {
        let cells = patch(field, labels, place, least);
        if cells.len() >= least {
            return Some(total);
        }
        let next_door = cells.iter().flat_map(|&cell| field.around(cell)).map(|(next, _)| next);
        let open =
            next_door.filter(|&next| can_leave(field, labels, next, least) && labels[next] != labels[place]);
        let (more, next) = open.map(|next| (price(field, costs, labels, next, labels[place]), next)).min()?;
        taken.push((next, labels[next]));
        labels[next] = labels[place];
        total += more;
    }
}

/// Says whether a cell can leave its patch so that the rest stays whole and large enough.
fn can_leave(field: &Field, labels: &[u8], place: usize, least: usize) -> bool {
    field.cells[place].is_some()
        && is_loose(field, labels, place)
        && patch(field, labels, place, least + 1).len() > least
}

/// Gives what it costs to give one cell another colour.
fn price(field: &Field, costs: &Costs, labels: &[u8], place: usize, label: u8) -> i32 {
    let borders = |own: u8| {
        let unlike = field.around(place).filter(|&(other, _)| labels[other] != own);
        unlike.map(|(_, border)| border).sum::<i32>()
    };
    costs.of(place, label) - costs.of(place, labels[place]) + borders(label) - borders(labels[place])
}
