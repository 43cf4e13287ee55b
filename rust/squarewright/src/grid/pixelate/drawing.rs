//! Drawings with thin dark lines: the lines stay dark and in one piece, where means would turn them to grey
//! dashes.
//!
//! A drawing is mostly flat, with clear edges and little between. Lines are what a closing (the lightest of
//! the neighbourhood, then the darkest of that) would fill in; they are thinned to their middles, and the
//! cells that a middle runs through become line.

use super::Layout;
use super::means::Cells;
use super::thin::{Label, draw, middles, parts};
use super::trim::ring;
use crate::picture::Shrunk;

/// Fine cells to a side of a cell that a line needs to be seen.
const FINE: usize = 3;
/// Lightness steps, 0 to 100, below which neighbours count as flat, and above which as an edge.
const FLAT: f32 = 1.0;
const EDGE: f32 = 8.0;
/// At least this share of all steps is flat in a drawing, and at most this is neither flat nor an edge.
const MOSTLY: f64 = 0.75;
const BETWEEN: f64 = 0.10;
/// At least this share of a line drawing is line.
const LINES: f64 = 0.03;
/// How much darker than beside it a line is at least.
const DARKER: f32 = 18.0;

/// Sharpens the lines of a drawing; the cells of any other picture stay as they are.
pub(super) fn sharpen(fine: &Shrunk, layout: Layout, cells: &mut Cells) {
    if layout.fine < FINE {
        return;
    }
    let lightness: Vec<f32> = fine.light.iter().map(lightness).collect();
    if !is_drawing(fine, &lightness) {
        return;
    }
    let size = (fine.rows, fine.columns);
    let filled =
        spread(size, &spread(size, &lightness, layout.fine / 2, f32::max), layout.fine / 2, f32::min);
    let thin: Vec<bool> = (0..filled.len())
        .map(|place| fine.cover[place] > 0.5 && filled[place] - lightness[place] > DARKER)
        .collect();
    if (thin.iter().filter(|&&thin| thin).count() as f64) < LINES * thin.len() as f64 {
        return;
    }
    let ink: Vec<Label> = thin.iter().map(|&thin| thin.then_some(0)).collect();
    let parts = parts(layout, &ink, &middles(size, &ink, &thin));
    let drawn = draw(layout, &parts, &vec![None; parts.len()]);
    let lines: Vec<bool> = drawn.iter().map(Option::is_some).collect();
    repaint(fine, layout, &Lines { lightness: &lightness, thin: &thin, cells: &lines }, cells);
}

/// Gives a lightness from 0 to 100, near enough to the eye's for steps to be compared.
fn lightness([r, g, b]: &[f32; 3]) -> f32 {
    100.0 * (0.2126 * r + 0.7152 * g + 0.0722 * b).max(0.0).sqrt()
}

fn is_drawing(fine: &Shrunk, lightness: &[f32]) -> bool {
    let (mut flat, mut between, mut all) = (0_u32, 0_u32, 0_u32);
    for place in 0..lightness.len() {
        let right = (place % fine.columns + 1 < fine.columns).then_some(place + 1);
        let below = Some(place + fine.columns).filter(|&next| next < lightness.len());
        for next in right.into_iter().chain(below) {
            if fine.cover[place].min(fine.cover[next]) < 0.5 {
                continue;
            }
            let step = (lightness[next] - lightness[place]).abs();
            all += 1;
            flat += u32::from(step < FLAT);
            between += u32::from((FLAT..EDGE).contains(&step));
        }
    }
    let all = f64::from(all);
    f64::from(flat) >= MOSTLY * all && f64::from(between) <= BETWEEN * all
}

/// Gives each place the most extreme value within `reach`, along rows and then along columns.
fn spread(
    (rows, columns): (usize, usize),
    values: &[f32],
    reach: usize,
    more: fn(f32, f32) -> f32,
) -> Vec<f32> {
    let along = |values: &[f32], step: usize, at: fn(usize, usize) -> usize, length: usize| -> Vec<f32> {
        let extreme = |place: usize| {
            let here = at(place, columns);
            let first = place - here.min(reach) * step;
            let count = here.min(reach) + reach.min(length - 1 - here) + 1;
            (0..count).map(|offset| values[first + offset * step]).reduce(more).unwrap_or(values[place])
        };
        (0..values.len()).map(extreme).collect()
    };
    let across = along(values, 1, |place, columns| place % columns, columns);
    along(&across, columns, |place, columns| place / columns, rows)
}

