//! Finding the figure on its ground, without any learnt model.
//!
//! The ground is what the border of the picture shows: colours that are found on more than one of its sides.
//! A first cut parts what is like them from what is not; then both sides get colours of their own, and the
//! cut is made again (the idea of Rother, Kolmogorov and Blake 2004, doi 10.1145/1015706.1015720, on fine
//! cells and with a few colours instead of mixtures).

use super::cut::{Cut, Way};
use super::field::Field;
use crate::colour::Tone;
use crate::fault::{Result, Watch};
use crate::grid::patch::connected;
use crate::palette::{Choosing, Pool, choose};
use crate::picture::Shrunk;

/// Which part of the picture is the figure.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Figure {
    /// All that is not see-through.
    #[default]
    Whole,
    /// What stands out from the ground that the border shows.
    Find,
    /// What a mask says, one byte a pixel of the whole picture, row by row: 0 is ground, 255 figure, and
    /// anything between is for the search to decide.
    Mask(Vec<u8>),
}

/// Colours of each side.
const COLOURS: usize = 8;
/// Cuts with colours of both sides.
const ROUNDS: usize = 3;
/// No cell costs more than this on either side, as a squared difference.
const MOST: f32 = 400.0;
/// A border between equal cells costs this, as a squared difference.
const BORDER: f32 = 60.0;
/// The least and the most squared difference from the ground at which a cell begins to look like a figure.
const DOUBT: (f32, f32) = (16.0, 200.0);
/// The share of a side that a colour of the ground has at least, on two sides.
const SEEN: usize = 10;
/// A colour of fewer than one in this many cells is not that of a side.
const RARE: usize = 40;
/// A part of the ground that the figure encloses stays ground when it has this many cells, and differs from
/// the colours of the ground by no more than this on the mean, as a squared difference.
const OPENING: (usize, f32) = (10, 16.0);
/// Fine cells for which an opening needs one cell more.
const LARGE: usize = 1500;
/// Cells between two looks at the watch.
const STRIDE: usize = 1 << 13;
/// Costs in whole numbers to one squared difference.
const UNIT: f32 = 16.0;
/// What settles a cell.
const SURE: i32 = 1 << 20;

/// What is known about a cell before the search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    Ground,
    Figure,
    Open,
}

/// Finds the fine cells that belong to the figure; none when nothing stands out.
pub(super) fn find(fine: &Shrunk, marks: &[Mark], watch: &dyn Watch) -> Result<Option<Vec<bool>>> {
    let whole = Pool::new(fine.light.iter().zip(marks).map(|(&light, &mark)| (light, weight(mark))));
    let shown =
        whole.tones.iter().zip(&fine.cover).map(|(&tone, &cover)| (cover > 0.0).then_some(tone)).collect();
    let mut field = Field::new((fine.rows, fine.columns), shown, 1.0);
    field.draw_borders(BORDER * UNIT / super::field::UNIT);
    let marked = |mark: Mark| move |place: &usize| marks[*place] == mark;
    let all = || 0..marks.len();
    let ground = if all().any(|place| marked(Mark::Ground)(&place) && fine.cover[place] > 0.0) {
        colours(&whole, &mut all().filter(marked(Mark::Ground)), watch)?
    } else {
        border_colours(fine, &whole, watch)?
    };
    if ground.is_empty() {
        return Ok(None);
    }
    let from_ground = nearest(&whole.tones, &ground);
    let doubt = doubt(fine, &from_ground);
    let mut figure = if all().any(|place| marked(Mark::Figure)(&place)) {
        let known = colours(&whole, &mut all().filter(marked(Mark::Figure)), watch)?;
        let from_known = nearest(&whole.tones, &known);
        part(&field, marks, watch, |place| from_ground[place].0 - from_known[place].0)?
    } else {
        part(&field, marks, watch, |place| from_ground[place].0 - doubt)?
    };
    for _ in 0..ROUNDS {
        watch.check(0.35)?;
        if !figure.contains(&true) || !figure.contains(&false) {
            return Ok(None);
        }
        let inside = colours(&whole, &mut all().filter(|&place| figure[place]), watch)?;
        let outside = colours(&whole, &mut all().filter(|&place| !figure[place]), watch)?;
        let (outside, inside) = (nearest(&whole.tones, &outside), nearest(&whole.tones, &inside));
        let from_outside = |place: usize| outside[place].0.min(from_ground[place].0);
        let next = part(&field, marks, watch, |place| from_outside(place) - inside[place].0)?;
        if next == figure {
            break;
        }
        figure = next;
    }
    close(fine, marks, &from_ground, &mut figure);
    Ok((figure.contains(&true) && figure.contains(&false)).then_some(figure))
}

/// Gives the figure what it encloses: a light in an eye, whatever its colour; not the gap between two legs.
fn close(fine: &Shrunk, marks: &[Mark], from_ground: &[Near], figure: &mut [bool]) {
    let (rows, columns) = (fine.rows, fine.columns);
    let (part_of, count) = connected(rows, columns, |place| figure[place]);
    let (mut open, mut sizes, mut away) = (vec![false; count], vec![0_usize; count], vec![0.0_f32; count]);
    for (place, &part) in part_of.iter().enumerate() {
        let (row, column) = (place / columns, place % columns);
        let border = row == 0 || column == 0 || row + 1 == rows || column + 1 == columns;
        open[part] |= border || marks[place] == Mark::Ground;
        sizes[part] += 1;
        away[part] += from_ground[place].0;
    }
    let least = OPENING.0 * (rows * columns).div_ceil(LARGE);
    for (place, &part) in part_of.iter().enumerate() {
        let gap = sizes[part] >= least && away[part] <= OPENING.1 * sizes[part] as f32;
        figure[place] |= !open[part] && !gap;
    }
}

