//! Weak spots and remedies in plain sentences, for pages and for callers alike.

use crate::colour::Rgb;
use crate::grid::Grid;
use crate::length::{Ratio, Ruler};
use crate::outline::{Cure, Remedy, WeakSpot, Weakness};
use crate::palette::shades;
use crate::sheet::words::{Language, kept};

/// What sentences about a grid need to know: the names of its colours, and how lengths are read.
#[derive(Debug, Clone)]
pub struct Speech {
    colours: Vec<(Rgb, String)>,
    ruler: Option<Ruler>,
    language: Language,
}

impl Speech {
    /// Prepares for a grid; without a ruler lengths are written exactly.
    pub fn new(grid: &Grid, ruler: Option<Ruler>, language: Language) -> Self {
        let colours = grid.palette().colours();
        let named = shades(colours).into_iter().zip(grid.codes());
        let named = named.map(|(shade, code)| format!("{} ({code})", language.shade(shade)));
        Self { colours: colours.iter().copied().zip(named).collect(), ruler, language }
    }

    /// Says what is weak about a spot.
    pub fn spot(&self, spot: &WeakSpot) -> String {
        let wide = |cells: usize| {
            let length = spot.span.map_or_else(String::new, |span| self.length(span));
            self.language
                .fill("weak.width", &[("cells", &self.language.counted("cells", cells)), ("length", &length)])
        };
        match spot.weakness {
            Weakness::CornerJoint { .. } => self.language.say("weak.corner-joint").to_owned(),
            Weakness::Island => self
                .language
                .fill("weak.island", &[("beyond", &self.language.counted("cells", spot.cells.len()))]),
            Weakness::Neck(neck) => {
                let key = match neck.joins {
                    0 => "weak.all",
                    1 => "weak.arm",
                    _ => "weak.neck",
                };
                self.language.fill(
                    key,
                    &[("width", &wide(neck.width)), ("beyond", &self.language.counted("cells", neck.beyond))],
                )
            }
            Weakness::Slot { width } => self.language.fill("weak.slot", &[("width", &wide(width))]),
            Weakness::Pinhole { width } => self.language.fill("weak.pinhole", &[("width", &wide(width))]),
        }
    }

    /// Says what a remedy does.
    pub fn remedy(&self, remedy: &Remedy) -> String {
        let key = match remedy.cure {
            Cure::FillCorner => "cure.fill-corner",
            Cure::Thicken => "cure.thicken",
            Cure::Bridge => "cure.bridge",
            Cure::Border => "cure.border",
            Cure::LeaveUncut => "cure.leave-uncut",
            Cure::DropCrumb => "cure.drop-crumb",
        };
        let colour = remedy.colour.map_or_else(String::new, |colour| self.colour(colour));
        let values: [(&str, &dyn std::fmt::Display); 3] = [
            ("place", &place(&remedy.cells, self.language)),
            ("count", &self.language.counted("cells", remedy.cells.len())),
            ("colour", &colour),
        ];
        self.language.fill(key, &values)
    }

    fn colour(&self, colour: Rgb) -> String {
        let named = self.colours.iter().find(|(known, _)| *known == colour);
        named.map_or_else(|| colour.to_string(), |(_, name)| name.clone())
    }

    fn length(&self, length: Ratio) -> String {
        let read = self.ruler.map_or_else(|| length.to_string(), |ruler| ruler.text(length));
        kept(&self.language.length(&read))
    }
}

/// Says where cells are, rows and columns counted from 1 as on the chart.
pub fn place(cells: &[(usize, usize)], language: Language) -> String {
    let (mut low, mut high) = ((usize::MAX, usize::MAX), (0, 0));
    for &(row, column) in cells {
        low = (low.0.min(row), low.1.min(column));
        high = (high.0.max(row), high.1.max(column));
    }
    let span = |one, many, from: usize, to: usize| match to - from {
        0 => language.fill(one, &[("from", &(from + 1))]),
        _ => language.fill(many, &[("from", &(from + 1)), ("to", &(to + 1))]),
    };
    let rows = span("spot.row", "spot.rows", low.0.min(high.0), high.0);
    let columns = span("spot.column", "spot.columns", low.1.min(high.1), high.1);
    language.fill("spot.place", &[("rows", &kept(&rows)), ("columns", &kept(&columns))])
}