/// What is known about the lines.
struct Lines<'a> {
    lightness: &'a [f32],
    /// Fine cells that are dark and thin.
    thin: &'a [bool],
    /// Cells that become line.
    cells: &'a [bool],
}

/// Gives line cells the darkest light of the line near them, and the cells beside them the light without it.
fn repaint(fine: &Shrunk, layout: Layout, lines: &Lines<'_>, cells: &mut Cells) {
    let count = layout.rows * layout.columns;
    let mut darkest: Vec<Option<usize>> = vec![None; count];
    let mut beside = vec![([0.0_f32; 3], 0.0_f32); count];
    for place in 0..fine.light.len() {
        let cell = layout.cell_of(place);
        if lines.thin[place] {
            let darker = |known: usize| lines.lightness[place] < lines.lightness[known];
            darkest[cell] = darkest[cell].filter(|&known| !darker(known)).or(Some(place));
        } else {
            let cover = fine.cover[place];
            for (sum, light) in beside[cell].0.iter_mut().zip(fine.light[place]) {
                *sum += cover * light;
            }
            beside[cell].1 += cover;
        }
    }
    // Where a line is half off its cell, the cells around know its colour better.
    let ink = |cell: usize| {
        let around = ring((layout.rows, layout.columns), cell).into_iter().flatten().chain([cell]);
        let dark = around.filter_map(|next| darkest[next]);
        dark.min_by(|&one, &other| lines.lightness[one].total_cmp(&lines.lightness[other]))
    };
    for cell in (0..count).filter(|&cell| darkest[cell].is_some() || lines.cells[cell]) {
        if let Some(dark) = ink(cell).filter(|_| lines.cells[cell]) {
            cells.light[cell] = fine.light[dark];
        } else if beside[cell].1 >= 1.0 {
            cells.light[cell] = beside[cell].0.map(|light| light / beside[cell].1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::picture::Window;

    const SIDE: usize = 12;

    /// White paper with a dark stroke, 30 % of a cell wide, from corner to corner.
    fn stroke() -> (Shrunk, Layout) {
        let window = Window { left: 0, top: 0, width: 480, height: 480 };
        let layout = Layout { rows: SIDE, columns: SIDE, window, fine: 4, is_middle: false };
        let (rows, columns) = layout.fine_size();
        let on_line = |place: usize| (place / columns).abs_diff(place % columns * 7 / 10 + 3) <= 1;
        let light =
            (0..rows * columns).map(|place| if on_line(place) { [0.01; 3] } else { [0.9; 3] }).collect();
        (Shrunk { rows, columns, light, cover: vec![1.0; rows * columns] }, layout)
    }

    #[test]
    fn a_thin_stroke_becomes_dark_cells_that_share_edges() {
        let (fine, layout) = stroke();
        let mut cells = Cells::new(&fine, layout);
        sharpen(&fine, layout, &mut cells);
        let dark: Vec<bool> = cells.light.iter().map(|light| light[1] < 0.1).collect();
        assert!(cells.light.iter().all(|light| light[1] < 0.1 || light[1] > 0.85), "nothing is grey");
        let (part_of, _) = crate::grid::patch::connected(SIDE, SIDE, |place| dark[place]);
        let mut parts: Vec<usize> =
            (0..dark.len()).filter(|&place| dark[place]).map(|place| part_of[place]).collect();
        parts.sort_unstable();
        parts.dedup();
        assert_eq!(parts.len(), 1);
        assert!((0..SIDE).all(|column| (0..SIDE).any(|row| dark[row * SIDE + column])), "it reaches across");
    }

    #[test]
    fn a_picture_of_soft_steps_is_no_drawing() {
        let (mut fine, layout) = stroke();
        for (place, light) in fine.light.iter_mut().enumerate() {
            *light = [0.2 + 0.01 * (place % 48) as f32; 3];
        }
        let before = Cells::new(&fine, layout);
        let mut after = before.clone();
        sharpen(&fine, layout, &mut after);
        assert_eq!(after, before);
    }
}