fn weight(mark: Mark) -> f32 {
    // see-through cells are marked as ground and teach nothing about colours
    if mark == Mark::Ground { 0.25 } else { 1.0 }
}

/// Chooses the colours of some cells; those that only a few cells have, as along soft edges, are left out.
fn colours(whole: &Pool, places: &mut dyn Iterator<Item = usize>, watch: &dyn Watch) -> Result<Vec<Tone>> {
    let asked = Choosing { count: COLOURS, light: 1.0, ..Choosing::default() };
    let part = whole.part(places);
    let found = choose(&part, &asked, watch)?;
    watch.check(0.35)?;
    let mut counts = vec![0_usize; found.len()];
    for (_, colour) in nearest(&part.tones, &found) {
        counts[colour] += 1;
    }
    let common = |&(colour, _): &(usize, Tone)| counts[colour] * RARE >= part.len();
    Ok(found.into_iter().enumerate().filter(common).map(|(_, tone)| tone).collect())
}

/// Chooses the colours of the border that more than one side shows, or the one that is seen most.
fn border_colours(fine: &Shrunk, whole: &Pool, watch: &dyn Watch) -> Result<Vec<Tone>> {
    let (rows, columns) = (fine.rows, fine.columns);
    let sides: [Vec<usize>; 4] = [
        (0..columns).collect(),
        (0..columns).map(|column| (rows - 1) * columns + column).collect(),
        (0..rows).map(|row| row * columns).collect(),
        (0..rows).map(|row| (row + 1) * columns - 1).collect(),
    ];
    let solid = |place: &usize| fine.cover[*place] > 0.0;
    let found = colours(whole, &mut sides.iter().flatten().copied().filter(solid), watch)?;
    let mut counts = vec![[0_usize; 4]; found.len()];
    for (side, places) in sides.iter().enumerate() {
        let tones: Vec<Tone> =
            places.iter().filter(|place| solid(place)).map(|&at| whole.tones[at]).collect();
        for (_, colour) in nearest(&tones, &found) {
            counts[colour][side] += 1;
        }
    }
    let common =
        |count: &[usize; 4]| (0..4).filter(|&side| count[side] * SEEN >= sides[side].len()).count() >= 2;
    let most = (0..found.len()).max_by_key(|&colour| counts[colour].iter().sum::<usize>());
    let kept = (0..found.len()).filter(|&colour| common(&counts[colour]) || Some(colour) == most);
    Ok(kept.map(|colour| found[colour]).collect())
}

/// Gives the squared difference at which a cell begins to look like a figure: nine times what most of the
/// border differs from the colours of the ground.
fn doubt(fine: &Shrunk, from_ground: &[Near]) -> f32 {
    let on_border = |place: &usize| {
        let (row, column) = (place / fine.columns, place % fine.columns);
        row == 0 || column == 0 || row + 1 == fine.rows || column + 1 == fine.columns
    };
    let mut away: Vec<f32> =
        (0..from_ground.len()).filter(on_border).map(|place| from_ground[place].0).collect();
    away.sort_by(f32::total_cmp);
    (9.0 * away[away.len() * 6 / 10]).clamp(DOUBT.0, DOUBT.1)
}

/// The squared difference from the nearest of some colours, at the most [`MOST`], and which that is.
type Near = (f32, usize);

/// Finds the nearest of some colours for each cell, colour by colour: so many cells go at a time.
fn nearest(cells: &[Tone], colours: &[Tone]) -> Vec<Near> {
    let mut least = vec![(f32::INFINITY, 0); cells.len()];
    for (colour, tone) in colours.iter().enumerate() {
        let mut least = least.iter_mut();
        tone.squares(cells, 1.0, |cost| {
            if let Some(least) = least.next().filter(|least| cost < least.0) {
                *least = (cost, colour);
            }
        });
    }
    least.into_iter().map(|(least, colour)| (least.min(MOST), colour)).collect()
}

/// Cuts the cells in two; `lean` says by how much a cell is more like the figure than like the ground.
fn part(field: &Field, marks: &[Mark], watch: &dyn Watch, lean: impl Fn(usize) -> f32) -> Result<Vec<bool>> {
    let mut cut = Cut::new(field.rows, field.columns);
    for (place, cell) in field.cells.iter().enumerate() {
        if place.is_multiple_of(STRIDE) {
            watch.check(0.35)?;
        }
        #[expect(clippy::cast_possible_truncation, reason = "some thousand units")]
        let more = match (marks[place], cell) {
            (Mark::Ground, _) | (_, None) => SURE,
            (Mark::Figure, _) => -SURE,
            (Mark::Open, Some(_)) => -(lean(place) * UNIT) as i32,
        };
        cut.demand(place, more);
        for (next, border) in field.around(place) {
            let way = match (next > place, next.abs_diff(place) == 1 && field.columns > 1) {
                (true, true) => Way::Right,
                (true, false) => Way::Down,
                (false, true) => Way::Left,
                (false, false) => Way::Up,
            };
            cut.edge(place, way, border);
        }
    }
    cut.solve(watch)?;
    Ok((0..marks.len()).map(|place| cut.at_sink(place)).collect())
}
