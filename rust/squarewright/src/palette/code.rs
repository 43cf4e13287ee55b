//! The short names that stand in the cells of a chart.
//!
//! A code is a letter for the ramp and a digit for the shade, 1 the lightest: shades that are mixed and
//! painted together share their letter. No letter looks like a digit or like another letter in use.

use super::ramp::ramps;
use crate::colour::Rgb;

const LETTERS: [char; 16] = ['A', 'C', 'E', 'F', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'R', 'T', 'U', 'X', 'Y'];
const STEPS: usize = 9;

/// Gives each colour its code.
pub fn codes(colours: &[Rgb]) -> Vec<String> {
    let ramps = ramps(colours);
    let mut runs: Vec<Vec<usize>> =
        ramps.iter().flat_map(|ramp| ramp.shades.chunks(STEPS).map(<[usize]>::to_vec)).collect();
    if runs.len() > LETTERS.len() {
        // More families than letters: keep the order and fill each letter up.
        let all: Vec<usize> = ramps.iter().flat_map(|ramp| ramp.shades.iter().copied()).collect();
        runs = all.chunks(STEPS).map(<[usize]>::to_vec).collect();
    }
    let mut codes = vec![String::new(); colours.len()];
    for (letter, run) in LETTERS.into_iter().zip(&runs) {
        for (step, &place) in run.iter().enumerate() {
            codes[place] = format!("{letter}{}", step + 1);
        }
    }
    codes
}
