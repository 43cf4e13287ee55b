//! Waste that is too narrow: slots between parts of the figure, and small holes.
//!
//! A slot is what is left of the bare cells when every square that is wide enough is taken out of them (they
//! minus their opening; Serra, 1982, from memory).

use super::body::Mask;

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
    // The area of the first place holds the padding: it is the outside.
    let holes = bare.joined().into_iter().filter(|area| area[0] > 0);
    let narrow = holes.map(|hole| {
        let width = hole.iter().map(|&place| usize::from(sides[place])).max().unwrap_or(0);
        Narrow { cells: inside(figure, &bare, 1, hole), width }
    });
    narrow.filter(|hole| hole.width < wide).collect()
}

/// Finds the parts of the waste in which no square of `wide` cells fits, but for the holes in `other`.
pub(super) fn slots(figure: &Mask, wide: usize, other: &[Narrow]) -> Vec<Narrow> {
    let bare = figure.bare(wide);
    let sides = bare.squares();
    let mut width = vec![0_usize; sides.len()];
    for side in 1..=wide {
        let covered = bare.opened(&sides, side);
        width.iter_mut().zip(covered).filter(|(_, covered)| *covered).for_each(|(at, _)| *at = side);
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
