//! Cell colours that differ by noise alone become one: average linkage of all colours that were found.

use crate::colour::{Lab, Rgb};

/// More different colours than this are first put together on a fine mesh.
const MOST: usize = 1500;
/// What full opacity weighs beside lightness.
const OPACITY: f64 = 60.0;

/// Noise is taken as at least this much in each of three directions, in steps of lightness.
const LEAST_NOISE: f64 = 0.3;
/// Directions in which colours differ.
const DEPTH: f64 = 3.0;
/// What one more colour costs, as a multiple of the criterion's own price: where colours are exact, and where
/// they are not, as noise then has long tails.
const PRICE: (f64, f64) = (4.0, 10.0);
/// Colours farther apart than this never become one.
const MOST_DISTANCE: f64 = 10.0;

/// How sure the colours of cells are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Doubt {
    /// The error of a cell in levels.
    pub(super) levels: f64,
    /// What differences in hue and chroma weigh beside lightness.
    pub(super) chroma: f64,
}

impl Doubt {
    fn price(self) -> f64 {
        (2.0 + 13.0 * self.levels).clamp(PRICE.0, PRICE.1)
    }
}

/// One colour with its cells.
#[derive(Debug, Clone, Copy)]
struct Group {
    at: [f64; 4],
    count: f64,
}

/// Puts colours together that differ by noise alone; each takes the colour that most of its cells have when
/// `exact`, else their mean.
pub(super) fn joined(colours: &[[u8; 4]], exact: bool, doubt: Doubt) -> Vec<[u8; 4]> {
    let mut different = colours.to_vec();
    different.sort_unstable();
    different.dedup();
    if different.len() < 2 || different.len() > MOST {
        return colours.to_vec();
    }
    let place = |colour: &[u8; 4]| different.binary_search(colour).expect("every colour is listed");
    let mut counts = vec![0_u32; different.len()];
    for colour in colours {
        counts[place(colour)] += 1;
    }
    let groups: Vec<Group> = different
        .iter()
        .zip(&counts)
        .map(|(&[r, g, b, alpha], &count)| {
            let lab = Lab::from(Rgb([r, g, b]));
            let opacity = f64::from(alpha) / 255.0 * OPACITY;
            Group {
                at: [lab.l, doubt.chroma * lab.a, doubt.chroma * lab.b, opacity],
                count: f64::from(count),
            }
        })
        .collect();
    let labels = linked(&groups, doubt.price());
    let mut stands = different.clone();
    for label in 0..different.len() {
        let members: Vec<usize> = (0..different.len()).filter(|&member| labels[member] == label).collect();
        if members.len() > 1 {
            let colour = if exact {
                commonest(&members, &different, &counts)
            } else {
                mean(&members, &different, &counts)
            };
            for member in members {
                stands[member] = colour;
            }
        }
    }
    colours.iter().map(|colour| stands[place(colour)]).collect()
}

fn commonest(members: &[usize], different: &[[u8; 4]], counts: &[u32]) -> [u8; 4] {
    let most = members.iter().copied().max_by_key(|&member| (counts[member], std::cmp::Reverse(member)));
    different[most.unwrap_or(members[0])]
}

fn mean(members: &[usize], different: &[[u8; 4]], counts: &[u32]) -> [u8; 4] {
    let total: u32 = members.iter().map(|&member| counts[member]).sum();
    std::array::from_fn(|channel| {
        let sum: u32 =
            members.iter().map(|&member| u32::from(different[member][channel]) * counts[member]).sum();
        ((sum + total / 2) / total) as u8
    })
}

/// Two groups that average linkage puts together, and how far apart they are.
#[derive(Debug, Clone, Copy)]
struct Join {
    into: usize,
    from: usize,
    distance: f64,
}

