//! Flat drawings: a few even colours with hard edges. Each cell takes the colour that most of it shows, where
//! a mean would give a pale rim that no paint is meant for; things thinner than a cell stay in one piece.

use std::collections::BTreeMap;

use super::Layout;
use super::means::{Cells, HALF};
use super::thin::{Label, Part, draw, middles, parts};
use super::trim::ring;
use crate::colour::Rgb;
use crate::grid::patch::{connected, neighbours};
use crate::palette::Palette;
use crate::picture::Shrunk;

/// Steps of shade, 0 to 100, below which neighbours count as even, and up to which a colour is the same.
const EVEN: f32 = 1.0;
const SAME: f32 = 3.0;
/// Two shades this far apart have room for a third between them.
const ROOM: f32 = 4.0;
/// In a flat drawing at least this share of what is not the largest colour is even, and a few colours have at
/// least that share of it.
const MOSTLY: f64 = 0.30;
const NEARLY: f64 = 0.88;
const FEW: usize = 24;
/// A picture is cut out when more than one in this many fine cells are see-through.
const CLEAR: usize = 10;

/// The root of the light of each channel, 0 to 100: about even steps to the eye.
type Shade = [f32; 3];

/// Gives each cell of a flat drawing the colour that most of it shows; gives all these colours, or nothing
/// when the picture is of another kind.
pub(super) fn flatten(fine: &Shrunk, layout: Layout, cells: &mut Cells) -> Option<Vec<Rgb>> {
    let scene = Scene::new(fine);
    let even: Vec<bool> = (0..scene.shades.len()).map(|place| scene.is_even(place)).collect();
    let colours = scene.colours(&even)?;
    let (labels, blends) = scene.labels(&even, &colours);
    let size = (fine.rows, fine.columns);
    if !is_crisp(size, &labels, blends, f64::from(layout.window.width) / fine.columns as f64) {
        return None;
    }
    let mut parts = parts(layout, &labels, &middles(size, &labels, &thin(size, &labels, layout.fine / 2)));
    move_in(layout, &mut parts, &cells.painted);
    let most = |parts: &Vec<Part>| parts.iter().rev().max_by_key(|part| part.area).map(|part| part.label);
    let base: Vec<Label> = parts.iter().map(most).collect();
    for (place, label) in draw(layout, &parts, &base).into_iter().enumerate() {
        if let Some(label) = label.filter(|_| cells.painted[place]) {
            cells.light[place] = colours[usize::from(label)].light;
        }
    }
    Some(colours.iter().map(|colour| Rgb::from_linear(colour.light.map(f64::from))).collect())
}

/// A colour of the drawing.
#[derive(Debug, Clone, Copy)]
struct Colour {
    shade: Shade,
    light: [f32; 3],
}

/// What fine cells of one shade there are.
#[derive(Debug, Clone, Copy, Default)]
struct Heap {
    count: usize,
    light: [f64; 3],
}

impl Heap {
    #[expect(clippy::cast_possible_truncation, reason = "means need no more than 24 bits")]
    fn colour(self) -> Colour {
        let light = self.light.map(|sum| (sum / self.count as f64) as f32);
        Colour { shade: shade(light), light }
    }
}

struct Scene<'a> {
    fine: &'a Shrunk,
    size: (usize, usize),
    shades: Vec<Shade>,
}

impl<'a> Scene<'a> {
    fn new(fine: &'a Shrunk) -> Self {
        let shades = fine.light.iter().map(|&light| shade(light)).collect();
        Self { fine, size: (fine.rows, fine.columns), shades }
    }

    fn is_solid(&self, place: usize) -> bool {
        self.fine.cover[place] >= HALF
    }

    /// Says whether all around a fine cell has its shade.
    fn is_even(&self, place: usize) -> bool {
        let mut beside = neighbours(self.size.0, self.size.1, place);
        let same = |next: usize| !self.is_solid(next) || apart(self.shades[next], self.shades[place]) < EVEN;
        self.is_solid(place) && beside.all(same)
    }

    /// Says whether a fine cell is a blend of what lies on both sides of it.
    fn is_blend(&self, place: usize) -> bool {
        let around = ring(self.size, place).map(|next| next.filter(|&next| self.is_solid(next)));
        let own = self.shades[place];
        (0..4).any(|side| {
            let (Some(one), Some(other)) = (around[side], around[side + 4]) else { return false };
            let (one, other) = (self.shades[one], self.shades[other]);
            let within =
                |i: usize| (one[i].min(other[i]) - EVEN..=one[i].max(other[i]) + EVEN).contains(&own[i]);
            let off = apart(own, one).min(apart(own, other));
            apart(one, other) > ROOM && off > EVEN && (0..3).all(within)
        })
    }

