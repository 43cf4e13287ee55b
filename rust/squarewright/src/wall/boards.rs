//! Which figure is made on which board.

use serde::{Deserialize, Serialize};

use super::{Figure, Nesting, Spacing, WallFigure, nest};
use crate::fault::{Error, Result, Unwatched, Watch};
use crate::panel::Panel;
use crate::plan::Ending;

/// One figure of those that share boards, by its place and its number among its copies, both from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Laid {
    /// Which of the figures.
    pub figure: usize,
    /// Which of its copies.
    pub copy: usize,
}

/// The boards of the wall.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Boards {
    /// The figures that are cut out of boards that they may share; none when there are no such figures.
    pub nesting: Option<Nesting>,
    /// Which figures these are, in the order of the nesting.
    pub laid: Vec<Laid>,
    /// Figures on boards of their own, by their places, with the boards of all copies: those that stay whole
    /// squares, and those whose seams are the edges of boards.
    pub own: Vec<(usize, usize)>,
}

impl Boards {
    /// Counts all boards.
    pub fn count(&self) -> usize {
        let shared = self.nesting.as_ref().map_or(0, |nesting| nesting.panels.len());
        shared + self.own.iter().map(|&(_, boards)| boards).sum::<usize>()
    }

    pub(super) fn of(
        figures: &[WallFigure],
        panel: Panel,
        spacing: Spacing,
        watch: &dyn Watch,
    ) -> Result<Self> {
        let cut = |each: &WallFigure| Figure { grid: each.plan.grid().clone(), pitch: each.plan.fit().pitch };
        let fit = |each: &WallFigure| each.plan.fit().across * each.plan.fit().down;
        let is_shared = |each: &WallFigure| fit(each) == 1 && each.plan.making().ending == Ending::CutOut;
        let mut shared: Vec<usize> = (0..figures.len()).filter(|&place| is_shared(&figures[place])).collect();
        let lay = |shared: &[usize]| -> Result<Option<Nesting>> {
            let all: Vec<Figure> = shared
                .iter()
                .flat_map(|&place| std::iter::repeat_n(cut(&figures[place]), figures[place].copies))
                .collect();
            if all.is_empty() { Ok(None) } else { nest(all, panel, spacing, watch).map(Some) }
        };
        let nesting = match lay(&shared) {
            // Figures that fill their board may count a hair larger among others: they keep it to themselves.
            Err(Error::Fit { .. }) => {
                shared.retain(|&place| nest(vec![cut(&figures[place])], panel, spacing, &Unwatched).is_ok());
                lay(&shared)?
            }
            nested => nested?,
        };
        let own = (0..figures.len()).filter(|place| !shared.contains(place));
        let own = own.map(|place| (place, fit(&figures[place]) * figures[place].copies)).collect();
        let copies = |&figure: &usize| (0..figures[figure].copies).map(move |copy| Laid { figure, copy });
        Ok(Self { nesting, laid: shared.iter().flat_map(copies).collect(), own })
    }
}
