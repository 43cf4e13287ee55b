//! Finding places on a wall: close round the middle at the height of the eyes, and in balance.
//!
//! A figure takes its box, grown by the gap to the right and down, on a lattice of steps: boxes that do not overlap
//! keep the gap. From the heaviest to the lightest each figure gets the free place that costs least, and then each
//! is taken off and hung again until nothing gets better. A place costs the square of its distance from the middle,
//! in parts of the whole weight, and the square of the distance by which the weight of all is off the middle.
//! Where that leaves no room for some, all are packed row by row from the top left first.

use std::cmp::Reverse;

use super::room::Room;
use crate::fault::{Result, Watch};
use crate::length::{Area, Length, Place};

/// The most places that are looked at for a figure; on larger walls steps are doubled.
const PLACES: i64 = 60_000;
/// How often every figure is hung again at most.
const ROUNDS: usize = 6;
/// A group of figures is at most so many times as wide as it is high.
const FLATTEST: f64 = 2.2;

/// A figure that wants a place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    pub(super) width: Length,
    pub(super) height: Length,
    pub(super) mass: f64,
}

/// A step to the right and a step down.
type Spot = (usize, usize);

/// The wall on its lattice.
pub(super) struct Spread<'a> {
    room: &'a Room,
    pieces: &'a [Piece],
    step: i64,
    columns: usize,
    rows: usize,
    /// Which steps are never free.
    fixed: Vec<bool>,
    /// The moments of what hangs already.
    held: (f64, f64),
    /// The weight of all.
    mass: f64,
    flat: f64,
}

impl<'a> Spread<'a> {
    /// Takes the wall, the pieces that want a place and those that have one.
    pub(super) fn new(room: &'a Room, pieces: &'a [Piece], hung: &[(Area, f64)]) -> Self {
        let mut step = room.step.units();
        let count = |length: Length, step: i64| (length + room.gap).units() / step + 2;
        while count(room.width, step) * count(room.height, step) > PLACES {
            step *= 2;
        }
        let size = |length: Length| usize::try_from(count(length, step)).unwrap_or(0);
        let (columns, rows) = (size(room.width), size(room.height));
        let mass = pieces.iter().map(|piece| piece.mass).chain(hung.iter().map(|hung| hung.1)).sum();
        let flat = (room.width.mm() / room.height.mm()).clamp(1.0, FLATTEST);
        let fixed = vec![false; columns * rows];
        let mut spread = Self { room, pieces, step, columns, rows, fixed, held: (0.0, 0.0), mass, flat };
        for area in room.taken.iter().map(super::room::Taken::area).chain(hung.iter().map(|hung| hung.0)) {
            let from = |at: Length| usize::try_from(at.units().max(0) / step).unwrap_or(0);
            let to = |end: Length| spread.steps(end + room.gap);
            let (across, down) = (from(area.left())..to(area.right()), from(area.top())..to(area.bottom()));
            for row in down.start..down.end.min(rows) {
                spread.fixed[row * columns..][across.start..across.end.min(columns)].fill(true);
            }
        }
        for &(area, mass) in hung {
            let off = spread.off(area.corner, (area.width, area.height));
            spread.held = (spread.held.0 + off.0 * mass, spread.held.1 + off.1 * mass);
        }
        spread
    }

    /// Finds a place for each piece; those for which there is none stay without.
    pub(super) fn find(&self, watch: &dyn Watch) -> Result<Vec<Option<Place>>> {
        let mut found = self.near_the_middle(watch)?;
        let left = |spots: &[Option<Spot>]| spots.iter().filter(|spot| spot.is_none()).count();
        for order in self.orders() {
            if left(&found) == 0 {
                break;
            }
            let packed = self.packed(&order);
            if left(&packed) < left(&found) {
                found = packed;
            }
        }
        self.better(&mut found, watch)?;
        self.centred(&mut found);
        Ok(found.into_iter().map(|spot| spot.map(|spot| self.place(spot))).collect())
    }

