//! The card behind a figure: larger all round while it is glued, trimmed flush once the glue is dry.
//!
//! Card that stands out all round need not be placed exactly, and its rim is a handle until the glue is dry.
//! Trimmed, card and figure have one outline, but for a small web of card wherever two cells meet only at a
//! corner: nothing else would hold them together.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::joint::{Joints, laid};
use super::{Estimate, few};
use crate::fault::{Error, Result};
use crate::grid::Grid;
use crate::grid::patch::root;
use crate::length::{Area, Length, Place, Ratio};
use crate::outline::{Contour, Corners, corner_joints, enclosed_mm2, grown, islands};
use crate::panel::Fit;

/// The line that card is cut out along before it is glued.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Rim {
    /// The figure grown by the margin, with square corners.
    #[default]
    Square,
    /// The same with round ones.
    Round,
    /// Fewer corners and fewer cuts, for a little more card.
    Few,
}

impl FromStr for Rim {
    type Err = Error;

    /// Reads `square`, `round` or `few`.
    fn from_str(text: &str) -> Result<Self> {
        match text {
            "square" => Ok(Self::Square),
            "round" => Ok(Self::Round),
            "few" => Ok(Self::Few),
            _ => {
                let must = "\"square\", \"round\" or \"few\"".into();
                Err(Error::Argument { name: "corners", must, got: format!("{text:?}") })
            }
        }
    }
}

impl Rim {
    fn grown(self, grid: &Grid, pitch: Ratio, margin: Length) -> Result<Vec<Contour>> {
        let corners = if self == Self::Round { Corners::Round } else { Corners::Square };
        grown(grid, pitch, margin, corners)
    }
}

/// Which card, and how it is cut and glued.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Card {
    /// How far it stands out all round until it is trimmed.
    pub margin: Length,
    /// Its corners until then.
    pub corners: Rim,
    /// A hole narrower than this stays closed until the card is trimmed.
    pub smallest_hole: Length,
    /// The side of the square of card that stays where cells meet only at a corner.
    pub web: Length,
    /// Width and height of a sheet of card.
    pub sheet: (Length, Length),
    /// How thick it is.
    pub thickness: Length,
    /// Grams a square metre.
    pub grams: Estimate,
    /// Millilitres of glue for a square metre.
    pub glue: Estimate,
}

impl Default for Card {
    /// Gives a margin of 1/4 in with square corners, holes from 1 in, webs of 1/4 in, sheets of 20 in × 30 in
    /// and 1/8 in of corrugated card, 500 g/m² (400 to 600), under a thin coat of white glue, 170 ml/m²
    /// (120 to 220): all common practice.
    fn default() -> Self {
        Self {
            margin: Length::inches(1, 4),
            corners: Rim::Square,
            smallest_hole: Length::INCH,
            web: Length::inches(1, 4),
            sheet: (Length::inches(20, 1), Length::inches(30, 1)),
            thickness: Length::inches(1, 8),
            grams: Estimate::new(400.0, 500.0, 600.0),
            glue: Estimate::new(120.0, 170.0, 220.0),
        }
    }
}

impl Card {
    /// A wider margin is a waste of card.
    pub const WIDEST_MARGIN: Length = Length::inches(3, 1);
    /// Smaller sheets back nothing.
    pub const SMALLEST_SHEET: Length = Length::inches(2, 1);

    /// Passes settings that a backing can be planned by.
    ///
    /// # Errors
    /// [`Error::Length`] when a length is not above zero, [`Error::Argument`] for a margin over 3 in, a sheet
    /// under 2 in or figures out of order.
    pub fn checked(self) -> Result<Self> {
        self.margin.positive("margin")?;
        self.web.positive("web")?;
        self.thickness.positive("card_thickness")?;
        self.smallest_hole.not_negative("smallest_hole")?;
        self.grams.checked("card_grams")?;
        self.glue.checked("glue")?;
        if self.margin > Self::WIDEST_MARGIN {
            let (must, got) = (format!("{} at the most", Self::WIDEST_MARGIN), self.margin.to_string());
            return Err(Error::Argument { name: "margin", must, got });
        }
        let (width, height) = self.sheet;
        if width.min(height) < Self::SMALLEST_SHEET {
            let must = format!("{} or more each way", Self::SMALLEST_SHEET);
            return Err(Error::Argument { name: "card", must, got: format!("{width} × {height}") });
        }
        Ok(self)
    }
}

