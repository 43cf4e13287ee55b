//! Waste that is too narrow: slots between parts of the figure, and small holes.
//!
//! A slot is what is left of the bare cells when every square that is wide enough is taken out of them (they
//! minus their opening; Serra, 1982, from memory).

use super::body::{Mask, NONE};

/// A narrow part of the waste.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Narrow {
    /// Its cells as places of the figure, ascending.
    pub(super) cells: Vec<usize>,
    /// How many cells wide it is where it is widest.
    pub(super) width: usize,
}

/// Finds the holes into which no square of `wide` cells fits.
pub(super) fn pinholes(figure: &Mask, wide: usize) -> Vec<Narrow> {
    let bare = figure.bare(1);
    let sides = bare.squares();
    let holes = holes(&bare);
    let narrow = holes.into_iter().map(|hole| {
        let width = hole.iter().map(|&place| usize::from(sides[place])).max().unwrap_or(0);
        Narrow { cells: inside(figure, &bare, 1, hole), width }
    });
    narrow.filter(|hole| hole.width < wide).collect()
}

/// Lists the areas of bare cells, joined over corners too, that the outside does not reach.
fn holes(bare: &Mask) -> Vec<Vec<usize>> {
    let (rows, columns) = (bare.rows, bare.columns);
    let mut seen = vec![false; bare.filled.len()];
    let mut areas = Vec::new();
    for start in 0..seen.len() {
        if seen[start] || !bare.filled[start] {
            continue;
        }
        seen[start] = true;
        let mut area = vec![start];
        let mut done = 0;
        while let Some(&place) = area.get(done) {
            done += 1;
            let (row, column) = bare.at(place);
            for row in row.saturating_sub(1)..=(row + 1).min(rows - 1) {
                for next in column.saturating_sub(1)..=(column + 1).min(columns - 1) {
                    let next = row * columns + next;
                    if bare.filled[next] && !std::mem::replace(&mut seen[next], true) {
                        area.push(next);
                    }
                }
            }
        }
        // The first area holds the padding: it is the outside.
        if start > 0 {
            area.sort_unstable();
            areas.push(area);
        }
    }
    areas
}

/// Finds the parts of the waste in which no square of `wide` cells fits, but for the holes in `other`.
pub(super) fn slots(figure: &Mask, wide: usize, other: &[Narrow]) -> Vec<Narrow> {
    let bare = figure.bare(wide);
    let sides = bare.squares();
    let mut width = vec![0_usize; sides.len()];
    for side in 1..=wide {
        let squares: Vec<u32> =
            sides.iter().map(|&at| if usize::from(at) >= side { 0 } else { NONE }).collect();
        let covered = bare.cover(&squares, side);
        width.iter_mut().zip(covered).filter(|(_, cover)| cover.0 != NONE).for_each(|(at, _)| *at = side);
    }
    for &place in other.iter().flat_map(|hole| &hole.cells) {
        let (row, column) = figure.at(place);
        width[(row + wide) * bare.columns + column + wide] = 0;
    }
    let areas = bare.label(|place| (1..wide).contains(&width[place])).places();
    let narrow = areas.into_iter().map(|area| {
        let width = area.iter().map(|&place| width[place]).max().unwrap_or(0);
        Narrow { cells: inside(figure, &bare, wide, area), width }
    });
    narrow.collect()
}

/// Turns places of the padded waste into places of the figure.
fn inside(figure: &Mask, bare: &Mask, pad: usize, places: Vec<usize>) -> Vec<usize> {
    let place = |(row, column): (usize, usize)| (row - pad) * figure.columns + column - pad;
    places.into_iter().map(|at| place(bare.at(at))).collect()
}
