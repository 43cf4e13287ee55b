//! Where each figure hangs on a wall.

use serde::{Deserialize, Serialize};

use super::rectangles::largest;
use super::room::Room;
use super::spread::{Piece, Spread};
use crate::fault::{Error, Result, Watch};
use crate::length::{Area, Length, Place, Ratio, Ruler};
use crate::panel::Pitches;

/// A figure that is to hang.
#[derive(Debug, Clone, PartialEq)]
pub struct Hung {
    /// What messages call it.
    pub name: String,
    /// The width of the smallest box round it.
    pub width: Length,
    /// The height of that box.
    pub height: Length,
    /// What it weighs, in grams: what is balanced.
    pub grams: f64,
    /// Whether it hangs already: others are in its way, never it in theirs.
    pub hangs: bool,
    /// Where its top-left corner is by hand, from the left and the top of the wall; none lets it be anywhere.
    pub at: Option<(Length, Length)>,
}

/// A figure with its place on the wall.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Placed {
    /// What messages call it.
    pub name: String,
    /// From the left edge of the wall to its left side.
    pub x: Length,
    /// From the top edge of the wall to its top side.
    pub y: Length,
    /// Its width.
    pub width: Length,
    /// Its height.
    pub height: Length,
    /// What it weighs, in grams.
    pub grams: f64,
    /// Whether its place was set by hand.
    pub by_hand: bool,
}

impl Placed {
    /// Gives its box on the wall.
    pub fn area(&self) -> Area {
        Area::new(Place::new(self.x, self.y), self.width, self.height)
    }
}

/// A wall with its figures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Placing {
    /// The wall.
    pub room: Room,
    /// The figures in the order in which they were given.
    pub figures: Vec<Placed>,
}

/// Finds a place for every figure: hand-set ones stay where they are, the others gather round the middle of the
/// wall at the height of the eyes, in balance, a gap apart, at whole steps from the top-left corner.
///
/// # Errors
/// [`Error::Placing`] when a hand-set figure lies off the wall or on something else, and when some find no place;
/// [`Error::Length`] for a wall, gap or figure without size; [`Error::Stopped`] when the watcher asks to stop.
pub fn place(room: Room, figures: &[Hung], watch: &dyn Watch) -> Result<Placing> {
    match attempt(&room, figures, watch)? {
        Try::Placed(placing) => Ok(placing),
        Try::Misfits(_, error) => Err(error),
    }
}

/// What came of placing: figures with their places, or those that cannot hang and why.
pub(super) enum Try {
    Placed(Placing),
    Misfits(Vec<usize>, Error),
}

/// Finds places as [`place`] does, and tells which figures cannot hang.
///
/// # Errors
/// [`Error::Length`] and [`Error::Stopped`] as [`place`], and [`Error::Placing`] for a bad wall.
pub(super) fn attempt(room: &Room, figures: &[Hung], watch: &dyn Watch) -> Result<Try> {
    room.check()?;
    for figure in figures {
        figure.width.positive("width of a figure")?;
        figure.height.positive("height of a figure")?;
    }
    if let Some((misfit, error)) = misplaced(room, figures) {
        return Ok(Try::Misfits(vec![misfit], error));
    }
    let pieces: Vec<Piece> = figures.iter().filter(|figure| figure.at.is_none()).map(piece).collect();
    let mut found = spots(room, &pieces, figures, watch)?.into_iter();
    let places: Vec<Option<Place>> =
        figures.iter().map(|figure| set(figure).map(|area| area.corner).or_else(|| found.next()?)).collect();
    if places.contains(&None) {
        let misfits = (0..figures.len()).filter(|&place| places[place].is_none()).collect();
        return Ok(Try::Misfits(misfits, no_room(room, figures, (&pieces, &places), watch)?));
    }
    let placed = |(figure, place): (&Hung, Place)| Placed {
        name: figure.name.clone(),
        x: place.x,
        y: place.y,
        width: figure.width,
        height: figure.height,
        grams: figure.grams,
        by_hand: figure.at.is_some(),
    };
    let figures = figures.iter().zip(places.into_iter().flatten()).map(placed).collect();
    Ok(Try::Placed(Placing { room: room.clone(), figures }))
}

impl Placing {
    /// Adds up what all weigh, in grams.
    pub fn grams(&self) -> f64 {
        self.figures.iter().map(|figure| figure.grams).sum()
    }

