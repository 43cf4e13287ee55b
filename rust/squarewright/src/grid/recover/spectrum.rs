//! Peaks in the spectrum of two profiles: how often something repeats along an axis.

/// How much finer than the length the spectrum is sampled.
const FINER: usize = 8;

/// A complex number.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Complex {
    re: f64,
    im: f64,
}

/// Lists the strongest frequencies of two profiles of equal length, in cycles a place, each apart from the
/// others by a line width, strongest first.
pub(super) fn peaks(profiles: [&[f64]; 2], count: usize, least: f64) -> [Vec<f64>; 2] {
    let length = profiles[0].len();
    let size = (length * FINER).next_power_of_two();
    let window = windowed(profiles);
    let mut values = vec![Complex::default(); size];
    values[..length].copy_from_slice(&window);
    transform(&mut values);
    // Two real signals were transformed as one complex one: even and odd parts tell them apart.
    let part = |place: usize, sign: f64| {
        let (one, other) = (values[place], values[(size - place) % size]);
        let (re, im) = (one.re + sign * other.re, one.im - sign * other.im);
        (re * re + im * im).sqrt()
    };
    [1.0, -1.0].map(|sign| {
        let strengths: Vec<f64> = (0..=size / 2).map(|place| part(place, sign)).collect();
        strongest(&strengths, size, length, (count, least))
    })
}

/// Takes away the slow drift, fades both ends and joins the two profiles into complex numbers.
fn windowed(profiles: [&[f64]; 2]) -> Vec<Complex> {
    let length = profiles[0].len();
    let drifts = profiles.map(drift);
    let fade = |place: usize| {
        let angle = std::f64::consts::TAU * (place + 1) as f64 / (length + 1) as f64;
        0.5 - 0.5 * libm::cos(angle)
    };
    (0..length)
        .map(|place| Complex {
            re: (profiles[0][place] - drifts[0][place]) * fade(place),
            im: (profiles[1][place] - drifts[1][place]) * fade(place),
        })
        .collect()
}

/// Gives the mean over a quarter of the length around each place, mirrored at the ends.
fn drift(profile: &[f64]) -> Vec<f64> {
    let length = profile.len();
    let half = length / 8 + 4;
    let mirror = |place: isize| {
        let last = length as isize - 1;
        let place = place.abs();
        let place = if place > last { (2 * last - place).max(0) } else { place };
        profile[place as usize]
    };
    let (half_, width) = (half as isize, (2 * half + 1) as f64);
    let mut sum: f64 = (-half_..=half_).map(mirror).sum();
    (0..length as isize)
        .map(|place| {
            let mean = sum / width;
            sum += mirror(place + half_ + 1) - mirror(place - half_);
            mean
        })
        .collect()
}

fn strongest(strengths: &[f64], size: usize, length: usize, (count, least): (usize, f64)) -> Vec<f64> {
    let half = (size / length).max(2);
    let mut left = strengths.to_vec();
    let first = (least * size as f64).ceil() as usize;
    left[..first.min(strengths.len())].fill(0.0);
    let mut found = Vec::new();
    while found.len() < count {
        let (place, strength) = left
            .iter()
            .enumerate()
            .fold((0, 0.0), |best, (place, &value)| if value > best.1 { (place, value) } else { best });
        if strength <= 0.0 {
            break;
        }
        found.push((place as f64 + vertex(strengths, place)) / size as f64);
        let end = (place + half + 1).min(left.len());
        left[place.saturating_sub(half)..end].fill(0.0);
    }
    found
}

/// Gives how far the vertex of a parabola through three values lies from the middle one.
fn vertex(values: &[f64], place: usize) -> f64 {
    if place == 0 || place + 1 >= values.len() {
        return 0.0;
    }
    let (before, here, after) = (values[place - 1], values[place], values[place + 1]);
    let bend = before - 2.0 * here + after;
    if bend == 0.0 { 0.0 } else { (0.5 * (before - after) / bend).clamp(-0.5, 0.5) }
}

/// Transforms in place (J. W. Cooley and J. W. Tukey, 1965); the length is a power of two.
fn transform(values: &mut [Complex]) {
    let size = values.len();
    let bits = size.trailing_zeros();
    for place in 0..size {
        let other = place.reverse_bits() >> (usize::BITS - bits).min(usize::BITS - 1);
        if other > place {
            values.swap(place, other);
        }
    }
    let turns: Vec<Complex> = (0..size / 2)
        .map(|place| {
            let (sine, cosine) = libm::sincos(-std::f64::consts::TAU * place as f64 / size as f64);
            Complex { re: cosine, im: sine }
        })
        .collect();
    let mut half = 1;
    while half < size {
        for block in values.chunks_exact_mut(2 * half) {
            let (low, high) = block.split_at_mut(half);
            for ((a, b), turn) in low.iter_mut().zip(high).zip(turns.iter().step_by(size / (2 * half))) {
                let moved =
                    Complex { re: b.re * turn.re - b.im * turn.im, im: b.re * turn.im + b.im * turn.re };
                *b = Complex { re: a.re - moved.re, im: a.im - moved.im };
                *a = Complex { re: a.re + moved.re, im: a.im + moved.im };
            }
        }
        half *= 2;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_transform_is_the_sum_that_defines_it() {
        let signal: Vec<Complex> = (0..16)
            .map(|place| Complex { re: f64::from(place * place % 7), im: f64::from(place % 3) })
            .collect();
        let mut fast = signal.clone();
        transform(&mut fast);
        for (frequency, found) in fast.iter().enumerate() {
            let (mut re, mut im) = (0.0, 0.0);
            for (place, value) in signal.iter().enumerate() {
                let (s, c) = libm::sincos(-std::f64::consts::TAU * (frequency * place) as f64 / 16.0);
                re += value.re * c - value.im * s;
                im += value.re * s + value.im * c;
            }
            assert!((found.re - re).abs() < 1e-9 && (found.im - im).abs() < 1e-9);
        }
    }

    #[test]
    fn two_waves_are_found_each_in_its_own_profile() {
        let wave = |period: f64| -> Vec<f64> {
            (0..300).map(|place| libm::cos(std::f64::consts::TAU * f64::from(place) / period)).collect()
        };
        let (slow, fast) = (wave(11.3), wave(4.7));
        let [first, second] = peaks([&slow, &fast], 1, 3.0 / 300.0);
        assert!((1.0 / first[0] - 11.3).abs() < 0.02, "{}", 1.0 / first[0]);
        assert!((1.0 / second[0] - 4.7).abs() < 0.02, "{}", 1.0 / second[0]);
    }
}
