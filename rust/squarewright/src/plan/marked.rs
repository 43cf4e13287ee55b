//! What is marked and drawn on the panels, and what that saves.

use serde::Serialize;

use super::{Minutes, Plan, Rate};
use crate::outline::{GridLines, Marking};
use crate::panel::{Mark, Piece};

/// The marks and lines of all panels, and how many fewer they are than all there could be.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Marked {
    /// Marks on all four edges.
    pub marks: usize,
    /// Lines of the grid.
    pub lines: usize,
    /// What is drawn, in millimetres.
    pub mm: f64,
    /// Marks that are left out.
    pub marks_saved: usize,
    /// Lines that are left out.
    pub lines_saved: usize,
    /// What need not be drawn, in millimetres.
    pub saved_mm: f64,
    /// The minutes that take what is left out; a line that is drawn in part counts as a whole one.
    pub saved: Minutes,
}

impl Plan {
    /// Finds the lines to draw on one panel.
    pub fn lines(&self, piece: &Piece) -> GridLines {
        GridLines::of(self.outline(), piece, self.making().marking)
    }

    /// Gives the marks to make along the top and bottom edges of a panel.
    pub fn column_marks(&self, piece: &Piece) -> Vec<Mark> {
        let kept = self.lines(piece).columns;
        let marks = self.fit().column_marks(piece).into_iter();
        marks.filter(|mark| kept.iter().any(|line| line.index == mark.index)).collect()
    }

    /// Gives the marks to make along the left and right edges of a panel.
    pub fn row_marks(&self, piece: &Piece) -> Vec<Mark> {
        let kept = self.lines(piece).rows;
        let marks = self.fit().row_marks(piece).into_iter();
        marks.filter(|mark| kept.iter().any(|line| line.index == mark.index)).collect()
    }

    /// Counts what is marked and drawn.
    pub fn marked(&self) -> Marked {
        let count = |marking| {
            let pieces = self.fit().pieces.iter();
            pieces
                .map(|piece| GridLines::of(self.outline(), piece, marking))
                .fold((0, 0), |(lines, cells), on| (lines + on.count(), cells + on.cells()))
        };
        let ((lines, cells), (all, full)) = (count(self.making().marking), count(Marking::All));
        let mm = |cells: usize| self.fit().pitch.mm() * cells as f64;
        let saved = all - lines;
        let rates = &self.timing().rates;
        let ((mark, long), (line, slow)) = (rates.minutes(Rate::Mark), rates.minutes(Rate::Line));
        let (marks, drawn) = ((saved * 2) as f64, saved as f64);
        Marked {
            marks: lines * 2,
            lines,
            mm: mm(cells),
            marks_saved: saved * 2,
            lines_saved: saved,
            saved_mm: mm(full - cells),
            saved: Minutes { low: marks * mark + drawn * line, high: marks * long + drawn * slow },
        }
    }
}
