//! Reading a copy that is not exact: blended, squeezed, compressed, framed.

use super::extent;
use super::field::{Field, Rect};
use super::joint::Pair;
use super::kernel::{Family, Model};
use super::linkage::joined;
use super::paint::{Lattice, Painted, paint};
use super::peel;
use super::solve::{Axes, Solved, solve};
use crate::fault::{Result, Watch};

/// A lattice with its cells painted.
#[derive(Debug, Clone)]
pub(super) struct Copy {
    pub(super) lattice: Lattice,
    pub(super) rows: usize,
    pub(super) columns: usize,
    pub(super) colours: Vec<[u8; 4]>,
    pub(super) confidence: f64,
    pub(super) kind: &'static str,
}

/// Values that differ by less are one colour with noise on it.
const TOLERANCE: f32 = 10.0;

/// Reads a copy; the best reading comes first.
pub(super) fn read(field: &Field, watch: &dyn Watch) -> Result<Vec<Copy>> {
    let noise = noise(field);
    let tolerance = TOLERANCE + if noise > 2.0 { 3.0 * noise } else { 0.0 };
    let content = peel::content(field, tolerance + 3.0);
    let axes = Axes::new(field, content);
    let Some(solved) = solve(&axes, watch)? else { return Ok(Vec::new()) };
    let turned = field.transposed();
    let view = View { field, turned: &turned, content, tolerance: tolerance + 6.0 };
    let confidence = confidence(&solved);
    let mut copies = vec![view.painted(solved.x, solved.y, confidence)];
    for Pair { x, y, .. } in solved.others.iter().take(3) {
        watch.check(0.9)?;
        copies.push(view.painted(x.model, y.model, (1.0 - confidence) / 4.0));
    }
    Ok(copies)
}

fn confidence(solved: &Solved) -> f64 {
    let told = 3.2 * (solved.contrast.min(3.0) - 0.95) + 0.8 * solved.margin.min(2.0) - 0.5;
    1.0 / (1.0 + libm::exp(-told))
}

/// A field from both sides.
struct View<'a> {
    field: &'a Field,
    turned: &'a Field,
    content: Rect,
    tolerance: f32,
}

impl View<'_> {
    fn painted(&self, x: Model, y: Model, confidence: f64) -> Copy {
        let Rect { left, top, right, bottom } = self.content;
        let across = Rect { left: top, top: left, right: bottom, bottom: right };
        let columns = extent::cells(self.field, self.content, &x, self.tolerance);
        let rows = extent::cells(self.turned, across, &y, self.tolerance);
        let lattice = Lattice { x, y, columns, rows };
        let painted = paint(self.field, &lattice);
        let Painted { rows, columns, noise, .. } = painted;
        let distance = if noise < 0.7 { 1.5 } else { (1.8 + 0.5 * noise).clamp(2.3, 5.5) };
        let colours = joined(&painted.colours(), distance, noise < 0.7);
        let kind = match x.kernel.family() {
            Family::Edge => "sharp",
            Family::Point => "smooth",
            Family::Lined => "lined",
        };
        Copy { lattice, rows, columns, colours, confidence, kind }
    }
}

/// Estimates noise in levels: the middle of all second differences, which real edges hardly move.
pub(super) fn noise(field: &Field) -> f32 {
    let mut counts = vec![0_u32; 1024];
    let mut all = 0;
    let planes = field.planes.len() as f32;
    for y in field.lines().into_iter().step_by(2) {
        let rows: Vec<&[u8]> = (0..field.planes.len()).map(|plane| field.row(plane, y)).collect();
        for x in 1..field.width.saturating_sub(1) {
            let bend = |row: &&[u8]| {
                (i32::from(row[x - 1]) - 2 * i32::from(row[x]) + i32::from(row[x + 1])).unsigned_abs()
            };
            let sum: u32 = rows.iter().map(bend).sum();
            counts[(sum as usize).min(1023)] += 1;
            all += 1;
        }
    }
    let mut seen = 0;
    let middle = counts.iter().position(|count| {
        seen += count;
        2 * seen >= all
    });
    middle.unwrap_or(0) as f32 / planes / 1.65
}
