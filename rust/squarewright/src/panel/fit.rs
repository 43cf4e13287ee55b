//! Fitting a grid to panels: the pitch, the pieces, their margins and their marks.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::axis::Axis;
use super::marks::Mark;
use super::pitch::{Pitches, SCALE, largest_half_mm};
use super::{Panel, marks};
use crate::fault::{Error, Result};
use crate::length::{Length, Ratio, Ruler, System};

/// How large the figure is to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Size {
    /// As large as the panels and the list of pitches allow.
    #[default]
    Largest,
    /// One cell of this size.
    Pitch(Ratio),
    /// The whole figure this wide.
    Width(Ratio),
    /// The whole figure this high.
    Height(Ratio),
}

/// What is asked of a fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fitting {
    /// What the maker measures with.
    pub ruler: Ruler,
    /// The cell sizes to choose from.
    pub pitches: Pitches,
    /// How large the figure is to be.
    pub size: Size,
    /// Panels side by side; none leaves it to the size.
    pub across: Option<usize>,
    /// Panels one below the other; none leaves it to the size.
    pub down: Option<usize>,
    /// What stays free along the outer edges.
    pub margin: Length,
}

impl Default for Fitting {
    fn default() -> Self {
        Self {
            ruler: Ruler::default(),
            pitches: Pitches::Friendly,
            size: Size::Largest,
            across: None,
            down: None,
            margin: Length::ZERO,
        }
    }
}

/// A grid placed on panels.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fit {
    /// The panel, as measured.
    pub panel: Panel,
    /// What the marks are rounded to.
    pub ruler: Ruler,
    /// The side of a cell.
    pub pitch: Ratio,
    /// Columns of the grid.
    pub columns: usize,
    /// Rows of the grid.
    pub rows: usize,
    /// Panels side by side.
    pub across: usize,
    /// Panels one below the other.
    pub down: usize,
    /// The part of the grid on each panel, row by row.
    pub pieces: Vec<Piece>,
    /// What stays free around the whole figure.
    pub margins: Margins,
    /// What was to stay free along the outer edges at least.
    pub margin: Length,
    /// Other pitches worth a thought.
    pub alternatives: Vec<Alternative>,
}

/// What stays free between the figure and the outer edges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Margins {
    /// Free at the left.
    pub left: Ratio,
    /// Free at the right.
    pub right: Ratio,
    /// Free at the top.
    pub top: Ratio,
    /// Free at the bottom.
    pub bottom: Ratio,
}

/// The part of the grid that lies on one panel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Piece {
    /// Place of the panel from the left, from 0.
    pub across: usize,
    /// Place of the panel from the top, from 0.
    pub down: usize,
    /// The columns on this panel.
    pub columns: Range<usize>,
    /// The rows on this panel.
    pub rows: Range<usize>,
    /// From the panel's left edge to its first column.
    pub left: Ratio,
    /// From the panel's top edge to its first row.
    pub top: Ratio,
}

/// Another pitch and what it would give.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Alternative {
    /// Why it is listed.
    pub why: Why,
    /// The side of a cell.
    pub pitch: Ratio,
    /// Width of the figure.
    pub width: Ratio,
    /// Height of the figure.
    pub height: Ratio,
    /// The largest rounding of any mark.
    pub worst: Ratio,
}

/// Why an alternative is listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// It fills the panels exactly in one direction.
    FillsPanel,
    /// It is a division of a scale ruler.
    ScaleRuler,
    /// It is a whole or half count of millimetres.
    Metric,
}

/// Places a grid of `columns` × `rows` on panels, shared out as evenly as the panels allow;
/// [`Fit::with_seams`] moves the seams to where they harm least.
///
/// # Errors
/// [`Error::Fit`] when no allowed pitch fits, [`Error::Length`] or [`Error::Argument`] for bad settings.
pub fn fit(columns: usize, rows: usize, panel: Panel, asked: &Fitting) -> Result<Fit> {
    asked.margin.not_negative("margin")?;
    for (name, parts) in [("across", asked.across), ("down", asked.down)] {
        if parts.is_some_and(|parts| parts == 0 || parts > 100) {
            let got = parts.unwrap_or(0).to_string();
            return Err(Error::Argument { name, must: "1 to 100 panels".into(), got });
        }
    }
    let board = Board::new(columns, rows, panel, asked);
    let (pitch, across, down) = board.choose()?;
    Ok(board.place(pitch, across, down))
}

