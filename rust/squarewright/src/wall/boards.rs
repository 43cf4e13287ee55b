//! Which figure is made on which board.
//!
//! A figure of several boards is split into its pieces first. A piece keeps the place that its own book gives it:
//! its seams lie at the edges of the board as it came from the maker, which no knife cuts as straight, and its marks
//! are measured from there. What it leaves of its board is for others. Whole squares keep their boards.

use serde::{Deserialize, Serialize};

use super::done::Todo;
use super::nest::nest_on;
use super::start::{self, Fixed, Origin, Start};
use super::{Asking, Figure, Nesting, WallFigure, WallPlan, nest};
use crate::fault::{Error, Result, Unwatched, Watch};
use crate::length::{Length, Ratio};
use crate::panel::Piece;
use crate::plan::{Ending, Plan};

/// One figure of those that share boards, or a piece of it, all from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Laid {
    /// Which of the figures.
    pub figure: usize,
    /// Which of its copies.
    pub copy: usize,
    /// Which of its pieces; 0 for a figure of one piece.
    pub piece: usize,
}

/// The boards of the wall.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Boards {
    /// The figures that are cut out of boards that they may share; none when there are no such figures.
    pub nesting: Option<Nesting>,
    /// Which figures these are, in the order of the nesting. What the nesting has beyond them was begun on its board
    /// and is on the wall no more.
    pub laid: Vec<Laid>,
    /// Whole squares, by their places, with the boards of all copies.
    pub own: Vec<(usize, usize)>,
}

impl Boards {
    /// Counts all boards; off-cuts are none.
    pub fn count(&self) -> usize {
        let boards = self.nesting.iter().flat_map(|nesting| &nesting.panels);
        let shared = boards.filter(|panel| !matches!(panel.origin, Origin::OffCut(..))).count();
        shared + self.own.iter().map(|&(_, boards)| boards).sum::<usize>()
    }

    /// Counts the boards that are not in use yet.
    pub(super) fn needed(&self, todo: Todo<'_>) -> usize {
        let panels = self.nesting.iter().flat_map(|nesting| &nesting.panels);
        let shared = panels.filter(|panel| {
            let mut laid = panel.figures.iter().filter_map(|nested| self.laid.get(nested.figure));
            panel.origin == Origin::New && !laid.any(|laid| todo.of(laid.figure, laid.copy).on_board())
        });
        let own = self.own.iter().map(|&(figure, boards)| {
            let copies = todo.figures[figure].copies;
            let open = (0..copies).filter(|&copy| !todo.of(figure, copy).on_board()).count();
            boards / copies * open
        });
        shared.count() + own.sum::<usize>()
    }

    /// Lists the copies that lie on the boards of one copy, itself among them.
    pub(super) fn mates(&self, figure: usize, copy: usize) -> Vec<(usize, usize)> {
        let mut mates = vec![(figure, copy)];
        for panel in self.nesting.iter().flat_map(|nesting| &nesting.panels) {
            let laid = panel.figures.iter().filter_map(|nested| self.laid.get(nested.figure));
            let lying: Vec<(usize, usize)> = laid.map(|laid| (laid.figure, laid.copy)).collect();
            if lying.contains(&(figure, copy)) {
                mates.extend(lying);
            }
        }
        mates
    }

    /// Finds a board for each copy; and names the copies whose shape changed after their board was touched.
    pub(super) fn of(
        figures: &[WallFigure],
        asked: &Asking,
        watch: &dyn Watch,
    ) -> Result<(Self, Vec<(usize, usize)>)> {
        let (panel, spacing) = (asked.panel, asked.spacing);
        let cut_out = |figure: &usize| figures[*figure].plan.making().ending == Ending::CutOut;
        let mut table = Table::new(figures, (0..figures.len()).filter(cut_out));
        table.keep_begun(asked.earlier.as_deref());
        table.off_cuts(&asked.pack.offcuts);
        table.keep_pieces();
        let lay = |table: &Table<'_>| {
            let (starts, all) = (table.starts.clone(), table.figures.clone());
            if all.is_empty() { Ok(None) } else { nest_on(starts, all, (panel, spacing), watch).map(Some) }
        };
        let nesting = match lay(&table) {
            // Figures that fill their board may count a hair larger among others: they lie as in their books.
            Err(Error::Fit { .. }) => {
                table.keep(|figure| nest(vec![figure.clone()], panel, spacing, &Unwatched).is_err());
                lay(&table)?
            }
            nested => nested?,
        };
        let own = (0..figures.len()).filter(|figure| !cut_out(figure));
        let boards = |figure: usize| figures[figure].plan.fit().pieces.len() * figures[figure].copies;
        let own = own.map(|figure| (figure, boards(figure))).collect();
        Ok((Self { nesting, laid: table.laid, own }, table.changed))
    }
}

/// What is to be laid, and what has its place.
struct Table<'a> {
    plans: &'a [WallFigure],
    laid: Vec<Laid>,
    /// Those of `laid` in their order, then what is on the wall no more.
    figures: Vec<Figure>,
    starts: Vec<Start>,
    /// Copies that are no longer cut as they lie on their board.
    changed: Vec<(usize, usize)>,
}