    fn steps(&self, length: Length) -> usize {
        usize::try_from((length.units().max(0) + self.step - 1) / self.step).unwrap_or(0)
    }

    fn place(&self, (column, row): Spot) -> Place {
        let at = |count: usize| Length::from_units(self.step * i64::try_from(count).unwrap_or(0));
        Place::new(at(column), at(row))
    }

    /// Gives how far the middle of a box is from the middle of the wall and from the height of the eyes, in mm.
    fn off(&self, corner: Place, (width, height): (Length, Length)) -> (f64, f64) {
        let across = (corner.x * 2 + width - self.room.width).mm() / 2.0;
        (across, (corner.y * 2 + height - self.room.eye * 2).mm() / 2.0)
    }

    /// Gives the spots that leave the gap to the edges of the wall, as first and last steps.
    fn range(&self, piece: Piece) -> Option<(Spot, Spot)> {
        let first = self.steps(self.room.gap);
        let last = |side: Length, own: Length| {
            let room = (side - own - self.room.gap).units();
            usize::try_from(room.div_euclid(self.step)).ok().filter(|&last| last >= first)
        };
        let across = last(self.room.width, piece.width)?;
        Some(((first, first), (across, last(self.room.height, piece.height)?)))
    }

    /// Gives the free spots of a piece beside the others, row by row.
    fn free(&self, piece: usize, spots: &[Option<Spot>]) -> Vec<Spot> {
        let own = self.pieces[piece];
        let Some((first, last)) = self.range(own) else { return Vec::new() };
        let sums = self.sums(spots);
        let (wide, high) = self.grown(own);
        let line = self.columns + 1;
        let is_free = |column: usize, row: usize| {
            let at = |row: usize, column: usize| sums[row * line + column];
            at(row + high, column + wide) + at(row, column) == at(row, column + wide) + at(row + high, column)
        };
        let rows = (first.1..=last.1).flat_map(|row| (first.0..=last.0).map(move |column| (column, row)));
        rows.filter(|&(column, row)| is_free(column, row)).collect()
    }

    fn grown(&self, piece: Piece) -> (usize, usize) {
        (self.steps(piece.width + self.room.gap), self.steps(piece.height + self.room.gap))
    }

    /// Counts the taken steps above and to the left of every corner.
    fn sums(&self, spots: &[Option<Spot>]) -> Vec<u32> {
        let mut taken = self.fixed.clone();
        for (&piece, (column, row)) in
            self.pieces.iter().zip(spots).filter_map(|(piece, spot)| Some((piece, (*spot)?)))
        {
            let (wide, high) = self.grown(piece);
            for line in row..(row + high).min(self.rows) {
                taken[line * self.columns..][column..(column + wide).min(self.columns)].fill(true);
            }
        }
        let line = self.columns + 1;
        let mut sums = vec![0; line * (self.rows + 1)];
        for row in 0..self.rows {
            let mut sum = 0;
            for column in 0..self.columns {
                sum += u32::from(taken[row * self.columns + column]);
                sums[(row + 1) * line + column + 1] = sums[row * line + column + 1] + sum;
            }
        }
        sums
    }