    /// Gives how far the weight of all is right of the middle of the wall, and below the height of the eyes, in mm.
    pub fn off_balance(&self) -> (f64, f64) {
        let sum = |off: &dyn Fn(&Placed) -> f64| {
            self.figures.iter().map(|figure| off(figure) * mass(figure.grams)).sum::<f64>()
        };
        let all: f64 = self.figures.iter().map(|figure| mass(figure.grams)).sum();
        let across = sum(&|figure| (figure.x * 2 + figure.width - self.room.width).mm() / 2.0);
        let down = sum(&|figure| (figure.y * 2 + figure.height - self.room.eye * 2).mm() / 2.0);
        if all > 0.0 { (across / all, down / all) } else { (0.0, 0.0) }
    }

    /// Gives the free places that keep the gap from everything, the largest first, until a side would be shorter
    /// than `smallest`. They do not overlap.
    pub fn gaps(&self, smallest: Length) -> Vec<Area> {
        let gap = self.room.gap;
        let free = self.room.area().inset(gap);
        let grown = |area: Area| area.inset(-gap);
        let mut blocked: Vec<Area> = self.room.taken.iter().map(|taken| grown(taken.area())).collect();
        blocked.extend(self.figures.iter().map(|figure| grown(figure.area())));
        let mut gaps = Vec::new();
        while let Some(found) = widest(free, &blocked, smallest) {
            // The next one keeps the gap from this one too.
            blocked.push(grown(found));
            gaps.push(found);
        }
        gaps
    }
}

/// Gives the largest friendly pitch of a ruler at which so many columns and rows fit into a free place.
pub fn fits(gap: Area, (columns, rows): (usize, usize), ruler: Ruler) -> Option<Ratio> {
    let room = gap.width.ratio().over(columns.max(1)).min(gap.height.ratio().over(rows.max(1)));
    // A ruler always has a list.
    Pitches::Friendly.largest(ruler, room, |pitch| pitch <= room).ok().flatten()
}

/// Finds the largest free rectangle of an area whose sides are long enough.
fn widest(free: Area, blocked: &[Area], smallest: Length) -> Option<Area> {
    // Every largest rectangle has its sides on these lines.
    let lines = |from: Length, to: Length, edges: &dyn Fn(&Area) -> [Length; 2]| {
        let inside = blocked.iter().flat_map(edges).filter(|&at| from < at && at < to);
        let mut lines: Vec<Length> = inside.chain([from, to]).collect();
        lines.sort_unstable();
        lines.dedup();
        lines
    };
    if free.width <= Length::ZERO || free.height <= Length::ZERO {
        return None;
    }
    let across = lines(free.left(), free.right(), &|area| [area.left(), area.right()]);
    let down = lines(free.top(), free.bottom(), &|area| [area.top(), area.bottom()]);
    let over = |column: usize, row: usize, area: &Area| {
        area.left() <= across[column]
            && across[column] < area.right()
            && area.top() <= down[row]
            && down[row] < area.bottom()
    };
    let columns = across.len() - 1;
    let places = (0..down.len() - 1).flat_map(|row| (0..columns).map(move |column| (column, row)));
    let taken: Vec<bool> =
        places.map(|(column, row)| blocked.iter().any(|area| over(column, row, area))).collect();
    let rectangle = |(left, right): (usize, usize), (top, bottom): (usize, usize)| {
        let corner = Place::new(across[left], down[top]);
        Area::new(corner, across[right] - corner.x, down[bottom] - corner.y)
    };
    let worth = |across, down| {
        let area = rectangle(across, down);
        // In square hundredths of a millimetre, which no wall is too large for.
        let side = |length: Length| length.units() / Length::hundredths_mm(1).units();
        if area.width.min(area.height) < smallest { 0 } else { side(area.width) * side(area.height) }
    };
    largest(&taken, columns, worth).map(|(across, down)| rectangle(across, down))
}

/// What is balanced: figures of no weight count as the lightest.
fn mass(grams: f64) -> f64 {
    if grams.is_finite() { grams.max(1.0) } else { 1.0 }
}

fn piece(figure: &Hung) -> Piece {
    Piece { width: figure.width, height: figure.height, mass: mass(figure.grams) }
}

