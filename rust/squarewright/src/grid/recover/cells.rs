//! The colour of each cell: least squares over the pixels that show it, down the columns and then across.

use super::field::{Field, Rect, turned};
use super::fit::Equations;
use super::kernel::Sight;
use super::sketch::Rows;

/// Lines solved side by side.
const LANES: usize = 32;

/// Values in rows and columns.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Matrix {
    pub(super) rows: usize,
    pub(super) columns: usize,
    pub(super) values: Vec<f32>,
}

impl Matrix {
    /// Takes a part of a plane.
    pub(super) fn of_plane(field: &Field, plane: usize, rect: Rect) -> Self {
        let rows = (rect.top..rect.bottom).map(|y| &field.row(plane, y)[rect.left..rect.right]);
        let values = rows.flatten().map(|&value| f32::from(value)).collect();
        Self { rows: rect.height(), columns: rect.width(), values }
    }

    /// Takes a part.
    pub(super) fn cut(&self, rect: Rect) -> Self {
        let rows = self.values.chunks_exact(self.columns).skip(rect.top).take(rect.height());
        let values = rows.flat_map(|row| &row[rect.left..rect.right]).copied().collect();
        Self { rows: rect.height(), columns: rect.width(), values }
    }

    /// Puts two rows, or two columns, into one, as their mean; a last odd one stays.
    pub(super) fn halved(&self, down: bool) -> Self {
        if !down {
            return self.transposed().halved(true).transposed();
        }
        let rows: Vec<&[f32]> = self.values.chunks_exact(self.columns).collect();
        let mean = |pair: &[&[f32]]| -> Vec<f32> {
            pair[0].iter().zip(pair[pair.len() - 1]).map(|(a, b)| (a + b) / 2.0).collect()
        };
        Self {
            rows: rows.len().div_ceil(2),
            columns: self.columns,
            values: rows.chunks(2).flat_map(mean).collect(),
        }
    }

    pub(super) fn transposed(&self) -> Self {
        let values = turned(&self.values, self.columns, self.rows);
        Self { rows: self.columns, columns: self.rows, values }
    }
}

/// One axis of the cells that are wanted.
#[derive(Debug, Clone)]
pub(super) struct Wanted {
    /// How pixels show cells, with pixel 0 at the near end of the part that is looked at.
    pub(super) sight: Sight,
    /// The number of pixels.
    pub(super) length: usize,
    /// The first unknown that is wanted, and how many.
    pub(super) first: i64,
    pub(super) count: usize,
    /// How much each pixel counts; empty when all count the same.
    pub(super) weights: Vec<f32>,
}

/// Solves the rows of cells from the rows of pixels, for each column.
fn solve_down(pixels: &Matrix, wanted: &Wanted) -> Matrix {
    let mut values = vec![0.0; wanted.count * pixels.columns];
    for start in (0..pixels.columns).step_by(LANES) {
        let width = LANES.min(pixels.columns - start);
        let lanes: Vec<[f32; LANES]> = pixels
            .values
            .chunks_exact(pixels.columns)
            .map(|row| std::array::from_fn(|lane| if lane < width { row[start + lane] } else { 0.0 }))
            .collect();
        let rows = Rows::new(lanes, Vec::new(), width);
        let mut equations = Equations::weighted(&rows, |x| wanted.sight.taps(x), &wanted.weights);
        let first = equations.first;
        equations.factor();
        let solved = equations.solve();
        for cell in 0..wanted.count {
            let place = wanted.first + cell as i64 - first;
            let Some(found) = usize::try_from(place).ok().and_then(|place| solved.get(place)) else {
                continue;
            };
            values[cell * pixels.columns + start..][..width].copy_from_slice(&found[..width]);
        }
    }
    Matrix { rows: wanted.count, columns: pixels.columns, values }
}

/// Solves all cells of one plane.
pub(super) fn solve(pixels: &Matrix, down: &Wanted, across: &Wanted) -> Matrix {
    solve_down(&solve_down(pixels, down).transposed(), across).transposed()
}

/// Renders the rows of pixels from the rows of cells, for each column.
fn render_down(cells: &Matrix, wanted: &Wanted) -> Matrix {
    let length = wanted.length;
    let mut values = vec![0.0; length * cells.columns];
    for (x, row) in values.chunks_exact_mut(cells.columns).enumerate() {
        let taps = wanted.sight.taps(x);
        for tap in 0..taps.count {
            // Cells beyond those that are wanted are taken as the last one.
            let cell = (taps.first + tap as i64 - wanted.first).clamp(0, cells.rows as i64 - 1) as usize;
            let weight = taps.weights[tap] as f32;
            for (into, value) in row.iter_mut().zip(&cells.values[cell * cells.columns..]) {
                *into += weight * value;
            }
        }
    }
    Matrix { rows: length, columns: cells.columns, values }
}

/// Renders all pixels of one plane.
pub(super) fn render(cells: &Matrix, down: &Wanted, across: &Wanted) -> Matrix {
    render_stages(cells, down, across, |half| half)
}

/// Renders all pixels of one plane, with a step between the two directions.
pub(super) fn render_stages(
    cells: &Matrix,
    down: &Wanted,
    across: &Wanted,
    between: impl Fn(Matrix) -> Matrix,
) -> Matrix {
    render_down(&between(render_down(&cells.transposed(), across).transposed()), down)
}
