//! The weak spots: a crop of the figure round each, the spot ringed, and what helps in plain words.

use super::draw::{Draw, Line, Page, Path};
use super::figure::{Lattice, boundaries, fills, grid_lines, within};
use super::page::{Flow, HAIR, INK, Leaf, QUIET, RULE};
use super::press::Press;
use super::sentence::{Speech, place};
use super::text::Style;
use super::told::Told;
use super::words::Language;

use crate::colour::Rgb;
use crate::grid::Grid;
use crate::length::{Area, Length, Place};
use crate::outline::{Corner, Cure, Outline, Remedy, Severity, WeakSpot, WeakSpots, Weakness, trace};
use crate::plan::{Ending, Plan};

/// More spots than this are counted and not shown.
const SHOWN: usize = 12;
/// From so many severe spots on a border round the whole figure is proposed.
const MANY: usize = 3;
/// The side of a crop, and where the words beside it begin.
const CROP: Length = Length::from_units(Length::PT.units() * 104);
const WORDS: Length = Length::from_units(Length::PT.units() * 120);
/// How many cells a crop shows round what it is about, and at least along a side.
const ROUND: usize = 3;
const FEWEST: usize = 9;
/// What lies under a mark, so that it shows on dark cells as well.
const HALO: Rgb = Rgb([0xff, 0xff, 0xff]);
const CELL: Length = Length::from_units(Length::PT.units() * 12);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    if plan.making().ending != Ending::CutOut {
        return Vec::new();
    }
    let (remedies, speech) =
        (plan.remedies(), Speech::new(plan.grid(), Some(plan.fit().ruler), press.language));
    let helps = |spot: &WeakSpot| remedies.iter().any(|remedy| remedy.spot.as_ref() == Some(spot));
    let mut spots = plan.weak_spots().worst_first();
    // A loose part without a remedy of its own is joined by filling a corner.
    spots.retain(|spot| spot.weakness != Weakness::Island || helps(spot));
    if spots.is_empty() {
        return Vec::new();
    }
    let mut flow = Flow::new(press, press.say("weak.title"));
    flow.heading(press.say("weak.title"));
    flow.paragraph(press.say("weak.how"));
    flow.item("!", press.say("weak.care"));
    flow.item("!", if plan.making().backing { press.say("weak.card") } else { press.say("weak.no-card") });
    flow.skip(Length::PT * 6);
    for (number, spot) in (1..).zip(spots.iter().copied().take(SHOWN)) {
        let own: Vec<&Remedy> = remedies.iter().filter(|remedy| remedy.spot.as_ref() == Some(spot)).collect();
        entry(&mut flow, plan, (number, spot, &own), &speech);
    }
    if spots.len() > SHOWN {
        flow.paragraph(&press.tell("weak.more", spots.len() - SHOWN, &[]));
    }
    // A border changes the look of the whole figure: it is worth that where much is weak.
    let severe = spots.iter().filter(|spot| spot.severity() == Severity::Severe).count();
    let border = remedies.iter().find(|remedy| remedy.cure == Cure::Border && severe >= MANY);
    if let Some(border) = border {
        flow.paragraph(&press.fill("weak.or", &[("remedy", &speech.remedy(border))]));
    }
    flow.leaves()
}

fn entry(
    flow: &mut Flow<'_>,
    plan: &Plan,
    (number, spot, remedies): (usize, &WeakSpot, &[&Remedy]),
    speech: &Speech,
) {
    let press = flow.press();
    let room = flow.area().width - WORDS;
    let grade = if spot.severity() == Severity::Severe {
        press.say("weak.severe")
    } else {
        press.say("weak.caution")
    };
    let at = place(&spot.cells, press.language);
    let head = press.fill("weak.head", &[("number", &number), ("place", &at), ("grade", &grade)]);
    let mut said = vec![press.fill("weak.told", &[("place", &at), ("grade", &grade)])];
    let mut lines = vec![(press.set(Style::TableHead), head)];
    let mut say_more = |style: Style, words: String| {
        said.push(words.clone());
        let style = press.set(style);
        lines.extend(style.wrap(&words, room).into_iter().map(|line| (style, line)));
    };
    say_more(Style::Body, speech.spot(spot));
    for (turn, remedy) in remedies.iter().enumerate() {
        let words = speech.remedy(remedy);
        say_more(Style::Body, if turn == 0 { words } else { press.fill("weak.or", &[("remedy", &words)]) });
    }
    let height: Length = lines.iter().map(|(style, _)| style.leading()).sum();
    let height = height.max(CROP) + Length::PT * 12;
    flow.need(height);
    flow.tell(Told::item(&format!("{number}."), &said.join(" ")));
    let corner = Place::new(flow.area().left(), flow.y());
    let first = remedies.first().copied();
    for draw in crop(plan.grid(), plan.outline(), (spot, first), Area::new(corner, CROP, CROP)) {
        flow.draw(draw);
    }
    let mut base = corner.y;
    for (style, line) in lines {
        base += style.leading();
        flow.draw(Draw::Text(style.at(Place::new(corner.x + WORDS, base - Length::PT * 2), line, INK)));
    }
    flow.skip(height);
}

