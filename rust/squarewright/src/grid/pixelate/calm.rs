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
    let painted = (0..labels.len()).filter(|&place| field.cells[place].is_some());
    let mut turn = Turn { colour: 0, open: vec![false; labels.len()], places: Vec::new() };
    let mut all = vec![0; labels.len()];
    painted.for_each(|place| all[place] = field.around(place).map(|(_, border)| border).sum::<i32>());
    let mut pays: Vec<i32> = (0..labels.len()).map(|place| costs.of(place, labels[place])).collect();
    for _ in 0..cycles {
        let mut changed = false;
        for colour in 0..costs.colours {
            #[expect(clippy::cast_possible_truncation, reason = "a palette has at most 64 colours")]
            turn.begin(colour as u8, costs, (labels, &pays, &all));
            turn.narrow(field, costs, labels);
            if !turn.places.is_empty() {
                turn.set_up(&mut cut, field, costs, labels);
                cut.solve(watch)?;
                changed |= turn.take(&cut, costs, labels, &mut pays);
            }
            watch.check(0.6)?;
        }
        if !changed {
            break;
        }
    }
    Ok(())
}

/// The turn of one colour.
struct Turn {
    colour: u8,
    /// The cells that may gain by taking it, as a table and as a list.
    open: Vec<bool>,
    places: Vec<usize>,
}

impl Turn {
    /// Opens the cells that would pay less for a colour than `all` their borders.
    fn begin(&mut self, colour: u8, costs: &Costs, (labels, pays, all): (&[u8], &[i32], &[i32])) {
        self.colour = colour;
        self.places.drain(..).for_each(|place| self.open[place] = false);
        for (place, cost) in costs.column(colour).enumerate() {
            // a bare cell pays nothing either way, and nothing for borders
            if cost - pays[place] < all[place] && labels[place] != colour {
                self.open[place] = true;
                self.places.push(place);
            }
        }
    }

    /// Closes the cells that would pay no less for the colour than the borders to all neighbours that have it
    /// or may take it.
    fn narrow(&mut self, field: &Field, costs: &Costs, labels: &[u8]) {
        let Self { colour, open, places } = self;
        for _ in 0..PASSES {
            let before = places.len();
            places.retain(|&place| {
                let more = costs.of(place, *colour) - costs.of(place, labels[place]);
                let joining = |&(next, _): &(usize, i32)| open[next] || labels[next] == *colour;
                let saved: i32 = field.around(place).filter(joining).map(|(_, border)| border).sum();
                open[place] = more < saved;
                open[place]
            });
            if places.len() == before {
                break;
            }
        }
    }

    /// Sets up the cut that tells which cells gain by taking the colour.
    fn set_up(&self, cut: &mut Cut, field: &Field, costs: &Costs, labels: &[u8]) {
        cut.clear();
        for &place in &self.places {
            let label = labels[place];
            let mut more = costs.of(place, self.colour) - costs.of(place, label);
            for (next, border) in field.around(place) {
                let other = labels[next];
                let now = if label == other { 0 } else { border };
                if !self.open[next] {
                    more += if other == self.colour { 0 } else { border } - now;
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
    }

    /// Gives the colour to the cells that gain by it; says whether any cell changed.
    fn take(&self, cut: &Cut, costs: &Costs, labels: &mut [u8], pays: &mut [i32]) -> bool {
        let mut changed = false;
        for &place in self.places.iter().filter(|&&place| cut.at_sink(place)) {
            (labels[place], pays[place]) = (self.colour, costs.of(place, self.colour));
            changed = true;
        }
        changed
    }
}
