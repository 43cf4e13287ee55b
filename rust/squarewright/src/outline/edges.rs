//! The edges of a cut figure: how much of them belongs to cells of each colour.

use crate::colour::{Rgb, ciede2000};
use crate::grid::Grid;

/// In which colour an edge is painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum EdgeColour {
    /// In that of the cell beside it.
    #[default]
    Own,
    /// In the shade of the outline that looks most like it.
    Outline,
}

/// Counts for each colour of the palette the sides of cells that lie open once the figure is cut out, holes
/// included.
///
/// `outline` marks the outline cells, row by row; without any, edges keep their own colour.
pub fn edges(grid: &Grid, outline: &[bool], wanted: EdgeColour) -> Vec<usize> {
    let colours = grid.palette().colours();
    let (rows, columns) = (grid.rows(), grid.columns());
    let mut counts = vec![0; colours.len()];
    for (place, cell) in grid.cells().iter().enumerate() {
        let Some(cell) = cell else { continue };
        let beside = crate::grid::patch::neighbours(rows, columns, place);
        counts[usize::from(*cell)] += 4 - beside.filter(|&next| grid.cells()[next].is_some()).count();
    }
    if wanted == EdgeColour::Own {
        return counts;
    }
    let mut shades = vec![false; colours.len()];
    for (cell, _) in grid.cells().iter().zip(outline).filter(|&(_, &drawn)| drawn) {
        shades[usize::from(cell.unwrap_or_default())] = true;
    }
    let mut moved = vec![0; colours.len()];
    for (own, count) in counts.into_iter().enumerate() {
        moved[nearest(colours, own, &shades)] += count;
    }
    moved
}

/// Finds the shade that looks most like a colour; the colour itself when there is none.
fn nearest(colours: &[Rgb], own: usize, shades: &[bool]) -> usize {
    let difference = |place: usize| ciede2000(colours[own].into(), colours[place].into());
    let near = (0..colours.len()).filter(|&place| shades[place]);
    near.min_by(|&one, &other| difference(one).total_cmp(&difference(other))).unwrap_or(own)
}
