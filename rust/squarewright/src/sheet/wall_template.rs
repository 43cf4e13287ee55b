//! The paper template for the wall: the upper part of the piece at true size, with a cross for every fixing.
//!
//! Only the band from the top of the piece to below its lowest fixing is printed: that is all the wall needs,
//! and large figures would take dozens of pages.

use super::backing::fixing;
use super::draw::{Draw, Line, Path};
use super::face::Face;
use super::figure::{Lattice, boundaries, line_within, within};
use super::page::{Flow, HAIR, INK, Leaf, QUIET};
use super::press::Press;
use super::text::Style;
use super::tiled::Tiled;
use super::words::kept;
use crate::colour::Rgb;
use crate::length::{Area, Length, Place, System};
use crate::plan::Plan;

/// How far the template goes on below the lowest fixing.
const BELOW: Length = Length::INCH;
/// A dash of the middle line, and the way from one to the next.
const DASH: Length = Length::from_units(Length::PT.units() * 6);
const NEXT: Length = Length::from_units(Length::PT.units() * 10);
/// The arrow that points up: half its width, its head, its height.
const ARROW: (Length, Length, Length) = (
    Length::from_units(Length::PT.units() * 9),
    Length::from_units(Length::PT.units() * 14),
    Length::from_units(Length::PT.units() * 34),
);
/// How far the arrow keeps from the sides of a page's drawing, where the registration marks are.
const EDGE: Length = Length::from_units(Length::PT.units() * 18);

/// Half the room that a cross takes with its name.
const LABEL: Length = Length::from_units(Length::PT.units() * 24);

/// One way to hang it: a key for its cross, and its places on the figure.
type Way = (&'static str, Vec<Place>);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let hanging = plan.hanging();
    // A framed square hangs by its frame, and no two frames are alike.
    if hanging.frame.is_some() {
        return Vec::new();
    }
    let ways: Vec<Way> = [
        ("backing.hook", hanging.hook.into_iter().collect::<Vec<_>>()),
        ("backing.fixing", hanging.pair.into_iter().flat_map(|(left, right)| [left, right]).collect()),
    ]
    .into_iter()
    .filter(|(_, places)| !places.is_empty())
    .collect();
    let Some(lowest) = ways.iter().flat_map(|(_, places)| places).map(|place| place.y).max() else {
        return Vec::new();
    };
    let (hung, pitch) = (plan.hung(), plan.fit().pitch);
    let reach = (lowest - hung.top() + BELOW).min(hung.height);
    let whole = usize::try_from(reach.ratio().holds(pitch)).unwrap_or(0);
    let rows = whole + usize::from(pitch.times(whole).nearest() < reach);
    let columns = usize::try_from(hung.width.ratio().holds(pitch)).unwrap_or(1);
    let columns = columns + usize::from(pitch.times(columns).nearest() < hung.width);
    let draw = |corner: Place, window: Area| {
        let origin = corner.moved(-hung.left(), -hung.top());
        drawing(press, plan, &ways, (origin, window))
    };
    let part = if reach < hung.height { press.say("wall.part") } else { "" };
    let tiled = Tiled {
        title: press.say("wall.title"),
        stamp: press.say("wall.stamp").to_owned(),
        note: format!("{} {part}", press.say("wall.page")),
        face: Face::Front,
        first: None,
        cells: (columns, rows),
        pitch,
        draw: &draw,
    };
    let mut leaves = words(press, plan);
    leaves.extend(tiled.leaves(press));
    leaves
}

/// Says how the template is used, and where the crosses are, for those who would rather measure.
fn words(press: &Press, plan: &Plan) -> Vec<Leaf> {
    let mut flow = Flow::new(press, press.say("wall.title"));
    flow.heading(press.say("wall.title"));
    for key in ["wall.join", "wall.tape", "wall.level", "wall.mark", "wall.raise", "wall.off"] {
        flow.ticked(press.say(key));
    }
    let (hanging, hung, ruler) = (plan.hanging(), plan.hung(), press.ruler(plan));
    let text = |length: Length| kept(&ruler.near(length));
    let (across, down) = (|at: Place| text(at.x - hung.left()), |at: Place| text(at.y - hung.top()));
    flow.heading(press.say("wall.measured"));
    if let Some(hook) = hanging.hook {
        flow.paragraph(&press.fill("wall.hook", &[("x", &across(hook)), ("y", &down(hook))]));
    }
    if let Some((left, right)) = hanging.pair {
        let apart = text(right.x - left.x);
        flow.paragraph(&press.fill(
            "wall.pair",
            &[("first", &across(left)), ("second", &across(right)), ("y", &down(left)), ("apart", &apart)],
        ));
    }
    // The middle of a picture at the eyes of people who stand: 57 in or 145 cm (common practice).
    let eye = match plan.fit().ruler.system() {
        System::Inch => Length::inches(57, 1),
        System::Metric => Length::MM * 1450,
    };
    if let Some(at) = hanging.hook.or(hanging.pair.map(|(left, _)| left)) {
        let height = eye + hung.height.half() - (at.y - hung.top());
        flow.paragraph(&press.fill("wall.height", &[("eye", &text(eye)), ("height", &text(height))]));
    }
    for key in ["hanging.safe-wall", "hanging.safe-strips", "hanging.safe-place"] {
        flow.item("!", press.say(key));
    }
    flow.leaves()
}