/// Draws the cells round a spot in their colours, what a remedy changes, and the ring.
fn crop(
    grid: &Grid,
    outline: &Outline,
    (spot, remedy): (&WeakSpot, Option<&Remedy>),
    room: Area,
) -> Vec<Draw> {
    let cells = spot.cells.iter().chain(remedy.iter().flat_map(|remedy| &remedy.cells));
    let (mut low, mut high) = ((usize::MAX, usize::MAX), (0, 0));
    for &(row, column) in cells {
        low = (low.0.min(row), low.1.min(column));
        high = (high.0.max(row), high.1.max(column));
    }
    let side = (high.0 - low.0).max(high.1 - low.1) + 1 + 2 * ROUND;
    let side = side.max(FEWEST);
    let pitch = room.width.ratio().over(side);
    // The middle of the spot goes to the middle of the crop.
    let start = |low: usize, high: usize, edge: Length| {
        edge + (room.width - pitch.times(low + high + 1).nearest()).half()
    };
    let origin = Place::new(start(low.1, high.1, room.left()), start(low.0, high.0, room.top()));
    let lattice = Lattice { origin, pitch };
    let mut draws = fills(grid, lattice, room, Some);
    draws.push(Draw::stroke(grid_lines(grid, lattice, room), Length::tenths_pt(3), RULE));
    draws.push(Draw::stroke(boundaries(outline.silhouette(), lattice, room), Length::PT, INK));
    draws.extend(remedy.into_iter().flat_map(|remedy| signs(remedy, lattice)));
    draws.extend(haloed(ring(spot, lattice, room), Length::tenths_pt(14)));
    draws.push(Draw::frame(room, HAIR, QUIET));
    draws
}

/// Draws a plus into each cell that is added, and a cross into each that goes.
fn signs(remedy: &Remedy, lattice: Lattice) -> Vec<Draw> {
    let arm = Length::from_units(lattice.pitch.nearest().units() * 3 / 10);
    let lines = remedy.cells.iter().flat_map(|&(row, column)| {
        let area = lattice.cells(row, (column, column + 1));
        let middle = area.corner.moved(area.width.half(), area.height.half());
        let arms = match remedy.colour {
            Some(_) => [(arm, Length::ZERO), (Length::ZERO, arm)],
            None => [(arm, arm), (arm, -arm)],
        };
        arms.map(|(right, down)| line(middle.moved(-right, -down), middle.moved(right, down)))
    });
    haloed(Path(lines.collect()), Length::tenths_pt(12))
}

fn line(from: Place, to: Place) -> Line {
    Line { places: vec![from, to], closed: false }
}

pub(super) fn haloed(path: Path, width: Length) -> Vec<Draw> {
    vec![Draw::stroke(path.clone(), width * 2, HALO), Draw::stroke(path, width, INK)]
}

/// Runs round a spot: a circle about a corner, a frame about cells.
fn ring(spot: &WeakSpot, lattice: Lattice, room: Area) -> Path {
    let pitch = lattice.pitch.nearest();
    if let Weakness::CornerJoint { corner } = spot.weakness {
        return circle(lattice.place(corner), Length::from_units(pitch.units() * 4 / 3));
    }
    let rows = spot.cells.iter().map(|cell| cell.0);
    let columns = spot.cells.iter().map(|cell| cell.1);
    let (top, bottom) = (rows.clone().min().unwrap_or(0), rows.max().unwrap_or(0) + 1);
    let (left, right) = (columns.clone().min().unwrap_or(0), columns.max().unwrap_or(0) + 1);
    let from = lattice.place(Corner { row: top, column: left });
    let to = lattice.place(Corner { row: bottom, column: right });
    let out = Length::from_units(pitch.units() * 2 / 5);
    let area = Area::new(from, to.x - from.x, to.y - from.y).inset(-out);
    within(area, room.inset(Length::PT * 2)).map(Path::area).unwrap_or_default()
}

/// Draws a circle as a polygon of so many sides that nobody sees them.
fn circle(middle: Place, radius: Length) -> Path {
    const SIDES: u32 = 32;
    let places = (0..SIDES).map(|side| {
        let (sine, cosine) = libm::sincos(std::f64::consts::TAU * f64::from(side) / f64::from(SIDES));
        #[expect(clippy::cast_possible_truncation, reason = "within a page")]
        let part = |share: f64| Length::from_units((radius.units() as f64 * share).round() as i64);
        middle.moved(part(cosine), part(sine))
    });
    Path(vec![Line { places: places.collect(), closed: true }])
}

/// Rings all weak spots, the worst on top.
pub(super) fn ringed(spots: &WeakSpots, lattice: Lattice, window: Area) -> Vec<Draw> {
    let spots = spots.worst_first().into_iter().rev();
    spots.flat_map(|spot| haloed(ring(spot, lattice, window), Length::tenths_pt(16))).collect()
}

/// Draws a grid with all its weak spots ringed.
pub fn marked(grid: &Grid, spots: &WeakSpots) -> Page {
    let lattice = Lattice { origin: Place::new(CELL, CELL), pitch: CELL.ratio() };
    let (width, height) = (lattice.x(grid.columns()) + CELL, lattice.y(grid.rows()) + CELL);
    let window = Area::new(Place::default(), width, height);
    let mut draws = vec![Draw::block(window, HALO)];
    draws.extend(fills(grid, lattice, window, Some));
    draws.push(Draw::stroke(boundaries(trace(grid).silhouette(), lattice, window), Length::PT, INK));
    draws.extend(ringed(spots, lattice, window));
    Page { width, height, title: Language::default().say("weak.title").to_owned(), draws }
}
