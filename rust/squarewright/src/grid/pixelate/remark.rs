//! What the maker should know about a grid that was pixelated.

use super::{Layout, Pixelating};
use crate::grid::Grid;
use crate::palette::Palette;

/// A grid with what is worth knowing about how it came about.
#[derive(Debug, Clone, PartialEq)]
pub struct Pixelated {
    /// The grid.
    pub grid: Grid,
    /// What the maker should know.
    pub remarks: Vec<Remark>,
}

/// What came out in another way than the settings suggest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Remark {
    /// The search for a figure found none.
    #[error("no figure stands out from the ground, so all of it is painted; give a mask to say what is")]
    NoFigure,
    /// Only the middle of the picture has the shape of the grid.
    #[error("only the middle of the picture is used, {width} × {height} pixels, for the shape of the grid")]
    Middle {
        /// Its width in pixels.
        width: u32,
        /// Its height in pixels.
        height: u32,
    },
    /// Hardly more pixels than cells.
    #[error(
        "the picture has hardly more pixels than the grid has cells: take fewer columns for calmer areas, or \
         recover the cells if it is pixel art"
    )]
    FewPixels,
    /// Fewer colours than asked for, or than were given.
    #[error("{used} of {asked} colours are used: the others would paint no cell")]
    FewerColours {
        /// How many the grid has.
        used: usize,
        /// How many were asked for or given.
        asked: usize,
    },
}

/// A cell of fewer pixels than this to a side is hardly more than one.
const HARDLY: f64 = 1.5;

/// Compares a grid with what was asked for.
pub(super) fn remarks(asked: &Pixelating, layout: Layout, grid: &Grid, no_figure: bool) -> Vec<Remark> {
    let mut remarks = Vec::new();
    if no_figure {
        remarks.push(Remark::NoFigure);
    }
    if layout.is_middle {
        remarks.push(Remark::Middle { width: layout.window.width, height: layout.window.height });
    }
    let side = (f64::from(layout.window.width) / layout.columns as f64)
        .min(f64::from(layout.window.height) / layout.rows as f64);
    if side < HARDLY {
        remarks.push(Remark::FewPixels);
    }
    let (used, asked) = (grid.palette().len(), asked.palette.as_ref().map_or(asked.colours, Palette::len));
    if used < asked {
        remarks.push(Remark::FewerColours { used, asked });
    }
    remarks
}
