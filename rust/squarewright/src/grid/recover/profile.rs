//! How much colours change at each place along an axis, and which pitches that suggests.
//!
//! Edges of blended copies lie at the middles of cells, where the slope changes and not the value, so that
//! second differences are needed too (A. C. Gallagher, "Detection of linear and cubic interpolation in JPEG
//! compressed images", 2005).

use super::field::Field;
use super::spectrum;

/// Peaks taken from each of the two spectra.
const PEAKS: usize = 10;
/// Cells are at least this wide in pixels.
pub(super) const LEAST_PITCH: f64 = 1.95;
/// Above this length the axis is looked at in a smaller copy too: slow slopes vanish in rounding.
const LONG: usize = 480;

/// Lists pitches worth a fit, ascending.
pub(super) fn pitches(field: &Field) -> Vec<f64> {
    let length = field.width as f64;
    let mut found = of_scale(field, 1.0);
    let mut scale = 1.0;
    let mut small: Option<Field> = None;
    loop {
        let current = small.as_ref().unwrap_or(field);
        if current.width <= LONG || current.height < 32 {
            return tidy(found, length);
        }
        let next = current.reduced(4);
        scale *= 4.0;
        found.extend(of_scale(&next, scale));
        small = Some(next);
    }
}

fn tidy(mut found: Vec<f64>, length: f64) -> Vec<f64> {
    found.retain(|pitch| (LEAST_PITCH..=length / 3.0).contains(pitch));
    found.sort_by(f64::total_cmp);
    let mut kept: Vec<f64> = Vec::new();
    for pitch in found {
        if kept.last().is_none_or(|last| (pitch - last) / pitch > 0.25 * pitch / length) {
            kept.push(pitch);
        }
    }
    kept
}

fn of_scale(field: &Field, scale: f64) -> Vec<f64> {
    if field.width < 6 {
        return Vec::new();
    }
    let [first, second] = changes(field);
    let found = spectrum::peaks([&first, &second], PEAKS, 3.0 / field.width as f64);
    let frequencies = found.concat();
    let times = [1.0, 2.0, 3.0, 0.5, 1.0 / 3.0];
    frequencies.iter().flat_map(|frequency| times.map(|times| times * scale / frequency)).collect()
}

/// Sums first and second differences over the lines; each is capped so that one long line cannot outweigh
/// the rest.
fn changes(field: &Field) -> [Vec<f64>; 2] {
    let lines = field.lines();
    let caps = caps(field, &lines);
    let width = field.width;
    let (mut first, mut second) = (vec![0_u32; width], vec![0_u32; width]);
    let mut buffers = (vec![0_u16; width], vec![0_u16; width]);
    for &y in &lines {
        differences(field, y, &mut buffers);
        for (sum, &value) in first.iter_mut().zip(&buffers.0) {
            *sum += u32::from(value.min(caps[0]));
        }
        for (sum, &value) in second.iter_mut().zip(&buffers.1) {
            *sum += u32::from(value.min(caps[1]));
        }
    }
    let count = lines.len().max(1) as f64;
    [first, second].map(|sums| sums.into_iter().map(|sum| f64::from(sum) / count).collect())
}

/// Fills in |I'| between a place and the one before, and |I''| around a place, summed over channels.
fn differences(field: &Field, y: usize, (first, second): &mut (Vec<u16>, Vec<u16>)) {
    first.fill(0);
    second.fill(0);
    for plane in 0..field.planes.len() {
        let row = field.row(plane, y);
        for ((sum, left), right) in first[1..].iter_mut().zip(row).zip(&row[1..]) {
            *sum += u16::from(left.abs_diff(*right));
        }
        for (sum, three) in second[1..].iter_mut().zip(row.windows(3)) {
            let (left, here, right) = (i16::from(three[0]), i16::from(three[1]), i16::from(three[2]));
            *sum += (left - 2 * here + right).unsigned_abs();
        }
    }
}

/// Gives the value that nine tenths of the plain differences stay under.
fn caps(field: &Field, lines: &[usize]) -> [u16; 2] {
    let mut counts = vec![[0_u32; 2]; 2048];
    let mut buffers = (vec![0_u16; field.width], vec![0_u16; field.width]);
    for &y in lines.iter().step_by(1 + lines.len() / 128) {
        differences(field, y, &mut buffers);
        for (&first, &second) in buffers.0.iter().zip(&buffers.1) {
            counts[usize::from(first).min(2047)][0] += 1;
            counts[usize::from(second).min(2047)][1] += 1;
        }
    }
    [0, 1].map(|which| {
        let plain = 7 * (1 - which);
        let total: u32 = counts[plain.max(1)..].iter().map(|count| count[which]).sum();
        let mut seen = 0;
        let cap = (plain.max(1)..2048).find(|&value| {
            seen += counts[value][which];
            f64::from(seen) >= 0.9 * f64::from(total)
        });
        cap.unwrap_or(1).max(1) as u16
    })
}
