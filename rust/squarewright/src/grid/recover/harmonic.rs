//! A grid that is too fine by a whole factor: only every second, third or fourth boundary carries edges.

use super::field::Field;
use super::kernel::{Family, Model, floor};

/// Differences count up to this square, so that one frame line does not outweigh the rest.
const CAP: u32 = 8000;
/// What boundaries without edges carry at most: a share of what the best ones do, and a multiple of what the
/// middles of cells do.
const QUIET: (f64, f64) = (0.05, 12.0);
/// The share alone where the other axis says that cells are larger by just this factor.
const TOLD: f64 = 0.3;

/// Gives the coarser model when the finer one has boundaries without edges.
pub(super) fn coarser(field: &Field, model: &Model, told: Option<i64>) -> Option<Model> {
    if model.kernel.family() != Family::Edge {
        return None;
    }
    let energy = energy(field);
    let mut running = vec![0.0];
    for value in &energy {
        running.push(running[running.len() - 1] + value);
    }
    let length = field.width as i64;
    let sum = |from: f64, to: f64| {
        let at = |place: f64| floor(place).clamp(0, length + 1) as usize;
        running[at(to + 1.0)] - running[at(from.ceil())]
    };
    let (pitch, half) = (model.pitch, (model.pitch * 0.45).min(1.3));
    let first = floor(((1.5 - model.offset) / pitch).ceil());
    let last = floor((field.width as f64 - 1.5 - model.offset) / pitch);
    let boundary = |index: i64| model.offset + index as f64 * pitch;
    let edges: Vec<f64> =
        (first..=last).map(|index| sum(boundary(index) - half, boundary(index) + half)).collect();
    let mut middles: Vec<f64> = (first..last)
        .map(|index| sum((boundary(index) + pitch / 2.0).round(), (boundary(index) + pitch / 2.0).round()))
        .collect();
    middles.sort_by(f64::total_cmp);
    let quiet = middles.get(middles.len() / 2).copied().unwrap_or(0.0);
    [4_i64, 3, 2].into_iter().find_map(|times| {
        let is_told = told == Some(times);
        let share = if is_told { TOLD } else { QUIET.0 };
        if edges.len() < 2 * times as usize + 1 || times as f64 * pitch > field.width as f64 / 3.0 {
            return None;
        }
        let means: Vec<f64> = (0..times).map(|rest| mean(&edges, first, times, rest)).collect();
        let (loud, &most) = means.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1))?;
        let others = means.iter().enumerate().filter(|&(rest, _)| rest != loud);
        let rest = others.map(|(_, &mean)| mean).fold(0.0, f64::max);
        (rest < share * most && (is_told || rest < QUIET.1 * quiet + 1.0)).then_some(Model {
            pitch: times as f64 * pitch,
            offset: model.offset + loud as f64 * pitch,
            ..*model
        })
    })
}

fn mean(edges: &[f64], first: i64, times: i64, rest: i64) -> f64 {
    let found: Vec<f64> = edges
        .iter()
        .zip(first..)
        .filter(|(_, index)| index.rem_euclid(times) == rest)
        .map(|(&edge, _)| edge)
        .collect();
    found.iter().sum::<f64>() / found.len().max(1) as f64
}

/// Gives the mean squared difference across each pixel edge, from 0 to the length.
fn energy(field: &Field) -> Vec<f64> {
    let lines = field.lines();
    let mut sums = vec![0_u64; field.width + 2];
    let mut squares = vec![0_u32; field.width];
    for &y in &lines {
        squares.fill(0);
        for plane in 0..field.planes.len() {
            let row = field.row(plane, y);
            for ((square, left), right) in squares[1..].iter_mut().zip(row).zip(&row[1..]) {
                let step = u32::from(left.abs_diff(*right));
                *square += step * step;
            }
        }
        for (sum, &square) in sums.iter_mut().zip(&squares) {
            *sum += u64::from(square.min(CAP));
        }
    }
    sums.into_iter().map(|sum| sum as f64 / lines.len().max(1) as f64).collect()
}