fn set(figure: &Hung) -> Option<Area> {
    figure.at.map(|(x, y)| Area::new(Place::new(x, y), figure.width, figure.height))
}

fn spots(room: &Room, pieces: &[Piece], figures: &[Hung], watch: &dyn Watch) -> Result<Vec<Option<Place>>> {
    let hung: Vec<(Area, f64)> =
        figures.iter().filter_map(|figure| Some((set(figure)?, mass(figure.grams)))).collect();
    Spread::new(room, pieces, &hung).find(watch)
}

/// Finds a hand-set figure that is off the wall, or on a taken place or another figure, and says so.
fn misplaced(room: &Room, figures: &[Hung]) -> Option<(usize, Error)> {
    let mut order: Vec<usize> = (0..figures.len()).collect();
    order.sort_by_key(|&place| !figures[place].hangs);
    let set: Vec<(usize, &str, Area)> = order
        .into_iter()
        .filter_map(|place| Some((place, &*figures[place].name, set(&figures[place])?)))
        .collect();
    set.iter().enumerate().find_map(|(index, &(place, name, area))| {
        if !room.area().contains(area) {
            return Some((place, beyond(room, name, area)));
        }
        let taken = room.taken.iter().map(|taken| (&*taken.name, taken.area()));
        let before = set[..index].iter().map(|&(_, name, area)| (name, area));
        let (other, there) = before.chain(taken).find(|other| overlap(area, other.1))?;
        let what = format!("{name} hangs over {other}");
        let remedy = format!(
            "{name} spans {}, {other} spans {}: move one of them, or let {name} hang anywhere.",
            span(area),
            span(there)
        );
        Some((place, Error::Placing { what, remedy }))
    })
}

fn beyond(room: &Room, name: &str, area: Area) -> Error {
    Error::Placing {
        what: format!(
            "{name}, {} × {} at {} and {}, goes beyond the wall of {} × {}",
            area.width,
            area.height,
            area.left(),
            area.top(),
            room.width,
            room.height
        ),
        remedy:
            "Places are measured from the top-left corner of the wall to that of the figure: give it a place \
                 inside, or \"anywhere\"."
                .into(),
    }
}

fn overlap(one: Area, two: Area) -> bool {
    one.left() < two.right()
        && two.left() < one.right()
        && one.top() < two.bottom()
        && two.top() < one.bottom()
}

fn span(area: Area) -> String {
    format!("{} to {} across and {} to {} down", area.left(), area.right(), area.top(), area.bottom())
}

/// Says which figures found no place, and how much wider a wall would do.
fn no_room(
    room: &Room,
    figures: &[Hung],
    (pieces, places): (&[Piece], &[Option<Place>]),
    watch: &dyn Watch,
) -> Result<Error> {
    let left: Vec<&Hung> =
        figures.iter().zip(places).filter(|(_, place)| place.is_none()).map(|(figure, _)| figure).collect();
    let names = left.iter().map(|figure| &*figure.name).collect::<Vec<_>>().join(", ");
    let what = format!("there is no room on the wall for {names}");
    let high = |figure: &&&Hung| figure.height + room.gap * 2 > room.height;
    if let Some(figure) = left.iter().find(high) {
        let remedy = format!(
            "{} is {} high, and the wall of {} leaves {} between gaps of {}: make its cells smaller, or the gap.",
            figure.name,
            figure.height,
            room.height,
            room.height - room.gap * 2,
            room.gap
        );
        return Ok(Error::Placing { what, remedy });
    }
    // Side by side at the right of the wall they fit for sure; the least that does is looked for by halves.
    let wide = |figure: &&Hung| (figure.width + room.gap).units() / room.step.units() + 1;
    let (mut short, mut enough) = (0, left.iter().map(wide).sum::<i64>() + 1);
    while enough - short > 1 {
        let wider = i64::midpoint(short, enough);
        let wall = Room { width: room.width + room.step * wider, ..room.clone() };
        if spots(&wall, pieces, figures, watch)?.contains(&None) { short = wider } else { enough = wider }
    }
    let remedy = format!(
        "On a wall {} wider all would hang: make cells or the gap of {} smaller, free some of the wall, or leave \
         some out.",
        room.step * enough,
        room.gap
    );
    Ok(Error::Placing { what, remedy })
}