    /// Gives the pieces from the heaviest to the lightest.
    fn by_mass(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.pieces.len()).collect();
        order.sort_by(|&a, &b| self.pieces[b].mass.total_cmp(&self.pieces[a].mass));
        order
    }

    fn near_the_middle(&self, watch: &dyn Watch) -> Result<Vec<Option<Spot>>> {
        let mut spots = vec![None; self.pieces.len()];
        for piece in self.by_mass() {
            watch.check(0.0)?;
            spots[piece] = self.best(piece, &spots);
        }
        Ok(spots)
    }

    /// Hangs each piece again until nothing gets better.
    fn better(&self, spots: &mut [Option<Spot>], watch: &dyn Watch) -> Result<()> {
        for _ in 0..ROUNDS {
            let before = spots.to_vec();
            for piece in self.by_mass() {
                watch.check(0.0)?;
                if spots[piece].take().is_some() || before[piece].is_none() {
                    spots[piece] = self.best(piece, spots);
                }
            }
            if *spots == *before {
                break;
            }
        }
        Ok(())
    }

    /// Finds the free spot that costs least.
    fn best(&self, piece: usize, spots: &[Option<Spot>]) -> Option<Spot> {
        let own = self.pieces[piece];
        let (share, count) = (own.mass / self.mass, self.pieces.len() as f64);
        let moment = self.moment(spots);
        let cost = |spot: Spot| {
            let (x, y) = self.off(self.place(spot), (own.width, own.height));
            let far = x * x / self.flat + y * y * self.flat;
            let (across, down) = (moment.0 / self.mass + x * share, moment.1 / self.mass + y * share);
            far * share + (across * across + down * down) * count
        };
        let costs = self.free(piece, spots).into_iter().map(|spot| (cost(spot), spot));
        costs.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, spot)| spot)
    }

    fn moment(&self, spots: &[Option<Spot>]) -> (f64, f64) {
        let placed = self.pieces.iter().zip(spots).filter_map(|(piece, spot)| Some((piece, (*spot)?)));
        placed.fold(self.held, |sum, (piece, spot)| {
            let off = self.off(self.place(spot), (piece.width, piece.height));
            (sum.0 + off.0 * piece.mass, sum.1 + off.1 * piece.mass)
        })
    }

    /// Gives orders in which to pack: the highest, the largest and the widest first.
    fn orders(&self) -> [Vec<usize>; 3] {
        let by = |key: &dyn Fn(Piece) -> i128| {
            let mut order: Vec<usize> = (0..self.pieces.len()).collect();
            order.sort_by_key(|&piece| Reverse(key(self.pieces[piece])));
            order
        };
        let sides = |piece: Piece| (i128::from(piece.width.units()), i128::from(piece.height.units()));
        [
            by(&|piece| sides(piece).1),
            by(&|piece| sides(piece).0 * sides(piece).1),
            by(&|piece| sides(piece).0),
        ]
    }

    fn packed(&self, order: &[usize]) -> Vec<Option<Spot>> {
        let mut spots = vec![None; self.pieces.len()];
        for &piece in order {
            spots[piece] = self.free(piece, &spots).first().copied();
        }
        spots
    }

    /// Moves all together so that their weight comes nearest to the middle, where nothing is in the way.
    fn centred(&self, spots: &mut [Option<Spot>]) {
        let moment = self.moment(spots);
        let steps = |moment: f64| {
            #[expect(clippy::cast_possible_truncation, reason = "a wall has few steps")]
            let steps = (-moment / self.mass / Length::from_units(self.step).mm()).round() as isize;
            steps
        };
        for (across, down) in [(steps(moment.0), 0), (0, steps(moment.1))] {
            let moved =
                |spot: Spot| Some((spot.0.checked_add_signed(across)?, spot.1.checked_add_signed(down)?));
            let shifted: Vec<Option<Spot>> = spots.iter().map(|spot| spot.and_then(moved)).collect();
            let fits = (0..spots.len()).all(|piece| match (spots[piece], shifted[piece]) {
                (None, _) => true,
                (Some(_), None) => false,
                (Some(_), Some(spot)) => self.clear(self.pieces[piece], spot),
            });
            if fits {
                spots.clone_from_slice(&shifted);
            }
        }
    }

    /// Tells whether a piece at a spot is on the wall and clear of what is fixed.
    fn clear(&self, piece: Piece, (column, row): Spot) -> bool {
        let on_wall = self.range(piece).is_some_and(|(first, last)| {
            (first.0..=last.0).contains(&column) && (first.1..=last.1).contains(&row)
        });
        let (wide, high) = self.grown(piece);
        on_wall
            && (row..row + high)
                .all(|row| !self.fixed[row * self.columns..][column..column + wide].contains(&true))
    }
}
