//! The card at true size: from behind, for tracing on its back, and from the front where sheets for transferring
//! are asked for.

use super::cutting_plan::dashes;
use super::draw::{Draw, Line, Path};
use super::face::{Face, sign};
use super::page::{HAIR, INK, Leaf, QUIET, WASH};
use super::press::Press;
use super::text::CODE;
use super::tiled::Tiled;
use super::words::kept;
use crate::cut::Backing;
use crate::length::{Area, Length, Place};
use crate::outline::Contour;
use crate::plan::{Ending, Plan};

/// The arm of the cross of a fixing.
const ARM: Length = Length::from_units(Length::PT.units() * 7);
/// A step of the sign that tells front from back.
const STEP: Length = Length::from_units(Length::PT.units() * 7);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    // The card of a whole square is a rectangle: its sides say all.
    let shaped = plan.making().ending == Ending::CutOut;
    let Some(backing) = plan.backing().filter(|_| shaped) else { return Vec::new() };
    let front = plan.making().transfer.map(|_| Face::Front);
    let faces = std::iter::once(Face::Back).chain(front);
    faces.flat_map(|face| pages(press, plan, backing, face)).collect()
}

fn pages(press: &Press, plan: &Plan, backing: &Backing, face: Face) -> Vec<Leaf> {
    let fit = plan.fit();
    let extent = backing.extent();
    let draw = |corner: Place, window: Area| {
        let seen = |place: Place| {
            let at = face.turned(place.moved(-extent.left(), -extent.top()), extent.width);
            corner.moved(at.x, at.y)
        };
        drawing(press, plan, backing, (face, &seen), window)
    };
    let count = |length: Length| {
        let whole = length.ratio().holds(fit.pitch);
        usize::try_from(whole).unwrap_or(0)
            + usize::from(fit.pitch.times(usize::try_from(whole).unwrap_or(0)).nearest() < length)
    };
    let mut note =
        vec![press.fill("backing.page", &[("margin", &kept(&press.ruler(plan).near(backing.card.margin)))])];
    note.extend((!backing.joints.is_empty()).then(|| press.say("backing.joints").to_owned()));
    let tiled = Tiled {
        title: press.say("backing.title"),
        face,
        stamp: press.say(if face == Face::Back { "backing.back" } else { "backing.front" }).to_owned(),
        note: note.join(" "),
        first: None,
        cells: (count(extent.width), count(extent.height)),
        pitch: fit.pitch,
        draw: &draw,
    };
    tiled.leaves(press)
}

/// Draws card, figure, webs and sign as a face shows them, and on the back the fixings.
fn drawing(
    press: &Press,
    plan: &Plan,
    backing: &Backing,
    (face, seen): (Face, &dyn Fn(Place) -> Place),
    window: Area,
) -> Vec<Draw> {
    let mut draws = Vec::new();
    for web in &backing.webs {
        let (one, other) = (seen(web.corner), seen(web.corner.moved(web.width, Length::ZERO)));
        let area = Area::new(Place::new(one.x.min(other.x), one.y), web.width, web.height);
        if let Some(area) = super::figure::within(area, window) {
            draws.extend([Draw::block(area, WASH), Draw::frame(area, HAIR, INK)]);
        }
    }
    let lines = [path(&backing.backed, seen, window), path(&backing.contours, seen, window)];
    let [figure, card] = lines.clone();
    draws.push(Draw::stroke(figure, Length::tenths_pt(6), QUIET));
    draws.push(Draw::stroke(card, Length::tenths_pt(14), INK));
    draws.extend(joints(backing, seen, press.say("backing.joint"), window));
    let hanging = plan.hanging();
    let at = |(x, y): (i64, i64)| seen(hanging.balance.moved(STEP * (x - 1), STEP * (2 - y)));
    let sign = sign().filter_map(|[from, to]| clipped(at(from), at(to), window).map(line));
    draws.push(Draw::stroke(Path(sign.collect()), Length::PT * 2, QUIET));
    if face == Face::Front {
        return draws;
    }
    let pair = hanging.pair.into_iter().flat_map(|(left, right)| [left, right]);
    let spots = hanging.hook.into_iter().map(|at| (at, "backing.hook"));
    for (at, key) in spots.chain(pair.map(|at| (at, "backing.fixing"))) {
        draws.extend(fixing(seen(at), press.say(key), &lines, window));
    }
    draws
}

