//! The checkerboard that programs draw behind see-through pictures.
//!
//! A checkerboard of two greys is +1 and −1 in a pattern that is exactly of rank one: the sign at (x, y) is
//! u(x) v(y). Both factors follow from a few rounds of power iteration, whatever the size and place of the
//! squares, and whatever covers part of them.

use crate::picture::Picture;

/// How far a pixel may be from one of the two greys.
const TOLERANCE: i32 = 10;
/// The share of pixels with one of the two greys that must follow the pattern.
const SHARE: f64 = 0.9;
/// The share that must among some pixels of a large picture, and about how many of a side those are.
const LIKELY: f64 = 0.8;
const ENOUGH: u32 = 400;

/// A picture whose checkerboard was taken away.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Lifted {
    /// The picture, see-through where the pattern showed for certain.
    pub(super) picture: Picture,
    /// Pixels that follow the pattern but continue cells of the same grey: they may be either.
    pub(super) unclear: Vec<u8>,
}

/// Takes away a checkerboard when there is one.
pub(super) fn lifted(picture: &Picture) -> Option<Lifted> {
    if picture.pixels().chunks_exact(4).any(|pixel| pixel[3] != 255) {
        return None;
    }
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    let greys = greys(picture)?;
    if !is_likely(picture, greys) {
        return None;
    }
    let signs: Vec<i8> = picture.pixels().chunks_exact(4).map(|pixel| sign(pixel, greys)).collect();
    let (across, down) = factors(&signs, width, height)?;
    let pattern = |place: usize| across[place % width] * down[place / width];
    let known = signs.iter().filter(|&&sign| sign != 0).count();
    let follows = |place: usize| signs[place] != 0 && signs[place] == pattern(place);
    let following = (0..signs.len()).filter(|&place| follows(place)).count();
    if (following as f64) < SHARE * known as f64 || !is_even(&across, &down) {
        return None;
    }
    let unclear = continued(&signs, follows, width, height);
    let mut pixels = picture.pixels().to_vec();
    for (place, pixel) in pixels.chunks_exact_mut(4).enumerate() {
        if follows(place) && unclear[place] == 0 {
            pixel.fill(0);
        }
    }
    let picture = Picture::from_rgba(picture.width(), picture.height(), pixels).ok()?;
    Some(Lifted { picture, unclear })
}

/// Looks at some pixels of a large picture: any rows and columns of a pattern of rank one are one as well.
fn is_likely(picture: &Picture, greys: (i32, i32)) -> bool {
    let step = (picture.width().max(picture.height()) / ENOUGH).max(1) as usize;
    if step == 1 {
        return true;
    }
    let row = |row: &[u8]| -> Vec<i8> {
        row.as_chunks::<4>().0.iter().step_by(step).map(|pixel| sign(pixel, greys)).collect()
    };
    let rows: Vec<Vec<i8>> = picture.rows().step_by(step).map(row).collect();
    let (width, height) = (rows[0].len(), rows.len());
    let signs = rows.concat();
    let Some((across, down)) = factors(&signs, width, height) else { return false };
    let known = signs.iter().filter(|&&sign| sign != 0).count();
    let follows =
        |&place: &usize| signs[place] != 0 && signs[place] == across[place % width] * down[place / width];
    (0..signs.len()).filter(follows).count() as f64 >= LIKELY * known as f64
}

/// Finds the two greys that most of the border has.
fn greys(picture: &Picture) -> Option<(i32, i32)> {
    let (width, height) = (picture.width(), picture.height());
    let across = (0..width).flat_map(|x| [(x, 0), (x, height - 1)]);
    let ring: Vec<(u32, u32)> = across.chain((0..height).flat_map(|y| [(0, y), (width - 1, y)])).collect();
    let mut counts = vec![0_i32; 256];
    let mut neutral = 0;
    for &(x, y) in &ring {
        if let Some(grey) = grey(&picture.pixel(x, y), TOLERANCE) {
            counts[grey as usize] += 1;
            neutral += 1;
        }
    }
    if neutral * 5 < ring.len() as i32 * 3 {
        return None;
    }
    let near = |place: i32| counts.iter().skip((place - 2).max(0) as usize).take(5).sum::<i32>();
    let most = |skip: Option<i32>| {
        let apart = |&place: &i32| skip.is_none_or(|other| (place - other).abs() > 18);
        (0..256).filter(apart).max_by_key(|&place| (near(place), -place))
    };
    let one = most(None)?;
    let other = most(Some(one))?;
    (near(other) * 100 >= 15 * neutral).then_some((one, other))
}

fn grey(pixel: &[u8], tolerance: i32) -> Option<i32> {
    let [r, g, b] = [0, 1, 2].map(|channel| i32::from(pixel[channel]));
    (r.max(g).max(b) - r.min(g).min(b) <= tolerance).then_some((r + g + b) / 3)
}

fn sign(pixel: &[u8], (one, other): (i32, i32)) -> i8 {
    match grey(pixel, 2 * TOLERANCE) {
        Some(grey) if (grey - one).abs() <= TOLERANCE => 1,
        Some(grey) if (grey - other).abs() <= TOLERANCE => -1,
        _ => 0,
    }
}

