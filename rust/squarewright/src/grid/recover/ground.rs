//! Which cells are background: see-through ones, and a flat colour that surrounds the figure.

use super::sample::{Sampled, solid};
use crate::colour::Rgb;
use crate::grid::patch::neighbours;

/// Which cells are no part of the figure, besides the see-through ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Background {
    /// A flat colour that clearly surrounds the figure.
    #[default]
    Auto,
    /// None.
    Keep,
    /// Cells of this colour that are connected to the border.
    Colour(Rgb),
}

/// The cells that are background, and the flat colour they have.
#[derive(Debug)]
pub(super) struct Ground {
    pub(super) bare: Vec<bool>,
    pub(super) colour: Option<Rgb>,
}

/// Finds the background.
pub(super) fn find(sampled: &Sampled, background: Background) -> Ground {
    let colour = match background {
        Background::Keep => None,
        Background::Auto => surround(sampled),
        Background::Colour(colour) => Some(colour),
    };
    let bare = match colour {
        Some(colour) => reached(sampled, colour),
        None => vec![false; sampled.colours.len()],
    };
    let colour = colour.filter(|_| bare.contains(&true));
    // A picture of nothing but its background is a figure after all.
    let figure = (0..bare.len()).any(|place| !bare[place] && solid(sampled.colours[place]).is_some());
    if figure { Ground { bare, colour } } else { Ground { bare: vec![false; bare.len()], colour: None } }
}

/// Gives the colour that clearly surrounds the figure: all four corners and three fifths of the border
/// have it, and no border cell is see-through.
fn surround(sampled: &Sampled) -> Option<Rgb> {
    let (rows, columns) = (sampled.rows, sampled.columns);
    let border = border(rows, columns);
    let colours: Option<Vec<Rgb>> = border.iter().map(|&place| solid(sampled.colours[place])).collect();
    let colours = colours?;
    let corners = [0, columns - 1, (rows - 1) * columns, rows * columns - 1];
    let first = solid(sampled.colours[0])?;
    let corners = corners.into_iter().all(|place| solid(sampled.colours[place]) == Some(first));
    let share = colours.iter().filter(|&&colour| colour == first).count();
    (corners && share * 5 >= colours.len() * 3).then_some(first)
}

fn border(rows: usize, columns: usize) -> Vec<usize> {
    let outer = |place: &usize| {
        let (row, column) = (place / columns, place % columns);
        row == 0 || column == 0 || row + 1 == rows || column + 1 == columns
    };
    (0..rows * columns).filter(outer).collect()
}

/// Marks the cells of `colour` that are reached from the border through cells of that colour or
/// see-through ones.
fn reached(sampled: &Sampled, colour: Rgb) -> Vec<bool> {
    let (rows, columns) = (sampled.rows, sampled.columns);
    let open = |place: usize| solid(sampled.colours[place]).is_none_or(|found| found == colour);
    let mut seen = vec![false; rows * columns];
    let mut waiting: Vec<usize> = border(rows, columns).into_iter().filter(|&place| open(place)).collect();
    for &place in &waiting {
        seen[place] = true;
    }
    while let Some(place) = waiting.pop() {
        for next in neighbours(rows, columns, place) {
            if !seen[next] && open(next) {
                seen[next] = true;
                waiting.push(next);
            }
        }
    }
    (0..seen.len()).map(|place| seen[place] && solid(sampled.colours[place]) == Some(colour)).collect()
}
