//! Numbers as they stand in files: from integers, without trailing zeros.

use crate::length::Length;

/// Writes a length in millimetres with five decimals at most.
pub(super) fn mm(length: Length) -> String {
    let scaled = i128::from(length.units()) * 100_000;
    let per_mm = i128::from(Length::MM.units());
    decimal((2 * scaled + per_mm).div_euclid(2 * per_mm), 5)
}

fn decimal(value: i128, places: usize) -> String {
    let sign = if value < 0 { "-" } else { "" };
    let digits = format!("{:0width$}", value.abs(), width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let part = part.trim_end_matches('0');
    if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") }
}
