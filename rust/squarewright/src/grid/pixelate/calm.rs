//! Calming: fewer and quieter borders at a small cost in colour.
//!
//! The sum of what cells pay for their colours and of what borders between colours cost (a Potts energy) is
//! lowered by alpha-expansion (Boykov, Veksler and Zabih 2001, doi 10.1109/34.969114): for one colour after
//! the other, the best set of cells to take it is found by a cut. Cells that cannot gain, whatever their
//! neighbours do, are left out of the cut; that is most of them.

use super::cut::{Cut, Way};
use super::field::{Costs, Field};
use crate::fault::{Result, Watch};

/// Passes over the cells that leave out those which cannot gain.
const PASSES: usize = 3;

/// Lowers the energy of `labels`, with at most `cycles` turns for each colour.
pub(super) fn calm(
    field: &Field,
    costs: &Costs,
    labels: &mut [u8],
    cycles: usize,
    watch: &dyn Watch,
) -> Result<()> {
    let mut cut = Cut::new(field.rows, field.columns);
    for _ in 0..cycles {
        let mut changed = false;
        for colour in 0..costs.colours {
            #[expect(clippy::cast_possible_truncation, reason = "a palette has at most 64 colours")]
            let colour = colour as u8;
            if expand(&mut cut, field, costs, labels, colour) {
                cut.solve(watch)?;
                changed |= take(&cut, labels, colour);
            }
            watch.check(0.6)?;
        }
        if !changed {
            break;
        }
    }
    Ok(())
}

/// Sets up the cut that tells which cells gain by taking a colour; says whether any may.
fn expand(cut: &mut Cut, field: &Field, costs: &Costs, labels: &[u8], colour: u8) -> bool {
    let open = candidates(field, costs, labels, colour);
    if !open.contains(&true) {
        return false;
    }
    cut.clear();
    for place in (0..open.len()).filter(|&place| open[place]) {
        let label = labels[place];
        let mut more = costs.of(place, colour) - costs.of(place, label);
        for (next, border) in field.around(place) {
            let other = labels[next];
            let now = if label == other { 0 } else { border };
            if !open[next] {
                more += if other == colour { 0 } else { border } - now;
            } else if next > place {
                // Both keep: `now`; one takes it: `border`; both take it: nothing.
                more += border - now;
                cut.demand(next, -border);
                let way = if next == place + 1 && field.columns > 1 { Way::Right } else { Way::Down };
                cut.edge(place, way, 2 * border - now);
            }
        }
        cut.demand(place, more);
    }
    true
}

/// Gives a colour to the cells that gain by it; says whether any cell changed.
fn take(cut: &Cut, labels: &mut [u8], colour: u8) -> bool {
    let mut changed = false;
    for (place, label) in labels.iter_mut().enumerate() {
        if cut.at_sink(place) && *label != colour {
            *label = colour;
            changed = true;
        }
    }
    changed
}

/// Finds the cells that may gain by taking a colour: those that would pay less for it than the borders to all
/// neighbours that have it or may take it.
fn candidates(field: &Field, costs: &Costs, labels: &[u8], colour: u8) -> Vec<bool> {
    let mut open: Vec<bool> =
        (0..labels.len()).map(|place| field.cells[place].is_some() && labels[place] != colour).collect();
    for _ in 0..PASSES {
        let mut closed = false;
        for place in 0..open.len() {
            if !open[place] {
                continue;
            }
            let more = costs.of(place, colour) - costs.of(place, labels[place]);
            let joining = |&(next, _): &(usize, i32)| open[next] || labels[next] == colour;
            let saved: i32 = field.around(place).filter(joining).map(|(_, border)| border).sum();
            if more >= saved {
                open[place] = false;
                closed = true;
            }
        }
        if !closed {
            break;
        }
    }
    open
}
