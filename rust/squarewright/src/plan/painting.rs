//! How the figure is painted: how much of what, in which order.

use serde::{Deserialize, Serialize};

use super::{Ending, Plan};
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::outline::{EdgeColour, outline_cells};
use crate::paint::{Amounting, Ordering, Painted, Pass, Portion, Stock, amounts, order};

/// What the maker decides about painting.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Painting {
    /// In which order.
    pub ordering: Ordering,
    /// In which colour edges are painted.
    pub edges: EdgeColour,
    /// The numbers behind the amounts.
    pub amounting: Amounting,
    /// The outline cells as the maker sees them, row by row; none when they are found.
    pub outline_cells: Option<Vec<bool>>,
}

impl Plan {
    /// Works out how much paint is needed, for painting in the way of the maker; after the mixes.
    ///
    /// # Errors
    /// [`Error::Argument`] for numbers that cannot be, and for outline cells that are not those of the grid.
    pub fn painted(self, painting: Painting, stock: Option<&Stock>) -> Result<Self> {
        let cells = self.grid().cells();
        if let Some(marks) = &painting.outline_cells {
            let fits = marks.len() == cells.len();
            if !fits || cells.iter().zip(marks).any(|(cell, &mark)| mark && cell.is_none()) {
                let must = "marks for the cells of the figure, in rows and columns of the grid".into();
                let got =
                    if fits { "a mark on a bare cell".into() } else { format!("{} marks", marks.len()) };
                return Err(Error::Argument { name: "outline_cells", must, got });
            }
        }
        let plan = self.with_painting(painting);
        let found = amounts(&plan.painted_areas(), &plan.mixes().recipes, stock, &plan.painting().amounting)?;
        Ok(plan.with_amounts(found))
    }

    /// Marks the cells that draw the outline, row by row: those of the maker, or those that were found.
    pub fn outline_cells(&self) -> Vec<bool> {
        self.painting().outline_cells.clone().unwrap_or_else(|| outline_cells(self.grid()))
    }

    /// Lists what is painted in each colour, in the order of the codes; the ground of a whole square last.
    pub fn painted_areas(&self) -> Vec<Painted> {
        let pitch = self.fit().pitch.mm();
        let open = self.edges();
        let edge = |colour: Rgb| open.iter().find(|edge| edge.colour == colour).map_or(0.0, |edge| edge.mm2);
        let painted = self.tally().iter().filter(|tally| !self.is_raw(tally.colour));
        let mut areas: Vec<Painted> = painted
            .map(|tally| Painted {
                colour: tally.colour,
                face: pitch * pitch * tally.cells as f64,
                edges: edge(tally.colour),
            })
            .collect();
        if let Some(ground) = self.making().ground.filter(|_| self.making().ending == Ending::WholeSquare) {
            let face = self.ground_mm2();
            match areas.iter_mut().find(|area| area.colour == ground) {
                Some(area) => area.face += face,
                None => areas.push(Painted { colour: ground, face, edges: 0.0 }),
            }
        }
        areas
    }

    /// Gives the area of the panels that no cell of the figure covers, in square millimetres.
    fn ground_mm2(&self) -> f64 {
        let fit = self.fit();
        let board = fit.panel.width().mm() * fit.panel.height().mm() * (fit.across * fit.down) as f64;
        let pitch = fit.pitch.mm();
        board - pitch * pitch * self.grid().figure_cells() as f64
    }

    /// Lists the passes of the painting, in order.
    pub fn passes(&self) -> Vec<Pass> {
        let marks = self.outline_cells();
        let mut drawn = vec![0; self.grid().palette().len()];
        for (cell, _) in self.grid().cells().iter().zip(&marks).filter(|&(_, &mark)| mark) {
            drawn[usize::from(cell.unwrap_or_default())] += 1;
        }
        let jar = |colour: Rgb| self.amounts().jars.iter().find(|jar| jar.colour == colour);
        let portion = |tally: &crate::grid::Tally| {
            let jar = jar(tally.colour)?;
            let outline = drawn[tally.index];
            let inside = tally.cells - outline;
            let (colour, coats, undercoat) = (tally.colour, jar.coats, jar.undercoat);
            Some(Portion { colour, outline, inside, coats, undercoat })
        };
        let portions: Vec<Portion> = self.tally().iter().filter_map(portion).collect();
        order(&portions, &self.painting().ordering)
    }
}