    /// Finds the colours, the most common first; none when it is no flat drawing.
    fn colours(&self, even: &[bool]) -> Option<Vec<Colour>> {
        let mut heaps: BTreeMap<[u8; 3], Heap> = BTreeMap::new();
        for place in (0..even.len()).filter(|&place| even[place]) {
            self.put(&mut heaps, place);
        }
        let heaps = sorted(heaps);
        let ground = heaps.first()?.colour();
        // Round a cut-out it is the see-through part that says nothing.
        let clear = (0..even.len()).filter(|&place| !self.is_solid(place)).count() * CLEAR > even.len();
        let other = |shade: Shade| clear || apart(shade, ground.shade) > SAME;
        let solid = (0..even.len()).filter(|&place| self.is_solid(place));
        let all = solid.filter(|&place| other(self.shades[place])).count() as f64;
        let others: Vec<usize> =
            heaps.iter().filter(|heap| other(heap.colour().shade)).map(|heap| heap.count).collect();
        let (sum, few) = (others.iter().sum::<usize>() as f64, others.iter().take(FEW).sum::<usize>() as f64);
        if sum < MOSTLY * all || few < NEARLY * sum || sum <= 0.0 {
            return None;
        }
        let mut colours = Vec::new();
        distinct(&heaps, &mut colours);
        // What is too thin to be even anywhere: the ink of an outline.
        let mut ridges = BTreeMap::new();
        for place in (0..even.len()).filter(|&place| !even[place] && self.is_solid(place)) {
            let known = colours.iter().any(|colour: &Colour| apart(colour.shade, self.shades[place]) <= SAME);
            if !known && !self.is_blend(place) {
                self.put(&mut ridges, place);
            }
        }
        let least = (even.len() / RARE).max(4);
        for heap in sorted(ridges).into_iter().filter(|heap| heap.count >= least) {
            let pairs = colours.iter().flat_map(|one| colours.iter().map(move |other| (one, other)));
            let light = heap.colour().light;
            if pairs.into_iter().all(|(one, other)| blend(light, one.light, other.light).1 > BLENDED) {
                distinct(&[heap], &mut colours);
            }
        }
        Some(colours)
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "shades are 0 to 100")]
    fn put(&self, heaps: &mut BTreeMap<[u8; 3], Heap>, place: usize) {
        let heap = heaps.entry(self.shades[place].map(|shade| shade.round() as u8)).or_default();
        heap.count += 1;
        for (sum, light) in heap.light.iter_mut().zip(self.fine.light[place]) {
            *sum += f64::from(light);
        }
    }

    /// Says for each fine cell which colour it shows; gives also how many blends there are.
    fn labels(&self, even: &[bool], colours: &[Colour]) -> (Vec<Label>, usize) {
        let solid: Vec<usize> = (0..even.len()).filter(|&place| self.is_solid(place)).collect();
        let mut labels: Vec<Label> = vec![None; even.len()];
        let mut ridges = Vec::new();
        let mut open = Vec::new();
        for &place in &solid {
            let label = nearest(self.shades[place], colours, 0..colours.len());
            let close = label.is_some_and(|label| self.is_like(place, &colours[usize::from(label)]));
            if !even[place] && self.is_blend(place) {
                open.push(place);
            } else if even[place] || close {
                labels[place] = label;
            } else {
                ridges.push(place);
            }
        }
        let blends = open.len();
        let found: Vec<Label> = ridges.iter().map(|&place| self.ridge(place, &labels, colours)).collect();
        ridges.into_iter().zip(found).for_each(|(place, label)| labels[place] = label);
        // From the clear ones inwards: a blend is of what it lies between.
        open.extend(solid.iter().filter(|&&place| labels[place].is_none()));
        open.sort_unstable();
        open.dedup();
        while !open.is_empty() {
            let beside = |&place: &usize| {
                let around = ring(self.size, place).into_iter().flatten().filter_map(|next| labels[next]);
                most_of(self.fine.light[place], colours, around.map(usize::from))
            };
            let found: Vec<Label> = open.iter().map(beside).collect();
            let stuck = found.iter().all(Option::is_none);
            for (&place, label) in open.iter().zip(found) {
                labels[place] =
                    if stuck { nearest(self.shades[place], colours, 0..colours.len()) } else { label };
            }
            open.retain(|&place| labels[place].is_none());
        }
        (labels, blends)
    }

    fn is_like(&self, place: usize, colour: &Colour) -> bool {
        apart(colour.shade, self.shades[place]) <= SAME
    }

    /// Gives the colour of something too thin to show it pure: what blends with the ground beside it.
    fn ridge(&self, place: usize, labels: &[Label], colours: &[Colour]) -> Label {
        let own = self.fine.light[place];
        let mut best: Option<(f32, usize)> = None;
        // two steps away: right beside it all is blended
        let near = around(self.size, place, 2);
        let mut grounds: Vec<u8> = near.filter_map(|next| labels[next]).collect();
        grounds.sort_unstable();
        grounds.dedup();
        for ground in grounds.into_iter().map(usize::from) {
            for (colour, ink) in colours.iter().enumerate().filter(|&(colour, _)| colour != ground) {
                let (share, off) = blend(own, colours[ground].light, ink.light);
                let cost = off + PALE * (1.0 - share);
                if share >= THIRD && best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, colour));
                }
            }
        }
        u8::try_from(best?.1).ok()
    }
}