impl<'a> Table<'a> {
    fn new(plans: &'a [WallFigure], shared: impl Iterator<Item = usize>) -> Self {
        let (mut laid, mut figures) = (Vec::new(), Vec::new());
        for figure in shared {
            let WallFigure { plan, copies, .. } = &plans[figure];
            // A piece without a cell needs no board.
            let pieces: Vec<(usize, Figure)> = (0..plan.fit().pieces.len())
                .filter_map(|piece| Some((piece, cut(plan, &plan.fit().pieces[piece])?)))
                .collect();
            for copy in 0..*copies {
                laid.extend(pieces.iter().map(|&(piece, _)| Laid { figure, copy, piece }));
                figures.extend(pieces.iter().map(|(_, figure)| figure.clone()));
            }
        }
        Self { plans, laid, figures, starts: Vec::new(), changed: Vec::new() }
    }

    /// Leaves what was begun where it lies: by its name when it is still cut out alike, and as a loss when its shape
    /// is on the board and changed.
    fn keep_begun(&mut self, earlier: Option<&WallPlan>) {
        let Some((earlier, nesting)) =
            earlier.and_then(|earlier| Some((earlier, earlier.boards().nesting.as_ref()?)))
        else {
            return;
        };
        for panel in &nesting.panels {
            let mut start = Start { origin: panel.origin, fixed: Vec::new() };
            let mut is_begun = false;
            for nested in &panel.figures {
                let old = &nesting.figures[nested.figure];
                let laid = earlier.boards().laid.get(nested.figure);
                let own = laid.map(|laid| (laid, earlier.figures()[laid.figure].name.as_str()));
                let said = own.map(|(laid, name)| earlier.done().of(name, laid.copy));
                if said.is_some_and(|own| !own.on_board()) {
                    continue;
                }
                is_begun = true;
                let found = own.and_then(|(laid, name)| self.find(name, *laid));
                let now = found.filter(|&now| self.figures[now].is_cut_like(old));
                if let Some(found) = found.filter(|_| now.is_none()) {
                    self.changed.push((self.laid[found].figure, self.laid[found].copy));
                }
                if now.is_none() && said.is_some_and(|own| !own.is_drawn()) {
                    continue;
                }
                let figure = now.unwrap_or(self.figures.len());
                if now.is_none() {
                    self.figures.push(old.clone());
                }
                let (x, y) = (nested.x.ratio(), nested.y.ratio());
                start.fixed.push(Fixed { figure, x, y, quarter_turns: nested.quarter_turns });
            }
            if is_begun {
                start.origin = if panel.origin == Origin::New { Origin::InUse } else { panel.origin };
                self.starts.push(start);
            }
        }
    }

    /// Finds what lies on the boards by its name, copy and piece.
    fn find(&self, name: &str, Laid { copy, piece, .. }: Laid) -> Option<usize> {
        let is_it =
            |laid: &Laid| (&*self.plans[laid.figure].name, laid.copy, laid.piece) == (name, copy, piece);
        self.laid.iter().position(is_it)
    }

    /// Offers off-cuts, the smallest first; those that are in use already count once.
    fn off_cuts(&mut self, sizes: &[(Length, Length)]) {
        let mut used: Vec<Origin> = self.starts.iter().map(|start| start.origin).collect();
        let mut sizes = sizes.to_vec();
        sizes.sort_by_key(|&(width, height)| width.units() * height.units() / Length::MM.units());
        let mut starts = Vec::new();
        for (width, height) in sizes {
            let origin = Origin::OffCut(width, height);
            match used.iter().position(|&other| other == origin) {
                Some(place) => {
                    used.remove(place);
                }
                None => starts.push(Start { origin, fixed: Vec::new() }),
            }
        }
        self.starts.splice(0..0, starts);
    }

    /// Lays the pieces of larger figures as their books say.
    fn keep_pieces(&mut self) {
        let plans = self.plans;
        let several = |laid: &Laid| plans[laid.figure].plan.fit().pieces.len() > 1;
        let places: Vec<usize> = (0..self.laid.len()).filter(|&place| several(&self.laid[place])).collect();
        self.keep_where(&places);
    }

    /// Lays figures as their books say.
    fn keep(&mut self, is_kept: impl Fn(&Figure) -> bool) {
        let places: Vec<usize> =
            (0..self.laid.len()).filter(|&place| is_kept(&self.figures[place])).collect();
        self.keep_where(&places);
    }

    fn keep_where(&mut self, places: &[usize]) {
        for &place in places {
            let is_fixed = |start: &Start| start.fixed.iter().any(|fixed| fixed.figure == place);
            if self.starts.iter().any(is_fixed) {
                continue;
            }
            let Laid { figure, piece, .. } = self.laid[place];
            let Piece { left, top, .. } = self.plans[figure].plan.fit().pieces[piece];
            let at: (Ratio, Ratio) = (left, top);
            let fixed = vec![start::fixed(place, &self.figures[place], at)];
            self.starts.push(Start { origin: Origin::New, fixed });
        }
    }
}

/// Gives one piece of a figure; none when all of it is bare.
fn cut(plan: &Plan, piece: &Piece) -> Option<Figure> {
    let grid = plan.grid().cropped(piece.rows.clone(), piece.columns.clone()).ok()?;
    Some(Figure { grid, pitch: plan.fit().pitch })
}