/// Finds the signs across and down whose products explain the picture.
fn factors(signs: &[i8], width: usize, height: usize) -> Option<(Vec<i8>, Vec<i8>)> {
    let fullest = (0..width).max_by_key(|&x| {
        (signs.iter().skip(x).step_by(width).filter(|&&sign| sign != 0).count(), width - x)
    })?;
    let mut down: Vec<i8> = signs.iter().skip(fullest).step_by(width).copied().collect();
    let mut across = vec![0; width];
    for _ in 0..6 {
        let mut sums = vec![0_i32; width];
        for (row, &own) in signs.chunks_exact(width).zip(&down) {
            for (sum, &sign) in sums.iter_mut().zip(row) {
                *sum += i32::from(sign * own);
            }
        }
        across = sums.iter().map(|sum| sum.signum() as i8).collect();
        let agree = |row: &[i8]| {
            let sum: i32 = row.iter().zip(&across).map(|(&sign, &own)| i32::from(sign * own)).sum();
            sum.signum() as i8
        };
        down = signs.chunks_exact(width).map(agree).collect();
    }
    let zeros = |factor: &[i8]| factor.iter().filter(|&&sign| sign == 0).count();
    (zeros(&across) * 10 <= width && zeros(&down) * 10 <= height).then_some((across, down))
}

/// Says whether the squares are all of one size, to a pixel.
fn is_even(across: &[i8], down: &[i8]) -> bool {
    let mut runs: Vec<usize> = [across, down].into_iter().flat_map(inner_runs).collect();
    runs.sort_unstable();
    let Some(&middle) = runs.get(runs.len() / 2) else { return false };
    let even = runs.iter().filter(|&&run| run.abs_diff(middle) <= 1).count();
    runs.len() >= 3 && middle >= 3 && even * 5 >= runs.len() * 4
}

/// Gives the lengths of all runs of one sign but the first and the last, which the border cuts.
fn inner_runs(factor: &[i8]) -> Vec<usize> {
    let places: Vec<usize> = (1..factor.len()).filter(|&at| factor[at] != factor[at - 1]).collect();
    places.windows(2).map(|pair| pair[1] - pair[0]).collect()
}

/// Marks pixels that follow the pattern and touch, within their square, a pixel of the same grey that breaks
/// it.
fn continued(signs: &[i8], follows: impl Fn(usize) -> bool, width: usize, height: usize) -> Vec<u8> {
    let mut unclear = vec![0; signs.len()];
    let mut open: Vec<usize> =
        (0..signs.len()).filter(|&place| signs[place] != 0 && !follows(place)).collect();
    while let Some(place) = open.pop() {
        let (x, y) = (place % width, place / width);
        let near = [
            (x > 0).then(|| place - 1),
            (x + 1 < width).then(|| place + 1),
            (y > 0).then(|| place - width),
            (y + 1 < height).then(|| place + width),
        ];
        for next in near.into_iter().flatten() {
            if unclear[next] == 0 && signs[next] == signs[place] && follows(next) {
                unclear[next] = 1;
                open.push(next);
            }
        }
    }
    unclear
}

#[cfg(test)]
mod tests {
    use super::*;

    fn board(width: u32, height: u32, figure: impl Fn(u32, u32) -> Option<[u8; 3]>) -> Picture {
        let pixels = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let pixels = pixels.flat_map(|(x, y)| {
            let grey = if (x / 7 + y / 7) % 2 == 0 { 255 } else { 204 };
            let [r, g, b] = figure(x, y).unwrap_or([grey; 3]);
            [r, g, b, 255]
        });
        Picture::from_rgba(width, height, pixels.collect()).expect("the pixels fill the size")
    }

    #[test]
    fn a_checkerboard_is_lifted_and_the_figure_stays() {
        let inside = |x: u32, y: u32| (20..45).contains(&x) && (18..40).contains(&y);
        let picture = board(70, 60, |x, y| inside(x, y).then_some([180, 30, 60]));
        let lifted = lifted(&picture).expect("there is a checkerboard");
        for y in 0..60 {
            for x in 0..70 {
                assert_eq!(lifted.picture.pixel(x, y)[3] == 255, inside(x, y), "{x} {y}");
            }
        }
    }

    #[test]
    fn white_cells_on_white_squares_are_unclear_and_not_lost() {
        let inside = |x: u32, y: u32| (18..42).contains(&x) && (18..42).contains(&y);
        let picture = board(70, 60, |x, y| inside(x, y).then_some([255; 3]));
        let lifted = lifted(&picture).expect("there is a checkerboard");
        assert_eq!(lifted.picture.pixel(30, 30)[3], 255);
        assert!(lifted.unclear.contains(&1));
    }

    #[test]
    fn flat_and_see_through_pictures_have_none() {
        assert!(lifted(&board(40, 40, |_, _| Some([250, 250, 250]))).is_none());
        let clear = Picture::from_rgba(2, 1, vec![0; 8]).expect("two pixels");
        assert!(lifted(&clear).is_none());
    }
}
