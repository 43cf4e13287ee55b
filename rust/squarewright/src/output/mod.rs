//! Pages become PDF, SVG, PNG; plans become tables, palettes and a page for the screen: the same input always gives the same bytes.

mod contact;
mod csv;
mod glyph;
mod gpl;
mod html;
mod lattice;
mod layer;
mod number;
mod pdf;
mod png;
mod svg;

pub use self::contact::{contact_png, view_png};
pub use self::csv::{buying_csv, colours_csv, cuts_csv, marks_csv};
pub use self::gpl::palette_gpl;
pub use self::html::{report_html, wall_html};
pub use self::lattice::lattice_png;
pub use self::layer::{Canvas, cells_rgba, overlay_rgba};
pub use self::pdf::{book_pdf, wall_pdf};
pub use self::png::{grid_png, preview_png, projector_png, wall_png, weak_spots_png};
pub use self::svg::{nesting_svg, template_svg};