/// Passes a size above zero.
fn positive(size: Ratio, field: &'static str) -> Result<Ratio> {
    if size.is_positive() { Ok(size) } else { Err(Error::Length { field, got: size.to_string() }) }
}

/// The two axes and what is asked of them.
struct Board<'a> {
    columns: usize,
    rows: usize,
    panel: Panel,
    asked: &'a Fitting,
    x: Axis,
    y: Axis,
}

impl<'a> Board<'a> {
    fn new(columns: usize, rows: usize, panel: Panel, asked: &'a Fitting) -> Self {
        let axis = |side| Axis { side, margin: asked.margin };
        Self { columns, rows, panel, asked, x: axis(panel.width()), y: axis(panel.height()) }
    }

    fn choose(&self) -> Result<(Ratio, usize, usize)> {
        let pitch = match self.asked.size {
            Size::Largest => {
                let (across, down) = (self.asked.across.unwrap_or(1), self.asked.down.unwrap_or(1));
                let pitch =
                    self.asked.pitches.largest(self.asked.ruler, self.exact(across, down), |pitch| {
                        self.holds(pitch, across, down)
                    })?;
                return pitch.map(|pitch| (pitch, across, down)).ok_or_else(|| self.no_fit(across, down));
            }
            Size::Pitch(pitch) => positive(pitch, "pitch")?,
            Size::Width(width) => positive(width, "width")?.over(self.columns),
            Size::Height(height) => positive(height, "height")?.over(self.rows),
        };
        let across = self.asked.across.or_else(|| self.x.parts(self.columns, pitch));
        let down = self.asked.down.or_else(|| self.y.parts(self.rows, pitch));
        match (across, down) {
            (Some(across), Some(down)) if self.holds(pitch, across, down) => Ok((pitch, across, down)),
            _ => Err(self.no_fit(across.unwrap_or(1), down.unwrap_or(1))),
        }
    }

    fn holds(&self, pitch: Ratio, across: usize, down: usize) -> bool {
        self.x.holds(self.columns, pitch, across) && self.y.holds(self.rows, pitch, down)
    }

    /// Gives the pitch that fills the panels in the direction that is tighter.
    fn exact(&self, across: usize, down: usize) -> Ratio {
        let x = self.x.room(across).ratio().over(self.columns);
        x.min(self.y.room(down).ratio().over(self.rows))
    }

    fn no_fit(&self, across: usize, down: usize) -> Error {
        let exact = self.exact(across, down);
        let ruler = self.asked.ruler;
        let boards =
            if across * down == 1 { "one panel".into() } else { format!("{across} × {down} panels") };
        let has_room = self.asked.margin < self.panel.width().min(self.panel.height());
        let remedy = if exact.is_positive() && has_room {
            format!(
                "The largest cell that fits is {}. Ask for it or less, use more panels (across, down) or \
                 fewer cells.",
                ruler.text(exact)
            )
        } else {
            "The margins leave no room: make them smaller.".into()
        };
        Error::Fit {
            cells: format!("{} × {}", self.columns, self.rows),
            room: format!(
                "{boards} of {} (margins {}) at any cell size asked for",
                self.panel, self.asked.margin
            ),
            remedy,
        }
    }

    fn place(&self, pitch: Ratio, across: usize, down: usize) -> Fit {
        let none = Length::ZERO.ratio();
        let fit = Fit {
            panel: self.panel,
            ruler: self.asked.ruler,
            pitch,
            columns: self.columns,
            rows: self.rows,
            across,
            down,
            pieces: Vec::new(),
            margins: Margins { left: none, right: none, top: none, bottom: none },
            margin: self.asked.margin,
            alternatives: self.alternatives(pitch, across, down),
        };
        fit.shared(&self.x.even(self.columns, pitch, across), &self.y.even(self.rows, pitch, down))
    }

    fn alternatives(&self, chosen: Ratio, across: usize, down: usize) -> Vec<Alternative> {
        let exact = self.exact(across, down);
        let scale = SCALE.iter().map(|length| length.ratio());
        let scale = scale.filter(|&pitch| pitch != chosen && self.holds(pitch, across, down)).take(2);
        let metric = largest_half_mm(exact, |pitch| self.holds(pitch, across, down));
        let mut found: Vec<(Why, Ratio)> = Vec::new();
        found.extend((across * down == 1).then_some((Why::FillsPanel, exact)));
        found.extend(scale.map(|pitch| (Why::ScaleRuler, pitch)));
        found.extend(metric.map(|pitch| (Why::Metric, pitch)));
        found.retain(|&(_, pitch)| pitch != chosen && pitch.is_positive());
        found.into_iter().map(|(why, pitch)| self.alternative(why, pitch, (across, down))).collect()
    }

