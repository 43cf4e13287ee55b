//! What the figure weighs, where it balances, what holds it on the wall.

use serde::Serialize;

use super::{Ending, Plan};
use crate::cut::Estimate;
use crate::length::{Area, Length, Place};
use crate::outline::{Point, centroid, hook, pair};

/// Grams that a millilitre of white glue leaves when it is dry: 1.1 g, about half of it water (common practice).
const DRY_GLUE: Estimate = Estimate::new(0.45, 0.55, 0.65);
/// The same of paint, primer and varnish: 1.2 g/ml, about half of it water (common practice).
const DRY_PAINT: Estimate = Estimate::new(0.4, 0.6, 0.8);
/// Room for the square in its frame, both ways together (common practice).
const PLAY: Length = Length::inches(1, 8);

/// The weight and its fixings; places are measured from the top-left corner of the grid, seen from the front.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hanging {
    /// Grams of board.
    pub board: Estimate,
    /// Grams of trimmed card.
    pub card: Estimate,
    /// Grams of dry glue.
    pub glue: Estimate,
    /// Grams of dry paint, primer and varnish.
    pub paint: Estimate,
    /// Where it balances.
    pub balance: Place,
    /// Where one hook holds it level; none when it has no such place.
    pub hook: Option<Place>,
    /// Where two fixings bear half of it each.
    pub pair: Option<(Place, Place)>,
    /// What all fixings together are rated for, in grams.
    pub rated: f64,
    /// How many fixings that takes.
    pub fixings: usize,
    /// The frame of a square that stays whole.
    pub frame: Option<Frame>,
}

/// A frame, as it is inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Frame {
    /// From side to side.
    pub width: Length,
    /// From top to bottom.
    pub height: Length,
    /// How deep board and card lie in it.
    pub depth: Length,
}

impl Hanging {
    /// Adds up the weight, in grams.
    pub fn grams(&self) -> Estimate {
        self.board.plus(self.card).plus(self.glue).plus(self.paint)
    }
}

impl Plan {
    /// Reckons weight, balance and fixings.
    pub fn hanging(&self) -> Hanging {
        let mounting = self.mounting();
        let (board, card, glue, paint) =
            (self.board_grams(), self.card_grams(), self.glue_grams(), self.paint_grams());
        let heaviest = board.plus(card).plus(glue).plus(paint).high;
        let (balance, hook, pair) = match self.making().ending {
            Ending::CutOut => self.figure_points(),
            Ending::WholeSquare => self.board_points(),
        };
        let rated = heaviest * mounting.rating;
        Hanging {
            board,
            card,
            glue,
            paint,
            balance,
            hook,
            pair,
            rated,
            fixings: counted(rated / mounting.fixing),
            frame: self.frame(),
        }
    }

    /// Gives the smallest rectangle round what hangs on the wall, measured from the top-left corner of the grid.
    pub fn hung(&self) -> Area {
        let (grid, fit) = (self.grid(), self.fit());
        if self.making().ending == Ending::WholeSquare {
            let corner = Place::new(-fit.margins.left.nearest(), -fit.margins.top.nearest());
            let (width, height) = fit.joined();
            return Area::new(corner, width, height);
        }
        let line = |count: usize| fit.pitch.times(count).nearest();
        let (mut low, mut high) = ((grid.rows(), grid.columns()), (0, 0));
        for (place, _) in grid.cells().iter().enumerate().filter(|(_, cell)| cell.is_some()) {
            let (row, column) = (place / grid.columns(), place % grid.columns());
            low = (low.0.min(row), low.1.min(column));
            high = (high.0.max(row + 1), high.1.max(column + 1));
        }
        let corner = Place::new(line(low.1), line(low.0));
        Area::new(corner, line(high.1) - corner.x, line(high.0) - corner.y)
    }

    /// Gives the area that hangs on the wall, in square millimetres.
    fn hung_mm2(&self) -> f64 {
        let fit = self.fit();
        match self.making().ending {
            Ending::CutOut => fit.pitch.mm() * fit.pitch.mm() * self.grid().figure_cells() as f64,
            Ending::WholeSquare => {
                let (width, height) = fit.joined();
                width.mm() * height.mm()
            }
        }
    }

    fn board_grams(&self) -> Estimate {
        self.mounting().density.times(self.hung_mm2() * self.thickness().mm() / 1e3)
    }

    fn card_grams(&self) -> Estimate {
        let backing = self.backing();
        backing.map_or_else(Estimate::default, |backing| backing.card.grams.times(self.hung_mm2() / 1e6))
    }

    fn glue_grams(&self) -> Estimate {
        let backing = self.backing();
        backing.map_or_else(Estimate::default, |backing| backing.glue_ml().by(DRY_GLUE))
    }

    fn paint_grams(&self) -> Estimate {
        let amounts = self.amounts();
        let ml = amounts.colour_ml() + amounts.primer.ml + amounts.undercoat.ml + amounts.varnish.ml;
        DRY_PAINT.times(ml)
    }

    fn figure_points(&self) -> (Place, Option<Place>, Option<(Place, Place)>) {
        let (grid, pitch) = (self.grid(), self.fit().pitch.mm());
        let inset = self.mounting().inset.mm() / pitch;
        let place =
            |Point { row, column }: Point| Place::new(millimetres(column * pitch), millimetres(row * pitch));
        let both = pair(grid, inset).map(|(left, right)| (place(left), place(right)));
        (place(centroid(grid)), hook(grid, inset).map(place), both)
    }

    fn board_points(&self) -> (Place, Option<Place>, Option<(Place, Place)>) {
        let (fit, inset) = (self.fit(), self.mounting().inset);
        let (width, height) = fit.joined();
        let corner = Place::new(-fit.margins.left.nearest(), -fit.margins.top.nearest());
        let at = |x, y| corner.moved(x, y);
        let fits = width.min(height) > inset + inset;
        let both = fits.then(|| (at(inset, inset), at(width - inset, inset)));
        (at(width.half(), height.half()), fits.then(|| at(width.half(), inset)), both)
    }

    fn frame(&self) -> Option<Frame> {
        let fit = self.fit();
        let (width, height) = fit.joined();
        (self.making().ending == Ending::WholeSquare).then(|| Frame {
            width: width + PLAY,
            height: height + PLAY,
            depth: self.edge_depth(),
        })
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a figure is far shorter than the longest length")]
fn millimetres(mm: f64) -> Length {
    Length::from_units(libm::round(mm * Length::MM.units() as f64) as i64)
}

/// Counts fixings: two at the least, so that one may fail (common practice).
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count above zero")]
fn counted(fixings: f64) -> usize {
    (libm::ceil(fixings) as usize).max(2)
}
