//! Hanging the figures of a wall: what hangs already stays, and what cannot hang is named and left out.

use super::placing::{Hung, Placing, Try, attempt};
use super::room::Room;
use super::{Fault, WallFigure, WallPlan};
use crate::fault::{Result, Watch};
use crate::plan::Step;

impl Placing {
    /// Finds a place for every copy of every figure; the first copy has the place that was set by hand. Copies that
    /// cannot hang are taken off, and gives what is left of the figures and why.
    ///
    /// # Errors
    /// As [`place`](super::place) when nothing can hang.
    pub(super) fn of(
        room: Room,
        mut figures: Vec<WallFigure>,
        earlier: Option<&WallPlan>,
        watch: &dyn Watch,
    ) -> Result<(Self, Vec<WallFigure>, Vec<Fault>)> {
        let copies = |(figure, each): (usize, &WallFigure)| (0..each.copies).map(move |copy| (figure, copy));
        let mut all: Vec<(usize, Hung)> = figures
            .iter()
            .enumerate()
            .flat_map(copies)
            .map(|(figure, copy)| (figure, hung(&figures[figure], copy, earlier)))
            .collect();
        let mut faults = Vec::new();
        loop {
            let pieces: Vec<Hung> = all.iter().map(|(_, hung)| hung.clone()).collect();
            let (misfits, error) = match attempt(&room, &pieces, watch)? {
                Try::Placed(mut placing) => {
                    for (place, each) in figures.iter_mut().enumerate() {
                        each.copies = all.iter().filter(|(figure, _)| *figure == place).count();
                    }
                    figures.retain(|each| each.copies > 0);
                    let names = figures.iter().flat_map(|each| (0..each.copies).map(|copy| name(each, copy)));
                    placing.figures.iter_mut().zip(names).for_each(|(placed, name)| placed.name = name);
                    return Ok((placing, figures, faults));
                }
                Try::Misfits(misfits, error) => (misfits, error),
            };
            if misfits.len() == all.len() {
                return Err(error);
            }
            let fault = |&misfit: &usize| {
                let name = all[misfit].1.name.clone();
                let what = match misfits.len() {
                    1 => error.to_string(),
                    _ => format!("there is no room on the wall for {name}"),
                };
                Fault { name, code: error.code().to_owned(), what, hint: error.hint() }
            };
            faults.extend(misfits.iter().map(fault));
            let mut place = 0;
            all.retain(|_| {
                place += 1;
                !misfits.contains(&(place - 1))
            });
        }
    }
}

fn hung(each: &WallFigure, copy: usize, earlier: Option<&WallPlan>) -> Hung {
    let area = each.plan.hung();
    let before = earlier.and_then(|earlier| {
        let (figure, old) = earlier.figures().iter().enumerate().find(|(_, old)| old.name == each.name)?;
        let is_it = |hung: &(usize, usize)| *hung == (figure, copy) && copy < old.copies;
        let place = earlier.hung().position(|hung| is_it(&hung))?;
        let placed = earlier.placing()?.figures.get(place)?;
        let is_same = (placed.width, placed.height) == (area.width, area.height);
        let hangs = earlier.done().of(&each.name, copy).has(Step::Hang);
        (hangs && is_same).then_some((placed.x, placed.y))
    });
    Hung {
        name: name(each, copy),
        width: area.width,
        height: area.height,
        grams: each.plan.hanging().grams().likely,
        hangs: before.is_some(),
        at: before.or(each.place.filter(|_| copy == 0)),
    }
}

/// Names one copy of a figure.
fn name(each: &WallFigure, copy: usize) -> String {
    if each.copies == 1 { each.name.clone() } else { format!("{} {}", each.name, copy + 1) }
}
