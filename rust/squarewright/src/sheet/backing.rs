//! The card at true size as seen from behind, for tracing on its back.

use super::draw::{Draw, Line, Path};
use super::page::{HAIR, INK, Leaf, QUIET, WASH};
use super::press::Press;
use super::text::CODE;
use super::tiled::Tiled;
use super::words::kept;
use crate::cut::{Backing, mirrored};
use crate::length::{Area, Length, Place};
use crate::outline::Contour;
use crate::plan::{Ending, Plan};

/// The arm of the cross of a fixing.
const ARM: Length = Length::from_units(Length::PT.units() * 7);
/// The sign that tells front from back: F, in steps of its height from its foot, seen from the front.
const SIGN: [[(i64, i64); 2]; 3] = [[(0, 0), (0, 5)], [(0, 5), (3, 5)], [(0, 3), (2, 3)]];
/// One of those steps.
const STEP: Length = Length::from_units(Length::PT.units() * 7);

pub(super) fn leaves(press: &Press, plan: &Plan) -> Vec<Leaf> {
    // The card of a whole square is a rectangle: its sides say all.
    let shaped = plan.making().ending == Ending::CutOut;
    let Some(backing) = plan.backing().filter(|_| shaped) else { return Vec::new() };
    let fit = plan.fit();
    let width = fit.width().nearest();
    let behind = Backing { contours: mirrored(&backing.contours, width), ..backing.clone() };
    let extent = behind.extent();
    let draw = |corner: Place, window: Area| {
        let moved = |place: Place| corner.moved(place.x - extent.left(), place.y - extent.top());
        drawing(press, plan, backing, &|place| moved(Place::new(width - place.x, place.y)), window)
    };
    let count = |length: Length| {
        let whole = length.ratio().holds(fit.pitch);
        usize::try_from(whole).unwrap_or(0)
            + usize::from(fit.pitch.times(usize::try_from(whole).unwrap_or(0)).nearest() < length)
    };
    let tiled = Tiled {
        title: press.say("backing.title"),
        stamp: press.say("backing.back").to_owned(),
        note: ("backing.page", kept(&press.ruler(plan).text(backing.card.margin))),
        cells: (count(extent.width), count(extent.height)),
        pitch: fit.pitch,
        draw: &draw,
    };
    tiled.leaves(press)
}

/// Draws card, figure, webs, fixings and sign, all seen from behind.
fn drawing(
    press: &Press,
    plan: &Plan,
    backing: &Backing,
    behind: &dyn Fn(Place) -> Place,
    window: Area,
) -> Vec<Draw> {
    let mut draws = Vec::new();
    for web in &backing.webs {
        let right = behind(web.corner);
        let area = Area::new(right.moved(-web.width, Length::ZERO), web.width, web.height);
        if let Some(area) = super::figure::within(area, window) {
            draws.extend([Draw::block(area, WASH), Draw::frame(area, HAIR, INK)]);
        }
    }
    let figure = path(&backing.backed, behind, window);
    draws.push(Draw::stroke(figure, Length::tenths_pt(6), QUIET));
    draws.push(Draw::stroke(path(&backing.contours, behind, window), Length::tenths_pt(14), INK));
    let hanging = plan.hanging();
    let mut sign = Vec::new();
    for [from, to] in SIGN {
        let at = |(x, y): (i64, i64)| behind(hanging.balance.moved(STEP * (x - 1), STEP * (2 - y)));
        sign.extend(clipped(at(from), at(to), window).map(line));
    }
    draws.push(Draw::stroke(Path(sign), Length::PT * 2, QUIET));
    let pair = hanging.pair.into_iter().flat_map(|(left, right)| [left, right]);
    let spots = hanging.hook.into_iter().map(|at| (at, "backing.hook"));
    for (at, key) in spots.chain(pair.map(|at| (at, "backing.fixing"))) {
        draws.extend(fixing(behind(at), press.say(key), window));
    }
    draws
}

fn fixing(at: Place, words: &str, window: Area) -> Vec<Draw> {
    if !window.contains(Area::new(at, Length::ZERO, Length::ZERO)) {
        return Vec::new();
    }
    let arms = [(ARM, Length::ZERO), (Length::ZERO, ARM)];
    let arms = arms.map(|(right, down)| (at.moved(-right, -down), at.moved(right, down)));
    let lines = arms.into_iter().filter_map(|(from, to)| clipped(from, to, window)).map(line).collect();
    let words = CODE.at(at.moved(Length::PT * 3, -Length::PT * 3), words, INK);
    vec![Draw::stroke(Path(lines), Length::PT, INK), Draw::Text(words)]
}

fn path(contours: &[Contour], behind: &dyn Fn(Place) -> Place, window: Area) -> Path {
    let sides = contours.iter().flat_map(|contour| {
        let next = contour.places.iter().cycle().skip(1);
        contour.places.iter().zip(next)
    });
    let inside = sides.filter_map(|(&from, &to)| clipped(behind(from), behind(to), window));
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