/// Draws the lines along which sheets of card meet.
fn joints(backing: &Backing, behind: &dyn Fn(Place) -> Place, words: &str, window: Area) -> Vec<Draw> {
    let around = backing.extent();
    let upright = backing.joints.upright.iter().map(|&x| [(x, around.top()), (x, around.bottom())]);
    let level = backing.joints.level.iter().map(|&y| [(around.left(), y), (around.right(), y)]);
    let seen = upright.chain(level).filter_map(|ends| {
        let [from, to] = ends.map(|(x, y)| behind(Place::new(x, y)));
        clipped(from, to, window)
    });
    seen.flat_map(|(from, to)| {
        let at = Place::new(from.x.min(to.x), from.y.min(to.y)).moved(Length::PT * 3, Length::PT * 9);
        [Draw::stroke(dashes(from, to), Length::tenths_pt(8), INK), Draw::Text(CODE.at(at, words, INK))]
    })
    .collect()
}

/// Draws the cross of a fixing, if it lies in the window, and its name where that keeps clear of lines.
pub(super) fn fixing(at: Place, words: &str, lines: &[Path], window: Area) -> Vec<Draw> {
    if !window.contains(Area::new(at, Length::ZERO, Length::ZERO)) {
        return Vec::new();
    }
    let arms = [(ARM, Length::ZERO), (Length::ZERO, ARM)];
    let arms = arms.map(|(right, down)| (at.moved(-right, -down), at.moved(right, down)));
    let cross = arms.into_iter().filter_map(|(from, to)| clipped(from, to, window)).map(line).collect();
    let words = CODE.at(beside(at, CODE.width(words), lines), words, INK);
    vec![Draw::stroke(Path(cross), Length::PT, INK), Draw::Text(words)]
}

/// Gives the base line of words beside a cross: in the first of its four corners that no line runs through.
fn beside(at: Place, wide: Length, lines: &[Path]) -> Place {
    let (gap, high) = (Length::PT * 3, CODE.rise());
    let corners = [(gap, -gap), (-gap - wide, -gap), (gap, gap + high), (-gap - wide, gap + high)];
    let is_free = |base: &Place| {
        let around = Area::new(base.moved(Length::ZERO, -high), wide, high);
        let ends = lines.iter().flat_map(|path| &path.0).flat_map(|line| line.places.windows(2));
        !ends.into_iter().any(|ends| {
            let apart = |one: Length, other: Length, low: Length, high: Length| {
                one.max(other) < low || one.min(other) > high
            };
            let beside = apart(ends[0].x, ends[1].x, around.left(), around.right());
            !(beside || apart(ends[0].y, ends[1].y, around.top(), around.bottom()))
        })
    };
    let bases = corners.map(|(right, down)| at.moved(right, down));
    bases.into_iter().find(is_free).unwrap_or(bases[0])
}

fn path(contours: &[Contour], seen: &dyn Fn(Place) -> Place, window: Area) -> Path {
    let sides = contours.iter().flat_map(|contour| {
        let next = contour.places.iter().cycle().skip(1);
        contour.places.iter().zip(next)
    });
    let inside = sides.filter_map(|(&from, &to)| clipped(seen(from), seen(to), window));
    Path(inside.map(line).collect())
}

fn line((from, to): (Place, Place)) -> Line {
    Line { places: vec![from, to], closed: false }
}

/// Gives the part of a line that lies in a window (Y.-D. Liang and B. A. Barsky 1984, from memory).
fn clipped(from: Place, to: Place, window: Area) -> Option<(Place, Place)> {
    let (dx, dy) = ((to.x - from.x).units() as f64, (to.y - from.y).units() as f64);
    let sides = [
        (-dx, from.x - window.left()),
        (dx, window.right() - from.x),
        (-dy, from.y - window.top()),
        (dy, window.bottom() - from.y),
    ];
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (slope, room) in sides {
        let room = room.units() as f64;
        if slope == 0.0 && room < 0.0 {
            return None;
        }
        if slope < 0.0 {
            enter = enter.max(room / slope);
        } else if slope > 0.0 {
            leave = leave.min(room / slope);
        }
    }
    let at = |share: f64| from.moved(part(dx * share), part(dy * share));
    (enter < leave).then(|| (at(enter), at(leave)))
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "shorter than the line, which is a whole number of units"
)]
fn part(units: f64) -> Length {
    Length::from_units(libm::round(units) as i64)
}
