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
    painted.for_each(|place| all[place] = field.borders(place).map(|(_, border)| border).iter().sum::<i32>());
    let mut bars: Vec<i32> =
        (0..labels.len()).map(|place| costs.of(place, labels[place]) + all[place]).collect();
    for _ in 0..cycles {
        let mut changed = false;
        for colour in 0..costs.colours {
            #[expect(clippy::cast_possible_truncation, reason = "a palette has at most 64 colours")]
            turn.begin(colour as u8, costs, (labels, &bars));
            turn.narrow(field, costs, labels);
            if !turn.places.is_empty() {
                turn.set_up(&mut cut, field, costs, labels);
                cut.solve(watch)?;
                for place in turn.take(&cut, labels) {
                    bars[place] = costs.of(place, turn.colour) + all[place];
                    changed = true;
                }
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
    /// Opens the cells whose cost for a colour is below their `bars`: what they pay now, for all borders too.
    fn begin(&mut self, colour: u8, costs: &Costs, (labels, bars): (&[u8], &[i32])) {
        self.colour = colour;
        self.places.drain(..).for_each(|place| self.open[place] = false);
        for (first, tile, bars) in costs.column(colour, bars) {
            // a bare cell pays nothing either way, and nothing for borders
            let below = tile.iter().zip(bars).map(|(&cost, &bar)| u32::from(cost < bar)).sum::<u32>();
            if below == 0 {
                continue;
            }
            for (place, (&cost, &bar)) in (first..).zip(tile.iter().zip(bars)) {
                if cost < bar && labels[place] != colour {
                    self.open[place] = true;
                    self.places.push(place);
                }
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
                let joining = |next: usize| open[next] || labels[next] == *colour;
                let saved = field.borders(place).map(|(next, border)| if joining(next) { border } else { 0 });
                open[place] = more < saved.iter().sum();
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

    /// Gives the colour to the cells that gain by it; gives these.
    fn take(&self, cut: &Cut, labels: &mut [u8]) -> Vec<usize> {
        let gaining: Vec<usize> = self.places.iter().copied().filter(|&place| cut.at_sink(place)).collect();
        for &place in &gaining {
            labels[place] = self.colour;
        }
        gaining
    }
}