    fn alternative(&self, why: Why, pitch: Ratio, (across, down): (usize, usize)) -> Alternative {
        let graduation = match why {
            Why::Metric if self.asked.ruler.system() == System::Inch => Length::hundredths_mm(50),
            _ => self.asked.ruler.graduation(),
        };
        let worst = |axis: Axis, cells, parts| {
            let shares = axis.shares(cells, pitch, &axis.even(cells, pitch, parts), graduation);
            let marks = shares
                .into_iter()
                .flat_map(|share| marks::along(share.cells, share.start, pitch, graduation))
                .map(|mark| mark.error.abs());
            marks.max().unwrap_or(Length::ZERO.ratio())
        };
        Alternative {
            why,
            pitch,
            width: pitch.times(self.columns),
            height: pitch.times(self.rows),
            worst: worst(self.x, self.columns, across).max(worst(self.y, self.rows, down)),
        }
    }
}

impl Fit {
    /// Shares the cells out anew: a seam lies after each of these counts of columns and rows.
    pub(super) fn shared(self, columns: &[usize], rows: &[usize]) -> Self {
        let (pitch, graduation) = (self.pitch, self.ruler.graduation());
        let (x, y) = self.axes();
        let columns = x.shares(self.columns, pitch, columns, graduation);
        let rows = y.shares(self.rows, pitch, rows, graduation);
        let mut pieces = Vec::with_capacity(columns.len() * rows.len());
        for (down, row) in rows.iter().enumerate() {
            pieces.extend(columns.iter().enumerate().map(|(across, column)| Piece {
                across,
                down,
                columns: column.cells.clone(),
                rows: row.cells.clone(),
                left: column.start,
                top: row.start,
            }));
        }
        let far = |side: Length, start: Ratio, count: usize| side.ratio() - start - pitch.times(count);
        let (first, last) = (&pieces[0], &pieces[pieces.len() - 1]);
        let margins = Margins {
            left: first.left,
            right: far(self.panel.width(), last.left, last.columns.len()),
            top: first.top,
            bottom: far(self.panel.height(), last.top, last.rows.len()),
        };
        Self { pieces, margins, ..self }
    }

    /// Gives the two axes of its boards.
    pub(super) fn axes(&self) -> (Axis, Axis) {
        let axis = |side| Axis { side, margin: self.margin };
        (axis(self.panel.width()), axis(self.panel.height()))
    }

    /// Asks for the same place again.
    pub fn asked(&self) -> Fitting {
        let size = Size::Pitch(self.pitch);
        let (across, down) = (Some(self.across), Some(self.down));
        Fitting { ruler: self.ruler, pitches: Pitches::Friendly, size, across, down, margin: self.margin }
    }

    /// Gives the width of the whole figure.
    pub fn width(&self) -> Ratio {
        self.pitch.times(self.columns)
    }

    /// Gives the height of the whole figure.
    pub fn height(&self) -> Ratio {
        self.pitch.times(self.rows)
    }

    /// Gives width and height of all boards once they are trimmed and joined.
    pub fn joined(&self) -> (Length, Length) {
        let Margins { left, right, top, bottom } = self.margins;
        ((left + self.width() + right).nearest(), (top + self.height() + bottom).nearest())
    }

    /// Gives what is left of a piece's panel between its last cell and the next panel, right and below: it
    /// must be cut off before they are joined.
    pub fn trim(&self, piece: &Piece) -> (Ratio, Ratio) {
        let none = Length::ZERO.ratio();
        let spare = |side: Length, start: Ratio, cells: usize| side.ratio() - start - self.pitch.times(cells);
        let right = spare(self.panel.width(), piece.left, piece.columns.len());
        let below = spare(self.panel.height(), piece.top, piece.rows.len());
        let last = (piece.across + 1 == self.across, piece.down + 1 == self.down);
        (if last.0 { none } else { right }, if last.1 { none } else { below })
    }

    /// Gives the marks along the top and bottom edges of a piece's panel, from its left edge.
    pub fn column_marks(&self, piece: &Piece) -> Vec<Mark> {
        marks::along(piece.columns.clone(), piece.left, self.pitch, self.ruler.graduation())
    }

    /// Gives the marks along the left and right edges of a piece's panel, from its top edge.
    pub fn row_marks(&self, piece: &Piece) -> Vec<Mark> {
        marks::along(piece.rows.clone(), piece.top, self.pitch, self.ruler.graduation())
    }
}
