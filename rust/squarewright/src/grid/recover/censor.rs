//! Overshoot that was cut off: where a pixel is black or full and the model asks for more, the pixel only
//! says "at least so much" and is replaced by what the model predicts.

use super::field::Field;
use super::fit::Equations;
use super::hypothesis::{FLOOR, Hypothesis};
use super::kernel::Model;
use super::sketch::Rows;
use crate::fault::{Result, Watch};

const LANES: usize = 32;
/// Groups of lines that are looked at.
const GROUPS: usize = 2;
/// Guesses that are looked at, best first.
const GUESSES: usize = 6;
const ROUNDS: usize = 6;
/// Less than this share of cut-off pixels changes nothing.
const SHARE: f64 = 0.02;
/// How far beyond its range a value may be predicted.
const BEYOND: f32 = 80.0;

/// Lowers the residuals of guesses whose overshoot was cut off.
pub(super) fn relieve(field: &Field, guesses: &mut [Hypothesis], watch: &dyn Watch) -> Result<()> {
    if !guesses.iter().any(|guess| guess.kernel().overshoots()) || cut_share(field) < SHARE {
        return Ok(());
    }
    let groups = liveliest(field);
    for guess in guesses.iter_mut().filter(|guess| guess.kernel().overshoots()).take(GUESSES) {
        watch.check(0.65)?;
        let (mut plain, mut free) = (0.0, 0.0);
        for (rows, tops) in &groups {
            let (before, after) = residuals(rows, tops, &guess.model);
            plain += before;
            free += after;
        }
        let count = (groups.len() * LANES * field.width) as f64;
        let share = ((free / count + 0.02) / (plain / count + 0.02)).min(1.0);
        guess.contrast += libm::log((guess.rss + FLOOR) / (guess.rss * share + FLOOR));
        guess.rss *= share;
    }
    Ok(())
}

fn cut_share(field: &Field) -> f64 {
    let (mut cut, mut all) = (0, 0);
    for (plane, values) in field.planes.iter().enumerate() {
        let top = Field::top(plane) as u8;
        cut += values.iter().filter(|&&value| value == 0 || value == top).count();
        all += values.len();
    }
    cut as f64 / all.max(1) as f64
}

/// Takes the lines with the most changes, in groups.
fn liveliest(field: &Field) -> Vec<(Rows<LANES>, [f32; LANES])> {
    let mut order: Vec<(u32, usize, usize)> = Vec::new();
    for y in field.lines() {
        for plane in 0..field.planes.len() {
            let row = field.row(plane, y);
            let change = row.windows(2).map(|pair| u32::from(pair[0].abs_diff(pair[1]))).sum();
            order.push((change, plane, y));
        }
    }
    order.sort_by(|a, b| b.cmp(a));
    // Neighbouring lines say nearly the same: every other of the liveliest is enough.
    let chosen: Vec<_> = order.iter().step_by(1 + usize::from(order.len() > 4 * GROUPS * LANES)).collect();
    chosen
        .chunks(LANES)
        .take(GROUPS)
        .map(|group| {
            let at = |lane: usize| group[lane % group.len()];
            let lanes = (0..field.width)
                .map(|x| std::array::from_fn(|lane| f32::from(field.row(at(lane).1, at(lane).2)[x])))
                .collect();
            (Rows::new(lanes, Vec::new(), LANES), std::array::from_fn(|lane| Field::top(at(lane).1)))
        })
        .collect()
}

/// Gives the sums of squared residuals without and with the freedom beyond the range.
fn residuals(rows: &Rows<LANES>, tops: &[f32; LANES], model: &Model) -> (f64, f64) {
    let mut current = rows.clone();
    let mut sums = Vec::with_capacity(ROUNDS);
    for _ in 0..ROUNDS {
        let mut equations = Equations::new(&current, model);
        let first = equations.first;
        equations.factor();
        let cells = equations.solve();
        let mut sum = 0.0;
        for (x, (seen, asked)) in rows.lanes.iter().zip(&mut current.lanes).enumerate() {
            let predicted = predict(&cells, first, model, x);
            for lane in 0..LANES {
                let (value, top) = (predicted[lane], tops[lane]);
                let error = if sums.is_empty() { value } else { value.clamp(0.0, top) } - seen[lane];
                sum += f64::from(error * error);
                asked[lane] = freed(seen[lane], value, top);
            }
        }
        sums.push(sum);
    }
    (sums[0], sums[ROUNDS - 1])
}

/// Gives what a pixel asks for: its value, or the prediction where it was cut off.
pub(super) fn freed(seen: f32, predicted: f32, top: f32) -> f32 {
    let is_cut = (seen <= 0.5 && predicted < 0.0) || (seen >= top - 0.5 && predicted > top);
    if is_cut { predicted.clamp(-BEYOND, top + BEYOND) } else { seen }
}

fn predict(cells: &[[f32; LANES]], first: i64, model: &Model, x: usize) -> [f32; LANES] {
    let taps = model.taps(x);
    let mut sum = [0.0; LANES];
    for tap in 0..taps.count {
        let weight = taps.weights[tap] as f32;
        for (sum, value) in sum.iter_mut().zip(&cells[(taps.first - first) as usize + tap]) {
            *sum += weight * value;
        }
    }
    sum
}
