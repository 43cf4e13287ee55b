//! Growing: a patch too small to paint takes cells next door, when that costs less than to lose it. So an eye stays.

use super::field::{Costs, Field};
use super::trim::is_loose;

/// Grows patches of fewer than `least` cells where that is the cheaper way.
pub(super) fn grow(field: &Field, costs: &Costs, labels: &mut [u8], least: usize, worth: i32) {
    for place in (0..labels.len()).filter(|&place| field.cells[place].is_some()) {
        let patch = patch(field, labels, place, least);
        if patch.len() >= least || patch.iter().any(|&other| other < place) {
            continue;
        }
        let before = labels.to_vec();
        let lost = loss(field, costs, labels, &patch);
        match (lost, spread(field, costs, labels, patch, least)) {
            (Some(lost), Some(grown)) if grown + worth < lost => {}
            _ => labels.copy_from_slice(&before),
        }
    }
}

/// Gives the cells of the patch at `place`, or `most` of them.
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

/// Gives what it costs to paint a patch over in a neighbour's colour.
fn loss(field: &Field, costs: &Costs, labels: &[u8], patch: &[usize]) -> Option<i32> {
    let edge: Vec<(u8, i32)> = patch
        .iter()
        .flat_map(|&place| field.around(place))
        .filter(|&(next, _)| field.cells[next].is_some() && !patch.contains(&next))
        .map(|(next, border)| (labels[next], border))
        .collect();
    let price = |&(label, _): &(u8, i32)| {
        let more: i32 = patch.iter().map(|&place| costs.of(place, label) - costs.of(place, labels[place])).sum();
        more - edge.iter().filter(|&&(other, _)| other == label).map(|&(_, border)| border).sum::<i32>()
    };
    edge.iter().map(price).min()
}

/// Adds the cheapest cells next door until the patch is large enough; gives what that costs.
fn spread(field: &Field, costs: &Costs, labels: &mut [u8], patch_: Vec<usize>, least: usize) -> Option<i32> {
    let label = labels[patch_[0]];
    let (mut cells, mut total) = (patch_, 0);
    while cells.len() < least {
        let mut best: Option<(i32, usize)> = None;
        for &place in &cells {
            for (next, _) in field.around(place) {
                if field.cells[next].is_none() || labels[next] == label || !is_loose(field, labels, next) {
                    continue;
                }
                if patch(field, labels, next, least + 1).len() <= least {
                    continue;
                }
                let borders = |own: u8| {
                    let differing = field.around(next).filter(|&(other, _)| labels[other] != own);
                    differing.map(|(_, border)| border).sum::<i32>()
                };
                let more = costs.of(next, label) - costs.of(next, labels[next]) + borders(label) - borders(labels[next]);
                if best.is_none_or(|known| (more, next) < known) {
                    best = Some((more, next));
                }
            }
        }
        let (more, next) = best?;
        labels[next] = label;
        total += more;
        cells = patch(field, labels, cells[0], least);
    }
    Some(total)
}
