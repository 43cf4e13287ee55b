//! The wall map: the wall to scale, what of it is taken, and where every figure and its fixings are.

use super::Book;
use crate::colour::Rgb;
use crate::length::{Area, Length, Place, Ratio, System};
use crate::plan::{Ending, Plan};
use crate::sheet::book::CORK;
use crate::sheet::draw::{Draw, Line, Path};
use crate::sheet::figure::{Lattice, boundaries, fills};
use crate::sheet::page::{Flow, HAIR, INK, Leaf, QUIET, RULE, WASH};
use crate::sheet::table::{Column, Entry, table};
use crate::sheet::text::{CODE, CODE_BOLD, Style};
use crate::sheet::words::kept;
use crate::wall::{Placed, Placing, Taken};

/// How far the lines of a hatching are apart, and half the arm of a fixing's cross.
const HATCH: Length = Length::from_units(Length::PT.units() * 6);
const ARM: Length = Length::from_units(Length::PT.units() * 5 / 2);
/// Room for the scale along the top and the left side.
const SCALE: Length = Length::from_units(Length::PT.units() * 34);
/// A dash of the line at the height of the eyes, and the way to the next.
const DASH: Length = Length::from_units(Length::PT.units() * 4);
const NEXT: Length = Length::from_units(Length::PT.units() * 9);
/// The least room between two lines of the scale.
const APART: Length = Length::from_units(Length::PT.units() * 36);

pub(super) fn leaves(book: Book<'_>) -> Vec<Leaf> {
    let Some(placing) = book.wall.placing() else { return Vec::new() };
    let press = book.press;
    let mut flow = Flow::new(press, press.say("wall-map.title"));
    flow.heading(press.say("wall-map.title"));
    let near = |length: Length| kept(&book.ruler().near(length));
    let (width, height) = (near(placing.room.width), near(placing.room.height));
    let gap = near(placing.room.gap);
    flow.paragraph(&press.fill("wall-map.how", &[("width", &width), ("height", &height), ("gap", &gap)]));
    let style = press.set(Style::Table);
    let legend = style.leading() * 3;
    let room = Area::new(
        Place::new(flow.area().left(), flow.y()),
        flow.area().width,
        (flow.left_over() - legend).max(Length::INCH * 2),
    );
    let (draws, high) = drawing(book, placing, (room, true));
    flow.draws(draws);
    flow.skip(high + Length::PT * 6);
    flow.note(press.say("wall-map.legend"));
    places(&mut flow, book, placing);
    taken(&mut flow, book, &placing.room.taken);
    flow.leaves()
}

/// Lists from where to where every figure hangs, and its fixings.
fn places(flow: &mut Flow<'_>, book: Book<'_>, placing: &Placing) {
    let press = book.press;
    // The heading stays with the first rows of its table.
    flow.need(Length::PT * 170);
    flow.heading(press.say("wall-map.places"));
    flow.paragraph(press.say("wall-map.places-how"));
    let columns = [
        Column::right(press.say("wall-book.number"), 30),
        Column::left("", 6),
        Column::left(press.say("wall-book.figure"), 96),
        Column::right(press.say("wall-map.left"), 74),
        Column::right(press.say("wall-map.top"), 74),
        Column::right(press.say("wall-map.fixings-left"), 150),
        Column::right(press.say("wall-map.fixings-top"), 84),
    ];
    let near = |length: Length| kept(&book.ruler().near(length));
    let row = |(index, (placed, (figure, copy))): (usize, (&Placed, (usize, usize)))| {
        let fixings = fixings(&book.wall.figures()[figure].plan, placed);
        let across = match &*fixings {
            [] => String::new(),
            [hook] => near(hook.x),
            [left, right, ..] => {
                press.fill("wall-map.both", &[("first", &near(left.x)), ("second", &near(right.x))])
            }
        };
        let down = fixings.first().map_or_else(String::new, |place| near(place.y));
        vec![
            Entry::Strong((index + 1).to_string()),
            Entry::Words(String::new()),
            Entry::Words(book.name(figure, copy)),
            Entry::Words(near(placed.x)),
            Entry::Words(near(placed.y)),
            Entry::Words(across),
            Entry::Words(down),
        ]
    };
    let rows: Vec<Vec<Entry>> = placing.figures.iter().zip(book.wall.hung()).enumerate().map(row).collect();
    table(flow, &columns, Length::PT * 18, &rows);
}

