//! What a wall says about its rest: the steps that are left, and figures that are no part of its scale.

use super::done::{Todo, open_share};
use super::{WallFigure, WallPlan};
use crate::length::Ratio;
use crate::plan::{Step, Timed};

/// A step that is left of one copy of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remaining {
    /// Which figure, by its place.
    pub figure: usize,
    /// Which of its copies, from 0.
    pub copy: usize,
    /// The step, and its minutes: of the painting those of the coats that are left.
    pub step: Timed<Step>,
}

/// A figure with cells of another size than the wall has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OddSize {
    /// Which figure, by its place.
    pub figure: usize,
    /// The side of its cells.
    pub pitch: Ratio,
    /// By which part it is larger than the others; below zero when it is smaller.
    pub error: f64,
}

impl WallPlan {
    /// Tells whether the board of a copy is in use.
    pub fn is_begun(&self, figure: usize, copy: usize) -> bool {
        Todo { figures: self.figures(), done: self.done() }.of(figure, copy).on_board()
    }

    /// Lists what is left to do, figure by figure in the order of the work.
    pub fn remaining(&self) -> Vec<Remaining> {
        let todo = Todo { figures: self.figures(), done: self.done() };
        let mut left = Vec::new();
        for (figure, WallFigure { plan, copies, .. }) in self.figures().iter().enumerate() {
            let steps = plan.hours().steps;
            for copy in 0..*copies {
                let share = open_share(plan, todo.of(figure, copy));
                let open = steps.iter().filter(|step| todo.is_open(figure, copy, step.what));
                left.extend(open.map(|&step| {
                    let is_paint = step.what == Step::StartPainting;
                    let work = if is_paint { step.work.times(share) } else { step.work };
                    Remaining { figure, copy, step: Timed { work, ..step } }
                }));
            }
        }
        left
    }

    /// Names the figures that break the rule of one pitch for the wall, with how far they are off.
    pub fn odd_sizes(&self) -> Vec<OddSize> {
        let Some(common) = self.pitch() else { return Vec::new() };
        let odd = |(figure, each): (usize, &WallFigure)| {
            let pitch = each.plan.fit().pitch;
            (pitch != common).then(|| OddSize { figure, pitch, error: pitch.mm() / common.mm() - 1.0 })
        };
        self.figures().iter().enumerate().filter_map(odd).collect()
    }
}