/// The card of one figure; places are measured from the top-left corner of the grid, seen from the front.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Backing {
    /// What it was planned by.
    pub card: Card,
    /// What is backed: the figure, or the whole boards.
    #[serde(skip)]
    pub backed: Vec<Contour>,
    /// The card as it is cut for gluing.
    pub contours: Vec<Contour>,
    /// Holes of the figure that the card leaves closed until it is trimmed.
    pub closed_holes: usize,
    /// The squares of card that stay at corner joints when it is trimmed.
    pub webs: Vec<Area>,
    /// Parts that nothing holds together, webs counted.
    pub parts: usize,
    /// Sheets of card, laid edge to edge without shifting parts.
    pub sheets: usize,
    /// Where these sheets meet.
    pub joints: Joints,
    /// How much more card few cuts take than square corners, in square millimetres.
    pub extra_mm2: f64,
}

impl Backing {
    /// Plans the card of a figure that is cut out.
    ///
    /// # Errors
    /// As [`Card::checked`] and [`grown`].
    pub fn of_figure(grid: &Grid, fit: &Fit, card: Card) -> Result<Self> {
        let card = card.checked()?;
        let backed = grown(grid, fit.pitch, Length::ZERO, Corners::Square)?;
        let mut contours = card.corners.grown(grid, fit.pitch, card.margin)?;
        contours.retain(|contour| !card.closes(contour));
        let mut extra_mm2 = 0.0;
        if card.corners == Rim::Few {
            let square_mm2 = enclosed_mm2(&contours);
            contours = few::few(&contours);
            contours.retain(|contour| !card.closes(contour));
            extra_mm2 = enclosed_mm2(&contours) - square_mm2;
        }
        let is_open = |hole: &&Contour| contours.iter().any(|other| other.hole && encloses(hole, other));
        let closed_holes = backed.iter().filter(|contour| contour.hole).filter(|hole| !is_open(hole)).count();
        let pitch = fit.pitch;
        let side = card.web.min(pitch.nearest());
        let web = |row: usize, column: usize| {
            let middle = Place::new(pitch.times(column).nearest(), pitch.times(row).nearest());
            Area::new(middle.moved(-side.half(), -side.half()), side, side)
        };
        let webs = corner_joints(grid).into_iter().map(|joint| web(joint.row, joint.column)).collect();
        let cells = grid.cells().iter().enumerate().filter(|(_, cell)| cell.is_some()).map(|(place, _)| {
            let (row, column) = (place / grid.columns(), place % grid.columns());
            let corner = Place::new(pitch.times(column).nearest(), pitch.times(row).nearest());
            let width = pitch.times(column + 1).nearest() - corner.x;
            Area::new(corner, width, pitch.times(row + 1).nearest() - corner.y).inset(-card.margin)
        });
        let mut areas: Vec<Area> = cells.collect();
        if card.corners == Rim::Few {
            areas.extend(contours.iter().flat_map(along));
        }
        let (sheets, joints) = laid(&areas, &card, fit);
        let parts = held(grid);
        Ok(Self { card, backed, contours, closed_holes, webs, parts, sheets, joints, extra_mm2 })
    }

    /// Plans the card of boards that stay whole.
    ///
    /// # Errors
    /// As [`Card::checked`].
    pub fn of_boards(fit: &Fit, card: Card) -> Result<Self> {
        let card = card.checked()?;
        let corner = Place::new(-fit.margins.left.nearest(), -fit.margins.top.nearest());
        let (width, height) = fit.joined();
        let boards = Area::new(corner, width, height);
        let larger = boards.inset(-card.margin);
        let (sheets, joints) = laid(&[larger], &card, fit);
        let (backed, contours) = (vec![rectangle(boards)], vec![rectangle(larger)]);
        Ok(Self {
            card,
            backed,
            contours,
            closed_holes: 0,
            webs: Vec::new(),
            parts: 1,
            sheets,
            joints,
            extra_mm2: 0.0,
        })
    }

    /// Gives the area of the card as it is cut for gluing, in square millimetres.
    pub fn mm2(&self) -> f64 {
        enclosed_mm2(&self.contours)
    }

    /// Gives the length of its cuts, in millimetres.
    pub fn cut_mm(&self) -> f64 {
        self.contours.iter().map(Contour::mm).sum()
    }

    /// Counts the straight cuts that the card is cut out with; none when its corners are round.
    pub fn straight_cuts(&self) -> Option<usize> {
        let straight = self.card.corners != Rim::Round;
        straight.then(|| self.contours.iter().map(|contour| contour.places.len()).sum())
    }

