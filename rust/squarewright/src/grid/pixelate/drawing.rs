//! Drawings with thin dark lines: the lines stay dark and in one piece, where means would turn them to grey
//! dashes.
//!
//! A drawing is mostly flat, with clear edges and little between. Lines are what a closing (the lightest of
//! the neighbourhood, then the darkest of that) would fill in; they are thinned to their middles (Zhang and
//! Suen 1984, doi 10.1145/357994.358023), and the cells that a middle runs through become line.

use super::Layout;
use super::means::Cells;
use super::trim::{is_loose_among, ring};
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
    let lines = lines(layout, &thin, &middles(size, &thin));
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

/// Thins areas to lines one place wide that hang together as the areas do.
fn middles(size: (usize, usize), area: &[bool]) -> Vec<bool> {
    let mut left = area.to_vec();
    loop {
        let before = left.clone();
        for (first, second) in [([0, 2, 4], [2, 4, 6]), ([0, 2, 6], [0, 4, 6])] {
            let goes = |place: usize| {
                let around = ring(size, place).map(|next| next.is_some_and(|next| left[next]));
                let count = around.iter().filter(|&&there| there).count();
                let starts = (0..8).filter(|&side| !around[side] && around[(side + 1) % 8]).count();
                let open = |sides: [usize; 3]| sides.iter().any(|&side| !around[side]);
                left[place] && (2..=6).contains(&count) && starts == 1 && open(first) && open(second)
            };
            let gone: Vec<usize> = (0..left.len()).filter(|&place| goes(place)).collect();
            for place in gone {
                left[place] = false;
            }
        }
        if left == before {
            return left;
        }
    }
}

/// Finds the cells that lines run through, so that those of one line share edges.
fn lines(layout: Layout, thin: &[bool], middles: &[bool]) -> Vec<bool> {
    let size = (layout.rows, layout.columns);
    let (mut through, mut dark) =
        (vec![0; layout.rows * layout.columns], vec![0; layout.rows * layout.columns]);
    for place in 0..thin.len() {
        through[layout.cell_of(place)] += usize::from(middles[place]);
        dark[layout.cell_of(place)] += usize::from(thin[place]);
    }
    let mut lines: Vec<bool> = through.iter().map(|&count| count > 0).collect();
    for row in 1..layout.rows {
        for column in 1..layout.columns {
            let corner = row * layout.columns + column;
            let [a, b, c, d] = [corner - layout.columns - 1, corner - layout.columns, corner - 1, corner];
            for (one, other, ends) in [(b, c, [a, d]), (a, d, [b, c])] {
                if ends.iter().all(|&end| lines[end]) && !lines[one] && !lines[other] {
                    lines[if dark[other] > dark[one] { other } else { one }] = true;
                }
            }
        }
    }
    // Where a line only clips a corner, the cells before and after it do without.
    for place in (0..lines.len()).filter(|&place| through[place] <= 1) {
        let around = ring(size, place).into_iter().step_by(2).flatten().filter(|&next| lines[next]).count();
        if lines[place] && around >= 2 && is_loose_among(size, place, |next| lines[next]) {
            lines[place] = false;
        }
    }
    lines
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
        let layout = Layout { rows: SIDE, columns: SIDE, window, fine: 4 };
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