/// A colour this near to a blend of two others is one.
const BLENDED: f32 = 4.0;
/// How much of something thin must show for it to be seen, and what it costs when it shows pale.
const THIRD: f32 = 0.33;
const PALE: f32 = 8.0;

/// Gives the share of `ink` in the blend with `ground` that is nearest to some light, and how far that is, as
/// a shade.
fn blend(light: [f32; 3], ground: [f32; 3], ink: [f32; 3]) -> (f32, f32) {
    let way: [f32; 3] = std::array::from_fn(|i| ink[i] - ground[i]);
    let length: f32 = way.iter().map(|way| way * way).sum();
    let along: f32 = (0..3).map(|i| (light[i] - ground[i]) * way[i]).sum();
    let share = (along / length.max(1e-6)).clamp(0.0, 1.0);
    (share, apart(shade(light), shade(std::array::from_fn(|i| ground[i] + share * way[i]))))
}

/// Says whether edges are hard: blends between colours no wider than a pixel or two, each `side` pixels to a
/// fine cell.
fn is_crisp((rows, columns): (usize, usize), labels: &[Label], blends: usize, side: f64) -> bool {
    let edges = (0..labels.len()).flat_map(|place| {
        let (right, below) = (place % columns + 1 < columns, place / columns + 1 < rows);
        let next = [right.then_some(place + 1), below.then_some(place + columns)];
        next.into_iter().flatten().map(move |next| (place, next))
    });
    let unlike = |&(one, other): &(usize, usize)| {
        labels[one].is_some() && labels[other].is_some() && labels[one] != labels[other]
    };
    let edge = edges.filter(unlike).count() as f64;
    blends as f64 <= edge * HARD.0.max(HARD.1 + HARD.2 / side)
}

/// Blends to one step of an edge in a crisp drawing: at least the first, or the second and so many pixels.
const HARD: (f64, f64, f64) = (1.15, 0.8, 2.0);

/// A thin colour is found on one in this many fine cells at least.
const RARE: usize = 4000;

fn shade(light: [f32; 3]) -> Shade {
    light.map(|light| 100.0 * light.max(0.0).sqrt())
}

fn apart(one: Shade, other: Shade) -> f32 {
    (0..3).map(|i| (one[i] - other[i]).abs()).fold(0.0, f32::max)
}

/// Sorts heaps, the largest first.
fn sorted(heaps: BTreeMap<[u8; 3], Heap>) -> Vec<Heap> {
    let mut heaps: Vec<Heap> = heaps.into_values().collect();
    heaps.sort_by_key(|heap| std::cmp::Reverse(heap.count));
    heaps
}

/// Adds the colours of heaps that are unlike all before them, as long as a palette has room.
fn distinct(heaps: &[Heap], colours: &mut Vec<Colour>) {
    for colour in heaps.iter().map(|heap| heap.colour()) {
        let new = colours.iter().all(|known| apart(known.shade, colour.shade) > SAME);
        if new && colours.len() < Palette::LIMIT {
            colours.push(colour);
        }
    }
}

