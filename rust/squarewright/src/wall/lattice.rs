//! The lattice that figures are nested on.
//!
//! Where every edge is a whole count of steps, nothing is lost by placing figures at multiples of the greatest
//! common divisor of all edges and the gap: of all layouts on as many panels, take one in which the distances of
//! all figures from the left edge add up to the least. If some of them were no multiple, all of these could go
//! left by a step together, since no edge of theirs touches an edge of another. The same holds for the top edge.

use super::figure::Shape;
use super::spacing::Spacing;
use crate::fault::{Error, Result};
use crate::length::{Length, Ratio};
use crate::panel::Panel;

/// Places in rows and columns, `unit` apart; they begin at `origin` from the left and the top edge.
#[derive(Debug, Clone)]
pub(super) struct Lattice {
    pub(super) panel: Panel,
    pub(super) origin: Length,
    pub(super) unit: Length,
    /// Figures start at multiples of this count of places.
    pub(super) every: usize,
    /// The gap in places.
    pub(super) gap: usize,
    /// Places across the panel and its gap.
    pub(super) columns: usize,
    /// Places down the panel and its gap.
    pub(super) rows: usize,
    /// Whether every edge of every figure lies on the lattice; else figures count a little larger.
    pub(super) exact: bool,
    width: Length,
    height: Length,
}

impl Lattice {
    /// The most places along a side on which figures keep their exact shape.
    const FINE: i64 = 4096;
    /// The most places along a side where they cannot.
    const COARSE: i64 = 1024;

    /// Chooses the lattice for shapes on a panel.
    ///
    /// # Errors
    /// [`Error::Fit`] when the margins leave no room.
    pub(super) fn new(shapes: &[Shape], panel: Panel, spacing: &Spacing) -> Result<Self> {
        let step = spacing.step.units();
        let origin = Length::from_units(above(spacing.margin.units(), step) * step);
        let room = |side: Length| side - origin - spacing.margin;
        let (width, height) = (room(panel.width()), room(panel.height()));
        if width.min(height) <= Length::ZERO {
            return Err(Error::Fit {
                cells: "0 × 0".into(),
                room: format!("a panel of {panel} with margins of {}", spacing.margin),
                remedy: "The margins leave no room: make them smaller.".into(),
            });
        }
        let longer = width.max(height).units();
        // Farther apart than the panel is long, two figures never share it.
        let gap = spacing.gap.units().min(longer);
        let (unit, exact) = match common(shapes) {
            Some(edges) if longer / gcd(edges, step) <= Self::FINE => (whole(edges, step, gap), true),
            _ => (near(step, longer), false),
        };
        let gap = above(gap, unit);
        let places = |side: Length| {
            let whole = if exact { side.units() / unit } else { above(side.units(), unit) };
            count(whole + gap)
        };
        Ok(Self {
            panel,
            origin,
            unit: Length::from_units(unit),
            every: count((step / unit).max(1)),
            gap: count(gap),
            columns: places(width),
            rows: places(height),
            exact,
            width,
            height,
        })
    }

    /// Gives the last place at which a box may start, as its column and its row; none when it is too large.
    pub(super) fn last(&self, width: Ratio, height: Ratio) -> Option<(usize, usize)> {
        let start = self.unit * i64::try_from(self.every).ok()?;
        let last = |room: Length, side: Ratio| {
            let steps = usize::try_from((room.ratio() - side).holds(start.ratio())).ok()?;
            Some(steps * self.every)
        };
        Some((last(self.width, width)?, last(self.height, height)?))
    }

    /// Gives the distance of a place from the edge of the panel.
    pub(super) fn at(&self, place: usize) -> Length {
        self.origin + self.unit * i64::try_from(place).unwrap_or(i64::MAX)
    }

    /// Gives the room inside the margins.
    pub(super) fn room(&self) -> (Length, Length) {
        (self.width, self.height)
    }
}

/// Gives the greatest common divisor of all edges, when they are whole counts of units.
fn common(shapes: &[Shape]) -> Option<i64> {
    let mut divisor = 0;
    for shape in shapes {
        let pitch = shape.pitch.whole()?.units();
        let cells = shape.edges().fold(0, |all, edge| gcd(all, i64::try_from(edge).unwrap_or(0)));
        divisor = gcd(divisor, cells * pitch);
    }
    Some(divisor)
}

/// Gives the coarsest lattice on which no layout is lost; the gap is a whole count of it, rounded up.
fn whole(edges: i64, step: i64, gap: i64) -> i64 {
    let fine = gcd(edges, step);
    if edges % step == 0 { gcd(edges, above(gap, fine) * fine) } else { fine }
}

/// Gives a part of the step that is fine enough to show the shapes of figures.
fn near(step: i64, longer: i64) -> i64 {
    let mut unit = step;
    while unit % 2 == 0 && longer / (unit / 2) <= Lattice::COARSE {
        unit /= 2;
    }
    unit
}

fn gcd(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

fn above(value: i64, unit: i64) -> i64 {
    (value + unit - 1) / unit
}

fn count(value: i64) -> usize {
    usize::try_from(value).unwrap_or(0)
}
