//! Which part of the picture becomes how many rows and columns.

use super::{Figure, Pixelating};
use crate::fault::{Error, PictureFault, Result};
use crate::grid::Grid;
use crate::picture::Window;

/// Fine cells along the longer side at most, and when a figure is to be found on them.
const FINE_SIDE: usize = 1024;
const SEARCHED_SIDE: usize = 512;
/// Fine cells to a side of a cell at most.
const FINE: usize = 4;

/// The shape of the grid and the part of the picture that it shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    pub(super) rows: usize,
    pub(super) columns: usize,
    /// The part of the picture.
    pub window: Window,
    /// Fine cells to a side of a cell.
    pub(super) fine: usize,
    /// Whether that part is the middle, cut to the shape of the grid.
    pub(super) is_middle: bool,
}

impl Layout {
    /// Lays cells over a picture of that size.
    ///
    /// # Errors
    /// As [`pixelate`](super::pixelate).
    pub fn new((width, height): (u32, u32), asked: &Pixelating) -> Result<Self> {
        let window = asked.crop.unwrap_or(Window { left: 0, top: 0, width, height });
        check_window(window, width, height)?;
        let counts = [("columns", asked.columns), ("rows", asked.rows)];
        for (name, count) in counts {
            if let Some(count) = count.filter(|count| !(1..=Grid::SIDE).contains(count)) {
                return Err(Error::Argument {
                    name,
                    must: format!("1 to {}", Grid::SIDE),
                    got: count.to_string(),
                });
            }
        }
        let (width, height) = (window.width as usize, window.height as usize);
        let follow = |count: usize, long: usize, other: usize| (2 * count * other + long) / (2 * long);
        let whole = window;
        let (rows, columns, window) = match (asked.rows, asked.columns) {
            (None, None) => {
                let must = "given, or rows: how many cells the picture becomes".into();
                return Err(Error::Argument { name: "columns", must, got: "neither".into() });
            }
            (None, Some(columns)) => (follow(columns, width, height), columns, window),
            (Some(rows), None) => (rows, follow(rows, height, width), window),
            (Some(rows), Some(columns)) => {
                let even = follow(columns, width, height) == rows || follow(rows, height, width) == columns;
                (rows, columns, if even { window } else { middle(window, rows, columns) })
            }
        };
        check_shape(window, rows, columns)?;
        let pixels = (window.width as usize / columns).min(window.height as usize / rows);
        let side = if asked.figure == Figure::Whole { FINE_SIDE } else { SEARCHED_SIDE };
        let fine = FINE.min(pixels).min(side / rows.max(columns)).max(1);
        Ok(Self { rows, columns, window, fine, is_middle: window != whole })
    }

    /// Gives the cell that a fine cell is part of.
    pub(super) fn cell_of(self, fine: usize) -> usize {
        let across = self.columns * self.fine;
        fine / across / self.fine * self.columns + fine % across / self.fine
    }

    /// Gives the size (rows, columns) that the picture is shrunk to.
    pub fn fine_size(self) -> (usize, usize) {
        (self.rows * self.fine, self.columns * self.fine)
    }
}

fn check_window(window: Window, width: u32, height: u32) -> Result<()> {
    let fits = |start: u32, length: u32, whole: u32| {
        length > 0 && start.checked_add(length).is_some_and(|end| end <= whole)
    };
    if fits(window.left, window.width, width) && fits(window.top, window.height, height) {
        return Ok(());
    }
    let must = format!("(left, top, right, bottom) in pixels within the picture's {width} × {height}");
    let (right, bottom) =
        (window.left.saturating_add(window.width), window.top.saturating_add(window.height));
    Err(Error::Argument {
        name: "crop",
        must,
        got: format!("({}, {}, {right}, {bottom})", window.left, window.top),
    })
}

fn check_shape(window: Window, rows: usize, columns: usize) -> Result<()> {
    let (width, height) = (window.width, window.height);
    if rows == 0 || columns == 0 {
        return Err(PictureFault::Shape { width, height }.into());
    }
    if rows > height as usize || columns > width as usize {
        return Err(PictureFault::TooSmall { width, height, cells: (columns, rows) }.into());
    }
    if rows.max(columns) > Grid::SIDE {
        let (name, got) = if rows > columns { ("columns", columns) } else { ("rows", rows) };
        let must = format!(
            "fewer: it makes {} cells the other way, and {} is the most",
            rows.max(columns),
            Grid::SIDE
        );
        return Err(Error::Argument { name, must, got: got.to_string() });
    }
    Ok(())
}

/// Gives the largest part in the middle that has the shape of the grid.
#[expect(clippy::cast_possible_truncation, reason = "a part is no larger than the whole")]
fn middle(window: Window, rows: usize, columns: usize) -> Window {
    let (width, height) = (u64::from(window.width), u64::from(window.height));
    let (rows, columns) = (rows as u64, columns as u64);
    let nearest = |top: u64, bottom: u64, most: u64| ((2 * top + bottom) / (2 * bottom)).clamp(1, most);
    if width * rows > height * columns {
        let narrow = nearest(height * columns, rows, width);
        Window { left: window.left + ((width - narrow) / 2) as u32, width: narrow as u32, ..window }
    } else {
        let low = nearest(width * rows, columns, height);
        Window { top: window.top + ((height - low) / 2) as u32, height: low as u32, ..window }
    }
}
