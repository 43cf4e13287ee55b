//! All ratios of a few whole parts, sixteen side by side.

/// How many ratios are worked out side by side.
pub(super) const LANES: usize = 16;
/// One number for each of them.
pub(super) type Lanes = [f32; LANES];

/// The ratios of so many paints, each in its lowest terms.
#[derive(Debug)]
pub(super) struct Ratios {
    /// How many paints.
    pub(super) paints: usize,
    /// Parts of each paint, ratio by ratio, fewest parts first.
    pub(super) parts: Vec<[u8; 4]>,
    /// The same in lanes, the last ratio repeated to the end: for each block one row for each paint.
    pub(super) lanes: Vec<[Lanes; 4]>,
}

impl Ratios {
    /// Lists the ratios of `paints` paints with at most `most` parts.
    pub(super) fn new(paints: usize, most: u8) -> Self {
        let mut parts = Vec::new();
        fill(&mut parts, [0; 4], 0, (paints, most));
        parts.retain(|ratio| ratio[..paints].iter().copied().fold(0, common) == 1);
        parts.sort_by_key(|ratio| (ratio.iter().map(|&part| u32::from(part)).sum::<u32>(), *ratio));
        let lanes = parts.chunks(LANES).map(|block| {
            let ratio = |lane: usize| block[lane.min(block.len() - 1)];
            std::array::from_fn(|paint| std::array::from_fn(|lane| f32::from(ratio(lane)[paint])))
        });
        let lanes = lanes.collect();
        Self { paints, parts, lanes }
    }
}

fn fill(found: &mut Vec<[u8; 4]>, ratio: [u8; 4], place: usize, (paints, left): (usize, u8)) {
    if place == paints {
        found.push(ratio);
        return;
    }
    for part in 1..=left {
        let mut next = ratio;
        next[place] = part;
        fill(found, next, place + 1, (paints, left - part));
    }
}

fn common(a: u8, b: u8) -> u8 {
    if b == 0 { a } else { common(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: counted by hand from the definition; the totals of OEIS A000741 and its like are the same.
    #[test]
    fn ratios_in_lowest_terms_are_as_many_as_there_are() {
        let count = |paints, most| Ratios::new(paints, most).parts.len();
        assert_eq!([1, 2, 3, 4].map(|paints| count(paints, 8)), [1, 21, 52, 69]);
        assert_eq!([1, 2, 3, 4].map(|paints| count(paints, 12)), [1, 45, 196, 479]);
        assert_eq!([1, 2, 3, 4].map(|paints| count(paints, 16)), [1, 79, 493, 1745]);
        assert_eq!(count(2, 24), 179);
    }
}
