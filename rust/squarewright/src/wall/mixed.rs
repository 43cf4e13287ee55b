//! Figures painted in the colours of the wall, each of which is mixed once.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::{Asking, Merging, WallFigure};
use crate::colour::Rgb;
use crate::fault::{Part, Result, Watch};
use crate::paint::Mixing;
use crate::plan::{Plan, Supply};

/// Paints all figures in the colours of the wall, and mixes each of these once.
pub(super) fn mixed(
    figures: &[WallFigure],
    merging: &Merging,
    asked: &Asking,
    watch: &dyn Watch,
) -> Result<(Vec<WallFigure>, Option<Supply>)> {
    let (started, found) = (Part::new(watch, 0.1, 0.1), Part::new(watch, 0.5, 0.5));
    let recolour = |each: &WallFigure| {
        let colours = each.plan.grid().palette().colours();
        if colours.iter().all(|&colour| merging.becomes(colour) == colour) {
            return Ok(Arc::clone(&each.plan));
        }
        each.plan.recoloured(|colour| merging.becomes(colour), &started).map(Arc::new)
    };
    let plans = on_threads(figures, asked.threads, recolour)?;
    let Some(stock) = &asked.stock else { return Ok((with(figures, plans), None)) };
    let wanted: Vec<Rgb> = plans.iter().flat_map(|plan| plan.mixed_colours()).collect();
    let mut colours = merging.colours.clone();
    colours.retain(|colour| wanted.contains(colour));
    for colour in wanted {
        if !colours.contains(&colour) {
            colours.push(colour);
        }
    }
    let mixing = Mixing::default();
    let supply = Supply::of(&colours, &asked.pinned, stock, &mixing, &Part::new(watch, 0.1, 0.5))?;
    let mix = |plan: &Arc<Plan>| {
        let painting = plan.painting().clone();
        let plan = Plan::clone(plan).mixed_from(&supply, &mixing, &found)?;
        plan.painted(painting, Some(stock)).map(Arc::new)
    };
    let plans = on_threads(&plans, asked.threads, mix)?;
    Ok((with(figures, plans), Some(supply)))
}

fn with(figures: &[WallFigure], plans: Vec<Arc<Plan>>) -> Vec<WallFigure> {
    figures.iter().zip(plans).map(|(each, plan)| WallFigure { plan, ..each.clone() }).collect()
}

/// Does the same with each thing, on so many threads; what comes out stands in the order of the things.
fn on_threads<T: Sync, U: Send>(
    things: &[T],
    threads: usize,
    each: impl Fn(&T) -> Result<U> + Sync,
) -> Result<Vec<U>> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(thing) = things.get(place) else { return done };
            done.push((place, each(thing)));
        }
    };
    let mut done = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads.clamp(1, things.len().max(1))).map(|_| scope.spawn(work)).collect();
        let mut done = work();
        for other in others {
            match other.join() {
                Ok(more) => done.extend(more),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|&(place, _)| place);
    done.into_iter().map(|(_, made)| made).collect()
}