/// Labels groups: those that average linkage joins up to the step after which the colours are described
/// best, by the criterion of G. Schwarz (1978): the noise that is left against the number of colours.
fn linked(groups: &[Group], price: f64) -> Vec<usize> {
    let mut joins = chain(groups);
    joins.sort_by(|a, b| a.distance.total_cmp(&b.distance));
    let cells: f64 = groups.iter().map(|group| group.count).sum();
    let mut means = groups.to_vec();
    let mut owner: Vec<usize> = (0..groups.len()).collect();
    let (mut square, mut colours) = (0.0, groups.len() as f64);
    let describe = |square: f64, colours: f64| {
        let free = (cells - colours).max(1.0);
        DEPTH / 2.0
            * (cells * libm::log(square / (DEPTH * free) + LEAST_NOISE * LEAST_NOISE)
                + price * colours * libm::log(cells))
    };
    let (mut best, mut kept) = (describe(square, colours), 0);
    for (step, join) in joins.iter().enumerate().take_while(|(_, join)| join.distance <= MOST_DISTANCE) {
        let (into, from) = (root(&owner, join.into), root(&owner, join.from));
        let (one, two) = (means[into], means[from]);
        let count = one.count + two.count;
        let apart: f64 = one.at.iter().zip(two.at).map(|(a, b)| (a - b) * (a - b)).sum();
        square += apart * one.count * two.count / count;
        colours -= 1.0;
        let at = std::array::from_fn(|axis| (one.at[axis] * one.count + two.at[axis] * two.count) / count);
        means[into] = Group { at, count };
        owner[from] = into;
        let described = describe(square, colours);
        if described < best {
            (best, kept) = (described, step + 1);
        }
    }
    let mut owner: Vec<usize> = (0..groups.len()).collect();
    for join in &joins[..kept] {
        let (into, from) = (root(&owner, join.into), root(&owner, join.from));
        owner[from] = into;
    }
    (0..groups.len()).map(|group| root(&owner, group)).collect()
}

fn root(owner: &[usize], mut group: usize) -> usize {
    while owner[group] != group {
        group = owner[group];
    }
    group
}

/// Lists all joins of average linkage, by chains of nearest neighbours (F. Murtagh, 1983).
fn chain(groups: &[Group]) -> Vec<Join> {
    let count = groups.len();
    let mut far: Vec<f32> = Vec::with_capacity(count * count);
    for one in groups {
        far.extend(groups.iter().map(|other| {
            let square: f64 = one.at.iter().zip(other.at).map(|(a, b)| (a - b) * (a - b)).sum();
            square.sqrt() as f32
        }));
    }
    let mut sizes: Vec<f32> = groups.iter().map(|group| (group.count as f32).sqrt()).collect();
    let mut alive: Vec<usize> = (0..count).collect();
    let mut joins = Vec::with_capacity(count);
    let mut chain: Vec<usize> = Vec::new();
    while alive.len() > 1 {
        let top = *chain.last().unwrap_or(&alive[0]);
        if chain.is_empty() {
            chain.push(top);
        }
        let before = chain.len().checked_sub(2).map(|place| chain[place]);
        let mut nearest = before.unwrap_or(usize::MAX);
        let mut least = before.map_or(f32::INFINITY, |before| far[top * count + before]);
        for &other in alive.iter().filter(|&&other| other != top) {
            if far[top * count + other] < least {
                (least, nearest) = (far[top * count + other], other);
            }
        }
        if Some(nearest) != before {
            chain.push(nearest);
            continue;
        }
        chain.truncate(chain.len() - 2);
        let (into, from) = (top.min(nearest), top.max(nearest));
        alive.retain(|&group| group != from);
        let (a, b) = (sizes[into], sizes[from]);
        for &other in &alive {
            let joint = (a * far[into * count + other] + b * far[from * count + other]) / (a + b);
            far[into * count + other] = joint;
            far[other * count + into] = joint;
        }
        sizes[into] += b;
        joins.push(Join { into, from, distance: f64::from(least) });
    }
    joins
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn noise_is_joined_and_colours_stay_apart() {
        let colours: Vec<[u8; 4]> = (0..120_u8)
            .map(|cell| {
                let wobble = cell % 5;
                match cell % 3 {
                    0 => [200 + wobble, 40, 40 + wobble, 255],
                    1 => [40, 180 + wobble, 60, 255],
                    _ => [30 + wobble, 40 + wobble, 120, 255],
                }
            })
            .collect();
        let mut found = joined(&colours, false, Doubt { levels: 1.0, chroma: 1.0 });
        assert_eq!(found[0], found[3]);
        found.sort_unstable();
        found.dedup();
        assert_eq!(found.len(), 3);
    }

    #[test]
    fn a_lone_colour_far_from_all_others_is_kept() {
        let mut colours: Vec<[u8; 4]> = (0..120).map(|cell| [90 + cell % 3, 90, 92, 255]).collect();
        colours.push([250, 200, 20, 255]);
        let found = joined(&colours, false, Doubt { levels: 1.0, chroma: 1.0 });
        assert_eq!(found[120], [250, 200, 20, 255]);
        assert_eq!(found[0], found[119]);
    }
}
