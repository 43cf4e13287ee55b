//! Sharp copies without blending: each boundary was rounded to a pixel edge, so that pitch and place are known
//! to lie in a small region, and its middle is the best guess.

use super::field::Field;
use super::kernel::{Kernel, Model};

/// How far an edge may be from the boundary it belongs to before the fit.
const REACH: f64 = 1.3;
/// How far boundaries may spread around a line when each was rounded: half a pixel to each side.
const ROUNDED: f64 = 1.0 + 1e-6;

/// The edges of one axis, each with the number of its boundary.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rungs {
    edges: Vec<(f64, f64)>,
    model: Model,
    length: f64,
}

impl Rungs {
    /// Collects the edges; none when they are blurred or do not follow the model.
    pub(super) fn new(field: &Field, model: &Model) -> Option<Self> {
        if model.kernel != Kernel::Nearest {
            return None;
        }
        let mut edges: Vec<(f64, f64)> = Vec::new();
        for place in changes(field) {
            let number = ((place - model.offset) / model.pitch).round();
            let apart = (model.offset + number * model.pitch - place).abs();
            if apart > REACH.min(0.45 * model.pitch) || edges.last().is_some_and(|last| last.0 >= number) {
                return None;
            }
            edges.push((number, place));
        }
        (edges.len() >= 3).then_some(Self { edges, model: *model, length: field.width as f64 })
    }

    /// Counts the edges.
    pub(super) fn count(&self) -> usize {
        self.edges.len()
    }

    /// Gives the least and the most distance of the edges from a lattice through 0.
    fn bounds(&self, pitch: f64) -> (f64, f64) {
        self.edges.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), (number, place)| {
            let rest = place - number * pitch;
            (least.min(rest), most.max(rest))
        })
    }

    fn spread(&self, pitch: f64) -> f64 {
        let (least, most) = self.bounds(pitch);
        most - least
    }

    /// Gives the model of a pitch with the best place, when every edge is a rounded boundary of it.
    pub(super) fn at(&self, pitch: f64) -> Option<Model> {
        let (least, most) = self.bounds(pitch);
        (most - least <= ROUNDED).then(|| Model { pitch, offset: f64::midpoint(least, most), ..self.model })
    }

    /// Gives the model of a pitch of whole pixels, when every edge lies exactly on it.
    pub(super) fn exactly(&self, pitch: f64) -> Option<Model> {
        if self.spread(pitch) < 1e-6 { self.at(pitch) } else { None }
    }

    /// Says whether a lattice puts every edge within half a pixel, so that each pixel shows the cell at its
    /// middle.
    pub(super) fn holds(&self, model: &Model) -> bool {
        let (least, most) = self.bounds(model.pitch);
        most - model.offset < 0.5 - 1e-9 && model.offset - least <= 0.5 + 1e-9
    }

    /// Gives how far the pitch may be off at most.
    fn reach(&self) -> f64 {
        1.5 * self.model.pitch / self.length * self.model.pitch.max(2.0)
    }
}

/// Gives the middle of all pitches for which every edge is a rounded boundary; with both axes, those that
/// serve both.
pub(super) fn middle(axes: &[&Rungs]) -> Option<f64> {
    let spread = |pitch: f64| axes.iter().map(|rungs| rungs.spread(pitch)).fold(0.0, f64::max);
    let start = axes[0].model.pitch;
    let reach = axes.iter().map(|rungs| rungs.reach()).fold(0.0, f64::max);
    // The spread is convex in the pitch.
    let (mut low, mut high) = (start - reach, start + reach);
    for _ in 0..80 {
        let (one, two) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if spread(one) <= spread(two) { high = two } else { low = one }
    }
    let best = f64::midpoint(low, high);
    if spread(best) > ROUNDED {
        return None;
    }
    let border = |far: f64| {
        let (mut inside, mut outside) = (best, far);
        for _ in 0..60 {
            let half = f64::midpoint(inside, outside);
            if spread(half) <= ROUNDED { inside = half } else { outside = half }
        }
        inside
    };
    Some(f64::midpoint(border(best - reach), border(best + reach)))
}

/// Lists the pixel edges at which any line changes.
fn changes(field: &Field) -> Vec<f64> {
    let mut seen = vec![0_u8; field.width];
    for y in field.lines() {
        for plane in 0..field.planes.len() {
            let row = field.row(plane, y);
            for ((seen, left), right) in seen[1..].iter_mut().zip(row).zip(&row[1..]) {
                *seen |= left ^ right;
            }
        }
    }
    (0..field.width).filter(|&place| seen[place] != 0).map(|place| place as f64).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounded_boundaries_give_their_pitch_back() {
        for (pitch, offset) in [(3.37, 1.2), (2.1, 0.4), (11.9, 5.0)] {
            let edges: Vec<(f64, f64)> = (0..40)
                .map(|number| (f64::from(number), (offset + f64::from(number) * pitch).round()))
                .collect();
            let model = Model { kernel: Kernel::Nearest, pitch: pitch + 0.02, offset };
            let rungs = Rungs { length: edges[39].1, edges, model };
            let found = middle(&[&rungs]).expect("the boundaries are rounded");
            assert!((found - pitch).abs() < 0.02, "{found}");
            assert!(rungs.at(found).is_some_and(|model| rungs.holds(&model)));
            assert!(rungs.at(pitch + 0.2).is_none());
        }
    }
}
