//! Sharing few figures out among few panels, by every way there is.

use std::collections::HashMap;

use super::board::Board;
use super::exact::{Answer, Stamps};
use super::lay::{Job, Laid, Layout};
use crate::fault::{Result, Watch};

/// The most figures that are shared out among several panels in every way.
const FIGURES: usize = 12;
/// The most figures that are searched for on one panel.
const ON_ONE: usize = 64;
/// Places that are looked at in all.
const EFFORT: u64 = 3_000_000;

/// Looks for a layout on fewer panels than `found`; gives it, and the least number of panels there can be.
pub(super) fn fewer(
    job: &Job,
    known: usize,
    found: usize,
    watch: &dyn Watch,
) -> Result<(Option<Layout>, usize)> {
    let mut least = known;
    let Some(stamps) = Stamps::new(job).filter(|_| least < found) else { return Ok((None, least)) };
    let mut sharing = Sharing::new(job, stamps, watch);
    let count = job.kinds.len();
    for panels in known..found {
        if count > ON_ONE || panels > 1 && count > FIGURES {
            break;
        }
        sharing.panels = panels;
        sharing.doubt = false;
        if sharing.share(0)? {
            let least = if sharing.doubt { least } else { panels };
            return Ok((Some(sharing.layout()), least));
        }
        if !sharing.doubt && least == panels {
            least = panels + 1;
        }
    }
    Ok((None, least))
}

struct Sharing<'a> {
    job: &'a Job,
    stamps: Stamps,
    watch: &'a dyn Watch,
    /// Figures from the largest to the smallest.
    order: Vec<usize>,
    panels: usize,
    /// The set of figures on each panel, a bit for each place in the order.
    sets: Vec<u64>,
    known: HashMap<u64, Answer>,
    effort: u64,
    /// Whether a set was given up.
    doubt: bool,
}

impl<'a> Sharing<'a> {
    fn new(job: &'a Job, stamps: Stamps, watch: &'a dyn Watch) -> Self {
        let mut order = job.by(|footprint| footprint.area);
        // Figures of one kind side by side, so that swapping them is not tried.
        order.sort_by_key(|&figure| (std::cmp::Reverse(job.area(figure)), job.kinds[figure]));
        let known = HashMap::new();
        Self { job, stamps, watch, order, panels: 1, sets: Vec::new(), known, effort: EFFORT, doubt: false }
    }

    /// Shares out the figures from a place in the order on.
    fn share(&mut self, place: usize) -> Result<bool> {
        self.watch.check(0.0)?;
        if place == self.order.len() {
            return Ok(true);
        }
        // On one panel only all of the figures together are worth a question.
        if self.panels == 1 {
            self.sets = vec![u64::MAX >> (64 - self.order.len())];
            return Ok(self.fits(self.sets[0]));
        }
        let kind = |place: usize| self.job.kinds[self.order[place]];
        let twin = place > 0 && kind(place) == kind(place - 1);
        let first = if twin { self.sets.iter().position(|set| set >> (place - 1) & 1 == 1) } else { None };
        for board in first.unwrap_or(0)..(self.sets.len() + 1).min(self.panels) {
            if board == self.sets.len() {
                self.sets.push(0);
            }
            self.sets[board] |= 1 << place;
            if self.fits(self.sets[board]) && self.share(place + 1)? {
                return Ok(true);
            }
            self.sets[board] &= !(1 << place);
            if self.sets[board] == 0 {
                self.sets.pop();
            }
        }
        Ok(false)
    }

    fn fits(&mut self, set: u64) -> bool {
        let answer = match self.known.get(&set) {
            Some(answer) => answer.clone(),
            None => self.asked(set),
        };
        self.doubt |= answer == Answer::Unknown;
        matches!(answer, Answer::Way(_))
    }

    fn asked(&mut self, set: u64) -> Answer {
        let mut counts = vec![0; self.job.turns.len()];
        for figure in self.figures(set) {
            counts[self.job.kinds[figure]] += 1;
        }
        let answer = self.stamps.fit(counts, &mut self.effort);
        self.known.insert(set, answer.clone());
        answer
    }

    fn figures(&self, set: u64) -> Vec<usize> {
        let held = self.order.iter().enumerate().filter(|(place, _)| set >> place & 1 == 1);
        held.map(|(_, &figure)| figure).collect()
    }

    /// Gives the layout of the sets that were found.
    fn layout(&self) -> Layout {
        let mut layout = Layout { boards: Vec::new(), laid: Vec::new() };
        for (board, set) in self.sets.iter().enumerate() {
            let mut figures = self.figures(*set);
            let Some(Answer::Way(way)) = self.known.get(set) else { continue };
            let mut taken = Board::new(&self.job.lattice);
            for &(kind, turn, spot) in way {
                let next = figures.iter().position(|&figure| self.job.kinds[figure] == kind);
                let figure = figures.remove(next.expect("a way has the figures of its set"));
                taken.put(&self.job.turns[kind][turn], spot);
                layout.laid.push(Laid { figure, turn, board, spot });
            }
            layout.boards.push(taken);
        }
        layout
    }
}