/// Gives the nearest of some colours, the first of equals.
fn nearest(shade: Shade, colours: &[Colour], among: impl Iterator<Item = usize>) -> Label {
    let away = |&place: &usize| apart(colours[place].shade, shade);
    let best = among.min_by(|one, other| away(one).total_cmp(&away(other)).then(one.cmp(other)))?;
    u8::try_from(best).ok()
}

/// Gives which of some colours a blend is most of: the nearest by plain light, of which a blend is the mean.
fn most_of(light: [f32; 3], colours: &[Colour], among: impl Iterator<Item = usize>) -> Label {
    let square =
        |i: usize, place: usize| (colours[place].light[i] - light[i]) * (colours[place].light[i] - light[i]);
    let away = |&place: &usize| (0..3).map(|i| square(i, place)).sum::<f32>();
    let best = among.min_by(|one, other| away(one).total_cmp(&away(other)).then(one.cmp(other)))?;
    u8::try_from(best).ok()
}

/// Finds what is thin: no square of one label with `reach` places to each side covers it.
fn thin((rows, columns): (usize, usize), labels: &[Label], reach: usize) -> Vec<bool> {
    let size = labels.len();
    // along rows, then along columns: whether all within reach have the label of the middle
    let within = |place: usize, step: usize, at: usize, length: usize, good: &dyn Fn(usize) -> bool| {
        at >= reach
            && at + reach < length
            && (place - reach * step..=place + reach * step).step_by(step).all(good)
    };
    let row: Vec<bool> = (0..size)
        .map(|place| within(place, 1, place % columns, columns, &|next| labels[next] == labels[place]))
        .collect();
    let square: Vec<bool> = (0..size)
        .map(|place| {
            let good = |next: usize| row[next] && labels[next] == labels[place];
            within(place, columns, place / columns, rows, &good)
        })
        .collect();
    let near = |good: &[bool], step: usize, at: &dyn Fn(usize) -> (usize, usize)| -> Vec<bool> {
        let any = |place: usize| {
            let (here, length) = at(place);
            let (before, after) = (here.min(reach), (length - 1 - here).min(reach));
            (place - before * step..=place + after * step).step_by(step).any(|next| good[next])
        };
        (0..size).map(any).collect()
    };
    let covered = near(&square, 1, &|place| (place % columns, columns));
    let covered = near(&covered, columns, &|place| (place / columns, rows));
    let thin = |place: usize| labels[place].is_some() && !covered[place];
    // The rim of a round shape is no thing of its own: that reaches out, or stands alone.
    let value = |place: usize| labels[place].filter(|_| thin(place));
    let (part_of, count) = connected(rows, columns, value);
    let mut whole = vec![false; count];
    for place in (0..size).filter(|&place| thin(place)) {
        let body = |next: usize| covered[next] && labels[next] == labels[place];
        whole[part_of[place]] |= !around((rows, columns), place, reach + 1).any(body);
    }
    (0..size).map(|place| thin(place) && whole[part_of[place]]).collect()
}

/// Gives the places within `reach` of one, row by row.
fn around((rows, columns): (usize, usize), place: usize, reach: usize) -> impl Iterator<Item = usize> {
    let (row, column) = (place / columns, place % columns);
    let across = column.saturating_sub(reach)..=(column + reach).min(columns - 1);
    let down = row.saturating_sub(reach)..=(row + reach).min(rows - 1);
    down.flat_map(move |row| across.clone().map(move |column| row * columns + column))
}

/// Moves lines that run along the outside of the painted cells into these.
fn move_in(layout: Layout, parts: &mut [Vec<Part>], painted: &[bool]) {
    for place in (0..parts.len()).filter(|&place| !painted[place]) {
        for line in parts[place].clone().into_iter().filter(|part| part.middle > 0) {
            let inside = neighbours(layout.rows, layout.columns, place).filter(|&next| painted[next]);
            let area =
                |next: usize| parts[next].iter().find(|part| part.label == line.label).map(|part| part.area);
            let best = inside.filter_map(|next| Some((area(next)?, std::cmp::Reverse(next)))).max();
            let Some((_, std::cmp::Reverse(next))) = best else { continue };
            if let Some(part) = parts[next].iter_mut().find(|part| part.label == line.label) {
                part.middle += line.middle;
            }
        }
    }
}
