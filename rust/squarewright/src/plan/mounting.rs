//! What the maker decides about the card, the edges and the wall, and what follows for card and edges.

use serde::{Deserialize, Serialize};

use super::{Ending, Plan};
use crate::colour::Rgb;
use crate::cut::{Backing, Card, Estimate};
use crate::fault::{Error, Result};
use crate::length::Length;
use crate::outline::{Limits, edges};

/// What the maker decides about mounting.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Mounting {
    /// The card behind the figure.
    #[serde(default)]
    pub card: Card,
    /// Grams of board in a cubic centimetre.
    pub density: Estimate,
    /// How many times its weight the fixings are rated for.
    pub rating: f64,
    /// What one fixing is rated for, in grams.
    pub fixing: f64,
    /// How far fixings stay inside the outline.
    pub inset: Length,
}

impl Default for Mounting {
    /// Gives cork of 0.20 g/cm³ (0.15 to 0.25, composition cork in sheets), fixings of 450 g (about a pound)
    /// rated for four times the weight, 5 mm inside the outline: all common practice.
    fn default() -> Self {
        Self {
            card: Card::default(),
            density: Estimate::new(0.15, 0.20, 0.25),
            rating: 4.0,
            fixing: 450.0,
            inset: Length::MM * 5,
        }
    }
}

impl Mounting {
    /// Passes settings that a figure can be mounted by.
    ///
    /// # Errors
    /// As [`Card::checked`]; [`Error::Argument`] for a rating below 1 and a fixing of no or no finite weight;
    /// [`Error::Length`] when the inset is not above zero.
    pub fn checked(self) -> Result<Self> {
        self.card.checked()?;
        self.density.checked("density")?;
        self.inset.positive("inset")?;
        let least = [("rating", self.rating, 1.0), ("fixing_grams", self.fixing, 1.0)];
        for (name, value, least) in least {
            if !(value >= least && value.is_finite()) {
                let must = format!("{least} or more");
                return Err(Error::Argument { name, must, got: value.to_string() });
            }
        }
        Ok(self)
    }
}

/// The painted edges of one colour.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Edge {
    /// The colour.
    pub colour: Rgb,
    /// Their length, in millimetres.
    pub mm: f64,
    /// Their area, in square millimetres.
    pub mm2: f64,
}

impl Plan {
    /// Plans the mounting in the way of the maker; before the painting, whose edges are as thick as board and
    /// card.
    ///
    /// # Errors
    /// As [`Mounting::checked`].
    pub fn mounted(self, mounting: Mounting) -> Result<Self> {
        let mounting = mounting.checked()?;
        let backing = match (self.making().backing, self.making().ending) {
            (false, _) => None,
            (true, Ending::CutOut) => Some(Backing::of_figure(self.grid(), self.fit(), mounting.card)?),
            (true, Ending::WholeSquare) => Some(Backing::of_boards(self.fit(), mounting.card)?),
        };
        Ok(self.with_mounting(mounting, backing))
    }

    /// Gives the thickness of the board: as measured, or 1/4 in.
    pub fn thickness(&self) -> Length {
        self.fit().panel.thickness().unwrap_or(Limits::THICKNESS)
    }

    /// Gives the depth of an edge once the card is trimmed: board and card.
    pub fn edge_depth(&self) -> Length {
        self.backing().map_or(Length::ZERO, |backing| backing.card.thickness) + self.thickness()
    }

    /// Lists the edges to paint, colour by colour in the order of the codes; none on a square that stays whole,
    /// when edges stay raw, and beside cells that do.
    pub fn edges(&self) -> Vec<Edge> {
        if !self.making().edges || self.making().ending != Ending::CutOut {
            return Vec::new();
        }
        let open = edges(self.grid(), &self.outline_cells(), self.painting().edges);
        let (pitch, depth) = (self.fit().pitch.mm(), self.edge_depth().mm());
        let painted = self.tally().iter().filter(|tally| open[tally.index] > 0 && !self.is_raw(tally.colour));
        let edge = |tally: &crate::grid::Tally| {
            let mm = pitch * open[tally.index] as f64;
            Edge { colour: tally.colour, mm, mm2: mm * depth }
        };
        painted.map(edge).collect()
    }
}