/// Lists what is on the wall already.
fn taken(flow: &mut Flow<'_>, book: Book<'_>, taken: &[Taken]) {
    if taken.is_empty() {
        return;
    }
    let press = book.press;
    flow.heading(press.say("wall-map.taken"));
    let columns = [
        Column::left("", 30),
        Column::left(press.say("buying.what"), 160),
        Column::right(press.say("wall-map.left"), 80),
        Column::right(press.say("wall-map.top"), 80),
        Column::right(press.say("wall-map.wide"), 80),
        Column::right(press.say("wall-map.high"), 80),
    ];
    let row = |(index, taken): (usize, &Taken)| {
        let sides = [taken.x, taken.y, taken.width, taken.height];
        let sides = sides.map(|side| Entry::Words(kept(&book.ruler().near(side))));
        [vec![Entry::Strong(letter(index)), Entry::Words(taken.name.clone())], sides.to_vec()].concat()
    };
    let rows: Vec<Vec<Entry>> = taken.iter().enumerate().map(row).collect();
    table(flow, &columns, Length::PT * 18, &rows);
}

/// Gives where the fixings of a figure are on the wall: its two, else its hook.
fn fixings(plan: &Plan, placed: &Placed) -> Vec<Place> {
    let (hanging, hung) = (plan.hanging(), plan.hung());
    let at = |place: Place| Place::new(placed.x + place.x - hung.left(), placed.y + place.y - hung.top());
    // The fixings of a framed square are on its frame.
    if hanging.frame.is_some() {
        return Vec::new();
    }
    let pair = hanging.pair.map(|(left, right)| vec![at(left), at(right)]);
    pair.unwrap_or_else(|| hanging.hook.map(at).into_iter().collect())
}

/// Gives the letter of a taken place: A to Z, then AA and so on.
fn letter(index: usize) -> String {
    let last = char::from(b'A' + u8::try_from(index % 26).unwrap_or(0)).to_string();
    if index < 26 { last } else { letter(index / 26 - 1) + &last }
}

/// The wall as it lies on a page.
struct Scaled {
    corner: Place,
    /// A length on the page for one on the wall.
    by: Ratio,
}

impl Scaled {
    fn length(&self, length: Length) -> Length {
        self.ratio(length.ratio()).nearest()
    }

    fn ratio(&self, ratio: Ratio) -> Ratio {
        Ratio::new(ratio.numerator() * self.by.numerator(), ratio.denominator() * self.by.denominator())
    }

    fn place(&self, place: Place) -> Place {
        self.corner.moved(self.length(place.x), self.length(place.y))
    }

    fn area(&self, area: Area) -> Area {
        let (from, to) = (self.place(area.corner), self.place(Place::new(area.right(), area.bottom())));
        Area::new(from, to.x - from.x, to.y - from.y)
    }
}

/// Draws the wall as large as a room allows, at its top, with numbers and fixings where it is to be marked; gives how
/// high it is with its scale.
pub(super) fn drawing(
    book: Book<'_>,
    placing: &Placing,
    (room, marked): (Area, bool),
) -> (Vec<Draw>, Length) {
    let wall = placing.room.area();
    let free = Area::new(room.corner.moved(SCALE, SCALE.half()), room.width - SCALE, room.height - SCALE);
    let shrunk = |room: Length, all: Length| Ratio::new(room.units().into(), all.units().into());
    let by = shrunk(free.width, wall.width).min(shrunk(free.height, wall.height));
    let mut scaled = Scaled { corner: free.corner, by };
    scaled.corner.x += (free.width - scaled.length(wall.width)).half();
    let area = scaled.area(wall);
    let mut draws = vec![
        Draw::block(area, Rgb::WHITE),
        Draw::stroke(eye_line(area, scaled.length(placing.room.eye)), HAIR, RULE),
    ];
    for (index, taken) in placing.room.taken.iter().enumerate() {
        draws.extend(hatched(&letter(index), taken, scaled.area(taken.area())));
    }
    let hung = || placing.figures.iter().zip(book.wall.hung());
    for (placed, (figure, _)) in hung() {
        draws.extend(silhouette(&book.wall.figures()[figure].plan, placed, &scaled));
    }
    for (index, (placed, (figure, _))) in hung().enumerate().filter(|_| marked) {
        for place in fixings(&book.wall.figures()[figure].plan, placed) {
            draws.extend(cross(scaled.place(place)));
        }
        draws.extend(plate(&(index + 1).to_string(), scaled.area(placed.area())));
    }
    draws.push(Draw::frame(area, Length::PT, INK));
    draws.extend(scale(book, &scaled, wall));
    (draws, area.bottom() - room.top())
}

/// A figure in its colours with its outline.
fn silhouette(plan: &Plan, placed: &Placed, scaled: &Scaled) -> Vec<Draw> {
    let (hung, area) = (plan.hung(), scaled.area(placed.area()));
    let corner = Place::new(placed.x - hung.left(), placed.y - hung.top());
    let lattice = Lattice { origin: scaled.place(corner), pitch: scaled.ratio(plan.fit().pitch) };
    let mut draws = Vec::new();
    if plan.making().ending == Ending::WholeSquare {
        draws.push(Draw::block(area, plan.making().ground.unwrap_or(CORK)));
        draws.push(Draw::frame(area, HAIR, INK));
    }
    draws.extend(fills(plan.grid(), lattice, area, Some));
    draws.push(Draw::stroke(boundaries(plan.outline().silhouette(), lattice, area), HAIR, INK));
    draws
}