    /// Gives the length along which it is trimmed, in millimetres.
    pub fn trim_mm(&self) -> f64 {
        self.backed.iter().map(Contour::mm).sum()
    }

    /// Gives the area that is spread with glue, the whole back, in square millimetres.
    pub fn glued_mm2(&self) -> f64 {
        enclosed_mm2(&self.backed)
    }

    /// Gives the glue, in millilitres.
    pub fn glue_ml(&self) -> Estimate {
        self.card.glue.times(self.glued_mm2() / 1e6)
    }

    /// Gives the smallest rectangle round the card.
    pub fn extent(&self) -> Area {
        extent(self.contours.iter().flat_map(|contour| &contour.places))
    }
}

impl Card {
    /// Tells whether a hole is left out.
    fn closes(&self, contour: &Contour) -> bool {
        let around = extent(&contour.places);
        contour.hole && around.width.min(around.height) < self.smallest_hole
    }
}

/// Turns contours left to right, as seen from behind: what lies `x` from the left of a strip that is `width`
/// wide comes to lie `x` from its right.
pub fn mirrored(contours: &[Contour], width: Length) -> Vec<Contour> {
    let turned = |place: &Place| Place::new(width - place.x, place.y);
    let contour = |Contour { places, hole }: &Contour| Contour {
        places: places.iter().rev().map(turned).collect(),
        hole: *hole,
    };
    contours.iter().map(contour).collect()
}

fn rectangle(area: Area) -> Contour {
    let (left, top, right, bottom) = (area.left(), area.top(), area.right(), area.bottom());
    let corners = [(left, top), (left, bottom), (right, bottom), (right, top)];
    Contour { places: corners.map(|(x, y)| Place::new(x, y)).to_vec(), hole: false }
}

pub(super) fn extent<'a>(places: impl IntoIterator<Item = &'a Place>) -> Area {
    let mut around: Option<(Place, Place)> = None;
    for &at in places {
        let (low, high) = around.unwrap_or((at, at));
        let (low, high) =
            (Place::new(low.x.min(at.x), low.y.min(at.y)), Place::new(high.x.max(at.x), high.y.max(at.y)));
        around = Some((low, high));
    }
    around.map_or_else(Area::default, |(low, high)| Area::new(low, high.x - low.x, high.y - low.y))
}

/// Gives what a line of the card passes beyond the figure and its margin, in areas of an inch at the most.
fn along(contour: &Contour) -> Vec<Area> {
    let next = contour.places.iter().cycle().skip(1);
    let mut areas = Vec::new();
    for (from, to) in contour.places.iter().zip(next) {
        let (right, down) = (to.x - from.x, to.y - from.y);
        let parts = right.abs().max(down.abs()).units() / Length::INCH.units() + 1;
        let part = |length: Length, part: i64| Length::from_units(length.units() * part / parts);
        let at = |number: i64| from.moved(part(right, number), part(down, number));
        areas.extend((0..parts).map(|number| extent(&[at(number), at(number + 1)])));
    }
    areas
}

/// Tells whether a hole of the figure lies round a hole of the card (even-odd rule along a level ray).
fn encloses(hole: &Contour, card: &Contour) -> bool {
    let Some(&at) = card.places.first() else { return false };
    let next = hole.places.iter().cycle().skip(1);
    let crossed = hole.places.iter().zip(next).filter(|(a, b)| {
        let between = (a.y > at.y) != (b.y > at.y);
        between && a.x == b.x && a.x > at.x
    });
    crossed.count() % 2 == 1
}

/// Counts the parts of a figure once webs join the cells that meet at corners.
fn held(grid: &Grid) -> usize {
    let islands = islands(grid);
    let mut part = vec![usize::MAX; grid.cells().len()];
    for (number, island) in islands.iter().enumerate() {
        for &place in island {
            part[place] = number;
        }
    }
    let mut first: Vec<usize> = (0..islands.len()).collect();
    for joint in corner_joints(grid) {
        let around = [(1, 1), (1, 0), (0, 1), (0, 0)];
        let around = around.map(|(up, left)| part[(joint.row - up) * grid.columns() + joint.column - left]);
        let mut joined = around.into_iter().filter(|&number| number != usize::MAX);
        if let (Some(one), Some(other)) = (joined.next(), joined.next()) {
            let (one, other) = (root(&mut first, one), root(&mut first, other));
            first[one.max(other)] = one.min(other);
        }
    }
    (0..first.len()).filter(|&number| first[number] == number).count()
}
