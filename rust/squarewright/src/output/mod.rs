//! Pages become bytes, plans become tables: the same input always gives the same bytes.

mod contact;
mod csv;
mod glyph;
mod lattice;
mod number;
mod pdf;
mod png;
mod svg;

pub use self::contact::{contact_png, view_png};
pub use self::csv::{colours_csv, cuts_csv, marks_csv};
pub use self::lattice::lattice_png;
pub use self::pdf::book_pdf;
pub use self::png::{grid_png, preview_png, weak_spots_png};
pub use self::svg::template_svg;