/// A number in the middle of a figure.
fn plate(words: &str, area: Area) -> Vec<Draw> {
    let (wide, high, pad) = (CODE_BOLD.width(words), CODE_BOLD.rise(), Length::tenths_pt(15));
    let middle = area.corner.moved(area.width.half(), area.height.half());
    let corner = middle.moved(-wide.half() - pad, -high.half() - pad);
    let plate = Area::new(corner, wide + pad * 2, high + pad * 2);
    let base = Place::new(plate.left() + pad, plate.bottom() - pad);
    vec![
        Draw::block(plate, Rgb::WHITE),
        Draw::frame(plate, HAIR, INK),
        Draw::Text(CODE_BOLD.at(base, words, INK)),
    ]
}

/// A small cross, dark on white, that is seen on any colour.
fn cross(at: Place) -> [Draw; 2] {
    let arm = |right: Length, down: Length| Line::open(vec![at.moved(-right, -down), at.moved(right, down)]);
    let path = Path(vec![arm(ARM, Length::ZERO), arm(Length::ZERO, ARM)]);
    [Draw::stroke(path.clone(), Length::tenths_pt(25), Rgb::WHITE), Draw::stroke(path, Length::PT, INK)]
}

/// A taken place with its letter, and its name where there is room.
fn hatched(letter: &str, taken: &Taken, area: Area) -> Vec<Draw> {
    let mut lines = Vec::new();
    let mut along = -area.height;
    while along < area.width {
        let (right, down) = (along.max(Length::ZERO), (-along).max(Length::ZERO));
        let reach = (area.width - right).min(area.height - down);
        let from = area.corner.moved(right, down);
        lines.push(Line::open(vec![from, from.moved(reach, reach)]));
        along += HATCH;
    }
    let mut draws = vec![Draw::block(area, WASH), Draw::stroke(Path(lines), HAIR, RULE)];
    draws.push(Draw::frame(area, HAIR, QUIET));
    let named = format!("{letter} {}", taken.name);
    let fits = CODE_BOLD.width(&named) + Length::PT * 6 < area.width;
    draws.extend(plate(if fits { &named } else { letter }, area));
    draws
}

/// The height of the eyes, in dashes.
fn eye_line(area: Area, down: Length) -> Path {
    let (mut lines, mut x, y) = (Vec::new(), area.left(), area.top() + down);
    while x < area.right() {
        lines.push(Line::open(vec![Place::new(x, y), Place::new((x + DASH).min(area.right()), y)]));
        x += NEXT;
    }
    Path(lines)
}

/// Lines along the top and the left side, with how far they are from the corner.
fn scale(book: Book<'_>, scaled: &Scaled, wall: Area) -> Vec<Draw> {
    let (ruler, unit, steps) = match book.plan.fit().ruler.system() {
        System::Inch => {
            (book.ruler(), "unit.in", [12, 24, 60, 120, 240, 600].map(|count| Length::INCH * count))
        }
        System::Metric => {
            (book.ruler(), "unit.mm", [200, 500, 1000, 2000, 5000, 10_000].map(|count| Length::MM * count))
        }
    };
    let step = steps.into_iter().find(|&step| scaled.length(step) >= APART).unwrap_or(steps[5]);
    let tick = Length::PT * 3;
    let lift = |along: Length| (scaled.corner.x + along, scaled.corner.y - tick);
    let mut draws = Vec::new();
    let corner = scaled.corner.moved(-tick - Length::PT, -tick - Length::PT);
    draws.push(Draw::Text(CODE.right(corner, book.press.say(unit), QUIET)));
    let mut at = step;
    while at <= wall.width.max(wall.height) {
        let (words, along) = (ruler.number(at), scaled.length(at));
        if at <= wall.width {
            let (x, y) = lift(along);
            draws.push(Draw::line(Place::new(x, y), Place::new(x, y + tick), HAIR, INK));
            draws.push(Draw::Text(CODE.centred(Place::new(x, y - Length::PT), &words, QUIET)));
        }
        if at <= wall.height {
            let end = scaled.corner.moved(-tick, along);
            draws.push(Draw::line(end, end.moved(tick, Length::ZERO), HAIR, INK));
            let base = end.moved(-Length::PT, CODE.rise().half());
            draws.push(Draw::Text(CODE.right(base, &words, QUIET)));
        }
        at += step;
    }
    draws
}