/// Draws outline, middle, level, fixings and arrow when the top-left corner of the grid lies at `origin`.
fn drawing(press: &Press, plan: &Plan, ways: &[Way], (origin, window): (Place, Area)) -> Vec<Draw> {
    let lattice = Lattice { origin, pitch: plan.fit().pitch };
    let mut draws = vec![Draw::Layer("outline")];
    let outline = boundaries(plan.outline().silhouette(), lattice, window);
    draws.extend([Draw::stroke(outline.clone(), Length::tenths_pt(14), INK), Draw::EndLayer]);
    let lines = [outline];
    let hung = plan.hung();
    let middle = origin.x + hung.left() + hung.width.half();
    draws.push(Draw::stroke(dashes(middle, origin.y + hung.top(), window), HAIR, QUIET));
    let on_page = |place: &Place| origin.moved(place.x, place.y);
    let mut crosses = Vec::new();
    for (key, places) in ways {
        for place in places.iter().map(on_page) {
            let (from, to) = (Place::new(window.left(), place.y), Place::new(window.right(), place.y));
            let level = line_within(from, to, window).map(|(from, to)| Draw::line(from, to, HAIR, QUIET));
            draws.extend(level);
            draws.extend(fixing(place, press.say(key), &lines, window));
            crosses.push(place);
        }
    }
    draws.extend(arrow(press, plan, lattice, (&crosses, window)));
    draws
}

/// Draws an upright line in dashes that go on from page to page.
fn dashes(x: Length, top: Length, window: Area) -> Path {
    let mut lines = Vec::new();
    let mut y = top;
    while y < window.bottom() {
        let dash = line_within(Place::new(x, y), Place::new(x, y + DASH), window);
        lines.extend(dash.map(|(from, to)| Line { places: vec![from, to], closed: false }));
        y += NEXT;
    }
    Path(lines)
}

/// Draws the arrow to the top where it is in nobody's way, if there is such a place.
fn arrow(press: &Press, plan: &Plan, lattice: Lattice, (crosses, window): (&[Place], Area)) -> Vec<Draw> {
    let (half, head, height) = ARROW;
    let style = press.set(Style::Heading);
    let words = press.say("wall.top");
    let wide = style.width(words).max(half * 2) + Length::PT * 8;
    let size = (wide, height + style.leading() + Length::PT * 12);
    let hung = plan.hung();
    let middle = lattice.origin.x + hung.left() + hung.width.half();
    // A cross is named at its right.
    let off = |cross: &Place, area: Area| {
        let named = Area::new(cross.moved(-LABEL.half(), -LABEL.half()), LABEL * 2, LABEL);
        within(named, area).is_none()
    };
    let free = |area: Area| {
        let beside = |x: Length| x < area.left() || x > area.right();
        boundaries(plan.outline().silhouette(), lattice, area).0.is_empty()
            && beside(middle)
            && crosses.iter().all(|cross| off(cross, area))
    };
    let level = |area: Area| crosses.iter().all(|cross| cross.y < area.top() || cross.y > area.bottom());
    let room = Area::new(window.corner, window.width - size.0, window.height - size.1).inset(EDGE);
    let steps = |from: Length, to: Length| {
        let step = Length::PT * 12;
        (0..=(to - from).units().max(-1) / step.units()).map(move |count| from + step * count)
    };
    let corners = steps(room.top(), room.bottom())
        .flat_map(|y| steps(room.left(), room.right()).map(move |x| Place::new(x, y)));
    let areas: Vec<Area> = corners.map(|corner| Area::new(corner, size.0, size.1)).collect();
    // Where every place is taken it may hide a bit of a level line.
    let place =
        areas.iter().find(|&&area| free(area) && level(area)).or(areas.iter().find(|&&area| free(area)));
    let Some(&area) = place else { return Vec::new() };
    let tip = area.corner.moved(area.width.half(), Length::PT * 6);
    let stem = Length::from_units(half.units() * 2 / 5);
    let corners = [(0, 0), (1, 1), (2, 1), (2, 2), (-2, 2), (-2, 1), (-1, 1)];
    let across = |step: i64| if step.abs() == 2 { stem * step.signum() } else { half * step };
    let down = |step: i64| [Length::ZERO, head, height][usize::try_from(step).unwrap_or(0)];
    let places = corners.map(|(x, y)| tip.moved(across(x), down(y))).to_vec();
    let arrow = Draw::Fill { path: Path(vec![Line { places, closed: true }]), rgb: INK };
    let words = style.centred(tip.moved(Length::ZERO, height + style.leading()), words, INK);
    vec![Draw::block(area, Rgb::WHITE), arrow, Draw::Text(words)]
}
