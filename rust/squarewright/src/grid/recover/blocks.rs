//! What a JPEG says about its 8 × 8 blocks: each frequency lies within half a step of the value that was
//! stored (ITU-T T.81, annex A).

use super::cells::Matrix;

const SIDE: usize = 8;
/// How many times what was cut off is given back.
const CUT_ROUNDS: usize = 4;

/// The frequencies of all whole blocks of a plane.
#[derive(Debug, Clone)]
pub(super) struct Blocks {
    columns: usize,
    stored: Vec<[f32; 64]>,
    steps: [f32; 64],
    basis: [[f32; SIDE]; SIDE],
}

impl Blocks {
    /// Finds the stored values of a plane from its pixels, which were cut off at the ends of a range.
    pub(super) fn new(plane: &Matrix, quantisation: &[u16; 64], range: (f32, f32)) -> Self {
        let (columns, rows) = (plane.columns / SIDE, plane.rows / SIDE);
        let steps = quantisation.map(|step| f32::from(step.max(1)));
        let basis = basis();
        let stored = (0..rows * columns)
            .map(|block| {
                let seen = cut(plane, block / columns, block % columns);
                let mut found = rounded(forward(&seen, &basis), &steps);
                for _ in 0..CUT_ROUNDS {
                    let Some(asked) = uncut(&seen, &backward(&found, &basis), range) else { break };
                    found = rounded(forward(&asked, &basis), &steps);
                }
                found
            })
            .collect();
        Self { columns, stored, steps, basis }
    }

    /// Pulls a prediction towards what was stored: all the way into the half step around it, and within
    /// that by as much as the frequency can be trusted.
    pub(super) fn pulled(&self, predicted: &Matrix, seen: &Matrix) -> Matrix {
        let mut target = seen.clone();
        let finest = self.steps.iter().copied().fold(f32::INFINITY, f32::min);
        for (block, stored) in self.stored.iter().enumerate() {
            let (row, column) = (block / self.columns, block % self.columns);
            let mut values = forward(&cut(predicted, row, column), &self.basis);
            for ((value, stored), step) in values.iter_mut().zip(stored).zip(&self.steps) {
                let (error, half) = (stored - *value, step / 2.0);
                let inside = error.clamp(-half, half);
                let trust = finest / step;
                *value += error - inside + trust * trust * inside;
            }
            let pixels = backward(&values, &self.basis);
            for (y, line) in pixels.chunks_exact(SIDE).enumerate() {
                target.values[(row * SIDE + y) * target.columns + column * SIDE..][..SIDE]
                    .copy_from_slice(line);
            }
        }
        target
    }
}

/// Rounds to the values that can be stored.
fn rounded(mut values: [f32; 64], steps: &[f32; 64]) -> [f32; 64] {
    for (value, step) in values.iter_mut().zip(steps) {
        *value = (*value / step).round() * step;
    }
    values
}

/// Gives back what was cut off, as the stored values show it; none when nothing was.
fn uncut(seen: &[f32; 64], shown: &[f32; 64], (least, most): (f32, f32)) -> Option<[f32; 64]> {
    let is_cut =
        |seen: f32, shown: f32| (seen <= least && shown < seen - 0.5) || (seen >= most && shown > seen + 0.5);
    if !seen.iter().zip(shown).any(|(&seen, &shown)| is_cut(seen, shown)) {
        return None;
    }
    Some(std::array::from_fn(|place| {
        let (seen, shown) = (seen[place], shown[place]);
        if is_cut(seen, shown) { shown } else { seen }
    }))
}

/// The cosines of the transform, frequency by place, scaled to keep lengths.
fn basis() -> [[f32; SIDE]; SIDE] {
    std::array::from_fn(|frequency| {
        let scale = if frequency == 0 { (0.125_f64).sqrt() } else { 0.5 };
        std::array::from_fn(|place| {
            let turn = (2 * place + 1) as f64 * frequency as f64 * std::f64::consts::PI / 16.0;
            (scale * libm::cos(turn)) as f32
        })
    })
}

fn cut(plane: &Matrix, row: usize, column: usize) -> [f32; 64] {
    let mut block = [0.0; 64];
    for (y, line) in block.chunks_exact_mut(SIDE).enumerate() {
        line.copy_from_slice(&plane.values[(row * SIDE + y) * plane.columns + column * SIDE..][..SIDE]);
    }
    block
}

fn forward(block: &[f32; 64], basis: &[[f32; SIDE]; SIDE]) -> [f32; 64] {
    let mut half = [0.0; 64];
    for (y, line) in block.chunks_exact(SIDE).enumerate() {
        for (frequency, wave) in basis.iter().enumerate() {
            half[y * SIDE + frequency] = line.iter().zip(wave).map(|(value, wave)| value * wave).sum();
        }
    }
    let mut out = [0.0; 64];
    for (frequency, wave) in basis.iter().enumerate() {
        for (line, wave) in half.chunks_exact(SIDE).zip(wave) {
            for (into, value) in out[frequency * SIDE..][..SIDE].iter_mut().zip(line) {
                *into += wave * value;
            }
        }
    }
    out
}

fn backward(values: &[f32; 64], basis: &[[f32; SIDE]; SIDE]) -> [f32; 64] {
    let mut half = [0.0; 64];
    for (line, wave) in values.chunks_exact(SIDE).zip(basis) {
        for (y, wave) in wave.iter().enumerate() {
            for (into, value) in half[y * SIDE..][..SIDE].iter_mut().zip(line) {
                *into += wave * value;
            }
        }
    }
    let mut out = [0.0; 64];
    for (line, into) in half.chunks_exact(SIDE).zip(out.chunks_exact_mut(SIDE)) {
        for (value, wave) in line.iter().zip(basis) {
            for (into, wave) in into.iter_mut().zip(wave) {
                *into += value * wave;
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_transform_goes_there_and_back_and_a_flat_block_is_its_mean() {
        let basis = basis();
        let block: [f32; 64] = std::array::from_fn(|place| (place * place % 97) as f32);
        let again = backward(&forward(&block, &basis), &basis);
        assert!(block.iter().zip(again).all(|(a, b)| (a - b).abs() < 1e-3));
        // T.81, A.3.3: the first coefficient is an eighth of the sum.
        assert!((forward(&[10.0; 64], &basis)[0] - 80.0).abs() < 1e-3);
    }

    #[test]
    fn what_agrees_with_the_stored_values_is_left_nearly_alone() {
        let plane = Matrix { rows: 8, columns: 8, values: vec![40.0; 64] };
        let blocks = Blocks::new(&plane, &[16; 64], (0.0, 255.0));
        assert!(blocks.pulled(&plane, &plane).values.iter().all(|value| (value - 40.0).abs() < 1e-3));
        // A flat error of 3 levels moves the first coefficient by 24: beyond half a step of 16.
        let off = Matrix { values: vec![43.0; 64], ..plane.clone() };
        assert!(blocks.pulled(&off, &plane).values.iter().all(|value| (value - 40.0).abs() < 1e-3));
    }
}
