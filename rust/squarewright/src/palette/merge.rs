//! Colours so near each other that one paint can serve both.

use crate::colour::{Lab, Rgb, ciede2000};

/// One colour given up for another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Merge {
    /// Place of the colour that goes.
    pub from: usize,
    /// Place of the colour that stays.
    pub into: usize,
    /// Their difference, CIEDE2000.
    pub difference: f64,
}

/// Which colours are merged.
#[derive(Debug, Clone, PartialEq)]
pub struct Merging<'a> {
    /// Colours that differ by at most this become one, CIEDE2000.
    pub tolerance: f64,
    /// As long as more than this are left, the nearest become one whatever their difference.
    pub most: usize,
    /// Places of colours that never go.
    pub locked: &'a [usize],
}

/// Merges the two nearest colours again and again, as long as `asked` says so; the colour with fewer cells
/// goes.
pub fn merges(colours: &[Rgb], counts: &[usize], asked: &Merging<'_>) -> Vec<Merge> {
    let is_locked = |place: usize| asked.locked.contains(&place);
    let labs: Vec<Lab> = colours.iter().map(|&colour| Lab::from(colour)).collect();
    let mut counts = counts.to_vec();
    let mut alive: Vec<usize> = (0..colours.len()).collect();
    let mut pairs = Vec::new();
    for (i, &a) in labs.iter().enumerate() {
        pairs.extend(labs[..i].iter().enumerate().map(|(j, &b)| (ciede2000(a, b), j, i)));
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut merges = Vec::new();
    for (difference, first, second) in pairs {
        if difference > asked.tolerance && alive.len() <= asked.most {
            break;
        }
        if !alive.contains(&first) || !alive.contains(&second) || is_locked(first) && is_locked(second) {
            continue;
        }
        let second_stays = is_locked(second) || counts[second] > counts[first] && !is_locked(first);
        let (into, from) = if second_stays { (second, first) } else { (first, second) };
        counts[into] += counts[from];
        alive.retain(|&place| place != from);
        merges.push(Merge { from, into, difference });
    }
    merges
}
