//! The marks that stand for colours where a cell is too small for a code: plain shapes of our own.
//!
//! They were chosen out of seventy so that at 3/32 in no two look alike, not even when one of the two is seen in
//! a mirror or reversed (`tests/it/symbol.rs` measures it), and stand in an order in which every one is as far
//! from those before it as may be: a figure of few colours gets the most unlike ones.

use super::draw::{Line, Path};
use super::press::Press;
use crate::grid::Tally;
use crate::length::{Area, Length, Place};
use crate::plan::Plan;

/// A mark for one colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Symbol {
    shape: usize,
    reversed: bool,
}

/// One shape of a mark, in steps of which a cell has [`SIDE`].
enum Shape {
    /// A disc: its middle and its radius.
    Disc(i64, i64, i64),
    /// A closed line through places.
    Lines(&'static [(i64, i64)]),
}
use Shape::{Disc, Lines};

/// The steps along the side of a cell.
const SIDE: i64 = 160;
/// The block out of which a reversed mark is cut.
const BLOCK: [(i64, i64); 4] = [(12, 12), (148, 12), (148, 148), (12, 148)];
/// A quarter of the corners of a disc, of sixteen in all, in ten-thousandths of its radius.
const ROUND: [(i64, i64); 4] = [(9808, 1951), (8315, 5556), (5556, 8315), (1951, 9808)];

/// The shapes by the last part of their key in the catalogue; where they cover each other they cut holes.
const MARKS: [(&str, &[Shape]); 32] = [
    ("dot", &[Disc(80, 80, 30)]),
    (
        "split-disc",
        &[
            Lines(&[(17, 67), (24, 45), (45, 24), (67, 17), (93, 17), (115, 24), (136, 45), (143, 67)]),
            Lines(&[(17, 93), (24, 115), (45, 136), (67, 143), (93, 143), (115, 136), (136, 115), (143, 93)]),
        ],
    ),
    (
        "gate",
        &[Lines(&[
            (20, 20),
            (55, 20),
            (55, 60),
            (105, 60),
            (105, 20),
            (140, 20),
            (140, 140),
            (105, 140),
            (105, 100),
            (55, 100),
            (55, 140),
            (20, 140),
        ])],
    ),
    (
        "two-blocks",
        &[
            Lines(&[(20, 20), (80, 20), (80, 80), (20, 80)]),
            Lines(&[(80, 80), (140, 80), (140, 140), (80, 140)]),
        ],
    ),
    ("floor", &[Lines(&[(20, 105), (140, 105), (140, 140), (20, 140)])]),
    ("top-wedge", &[Lines(&[(20, 20), (140, 20), (20, 140)])]),
    (
        "diamond",
        &[
            Lines(&[(80, 15), (145, 80), (80, 145), (15, 80)]),
            Lines(&[(80, 50), (110, 80), (80, 110), (50, 80)]),
        ],
    ),
    (
        "three-bars",
        &[
            Lines(&[(20, 20), (140, 20), (140, 46), (20, 46)]),
            Lines(&[(20, 67), (140, 67), (140, 93), (20, 93)]),
            Lines(&[(20, 114), (140, 114), (140, 140), (20, 140)]),
        ],
    ),
    ("target", &[Disc(80, 80, 64), Disc(80, 80, 44), Disc(80, 80, 24)]),
    ("dots-down", &[Disc(80, 114, 26), Disc(46, 48, 26), Disc(114, 48, 26)]),
    (
        "cross",
        &[Lines(&[
            (20, 45),
            (45, 20),
            (80, 55),
            (115, 20),
            (140, 45),
            (105, 80),
            (140, 115),
            (115, 140),
            (80, 105),
            (45, 140),
            (20, 115),
            (55, 80),
        ])],
    ),
    ("hourglass", &[Lines(&[(20, 20), (140, 20), (20, 140), (140, 140)])]),
    (
        "three-posts",
        &[
            Lines(&[(20, 20), (46, 20), (46, 140), (20, 140)]),
            Lines(&[(67, 20), (93, 20), (93, 140), (67, 140)]),
            Lines(&[(114, 20), (140, 20), (140, 140), (114, 140)]),
        ],
    ),
    ("two-dots", &[Disc(46, 80, 28), Disc(114, 80, 28)]),
    ("dots-up", &[Disc(80, 46, 26), Disc(46, 112, 26), Disc(114, 112, 26)]),
    ("funnel", &[Lines(&[(20, 20), (140, 20), (80, 140)])]),
    ("pointer", &[Lines(&[(20, 80), (140, 20), (140, 140)])]),
    ("lid", &[Lines(&[(20, 20), (140, 20), (140, 55), (20, 55)])]),
    ("side", &[Lines(&[(20, 20), (55, 20), (55, 140), (20, 140)])]),
    ("chevron", &[Lines(&[(20, 80), (80, 20), (130, 20), (70, 80), (130, 140), (80, 140)])]),
    (
        "five-blocks",
        &[
            Lines(&[(20, 20), (60, 20), (60, 60), (20, 60)]),
            Lines(&[(100, 20), (140, 20), (140, 60), (100, 60)]),
            Lines(&[(20, 100), (60, 100), (60, 140), (20, 140)]),
            Lines(&[(100, 100), (140, 100), (140, 140), (100, 140)]),
            Lines(&[(60, 60), (100, 60), (100, 100), (60, 100)]),
        ],
    ),
    ("peak", &[Lines(&[(80, 20), (140, 140), (20, 140)])]),
    ("ring", &[Disc(80, 80, 62), Disc(80, 80, 36)]),
    ("bottom-wedge", &[Lines(&[(20, 20), (140, 140), (20, 140)])]),
    (
        "arch",
        &[Lines(&[(20, 20), (140, 20), (140, 140), (100, 140), (100, 60), (60, 60), (60, 140), (20, 140)])],
    ),
    ("two-wedges", &[Lines(&[(20, 20), (80, 20), (20, 80)]), Lines(&[(140, 140), (80, 140), (140, 80)])]),
    ("roof", &[Lines(&[(80, 20), (140, 80), (140, 130), (80, 70), (20, 130), (20, 80)])]),
    (
        "window",
        &[
            Lines(&[(20, 20), (140, 20), (140, 140), (20, 140)]),
            Lines(&[(40, 40), (72, 40), (72, 72), (40, 72)]),
            Lines(&[(88, 40), (120, 40), (120, 72), (88, 72)]),
            Lines(&[(40, 88), (72, 88), (72, 120), (40, 120)]),
            Lines(&[(88, 88), (120, 88), (120, 120), (88, 120)]),
        ],
    ),
    ("valley", &[Lines(&[(80, 140), (140, 80), (140, 30), (80, 90), (20, 30), (20, 80)])]),
    (
        "plus",
        &[Lines(&[
            (60, 20),
            (100, 20),
            (100, 60),
            (140, 60),
            (140, 100),
            (100, 100),
            (100, 140),
            (60, 140),
            (60, 100),
            (20, 100),
            (20, 60),
            (60, 60),
        ])],
    ),
    (
        "bend",
        &[Lines(&[(20, 20), (100, 20), (100, 100), (140, 100), (140, 140), (60, 140), (60, 60), (20, 60)])],
    ),
    (
        "two-bars",
        &[
            Lines(&[(20, 20), (140, 20), (140, 60), (20, 60)]),
            Lines(&[(20, 100), (140, 100), (140, 140), (20, 140)]),
        ],
    ),
];

impl Symbol {
    /// How many there are: every shape, and every shape reversed.
    pub const COUNT: usize = 2 * MARKS.len();
    /// The smallest cell in which they were measured.
    pub const LEAST: Length = Length::inches(3, 32);

    /// Gives the symbol of a place in the order of the codes: plain ones first, then reversed ones.
    ///
    /// # Panics
    /// Never for a place below [`Symbol::COUNT`], which no palette passes.
    pub fn at(place: usize) -> Self {
        assert!(place < Self::COUNT, "a palette has at most {} colours", Self::COUNT);
        Self { shape: place % MARKS.len(), reversed: place >= MARKS.len() }
    }

    /// Tells whether it is cut out of a block of ink.
    pub fn is_reversed(self) -> bool {
        self.reversed
    }

    /// Gives its name in plain words.
    pub(super) fn name(self, press: &Press) -> String {
        let name = press.say(&format!("symbol.{}", MARKS[self.shape].0));
        if self.reversed { press.fill("symbol.reversed", &[("name", &name)]) } else { name.to_owned() }
    }

    /// Draws it in a cell, to be filled with ink.
    pub fn path(self, cell: Area) -> Path {
        let block = self.reversed.then(|| lines(&BLOCK, cell));
        let shapes = MARKS[self.shape].1.iter().map(|shape| match *shape {
            Disc(x, y, radius) => disc((x, y), radius, cell),
            Lines(places) => lines(places, cell),
        });
        Path(block.into_iter().chain(shapes).collect())
    }
}

/// Gives each colour of a plan its symbol, in the order of the codes.
pub(super) fn symbols(plan: &Plan) -> impl Iterator<Item = (Symbol, &Tally)> {
    plan.tally().iter().enumerate().map(|(place, tally)| (Symbol::at(place), tally))
}

fn lines(places: &[(i64, i64)], cell: Area) -> Line {
    let places = places.iter().map(|&(x, y)| at(cell, (x * 10_000, y * 10_000))).collect();
    Line { places, closed: true }
}

fn disc((x, y): (i64, i64), radius: i64, cell: Area) -> Line {
    let mut quarter = ROUND;
    let mut corners = Vec::new();
    for _ in 0..4 {
        corners.extend(quarter);
        quarter = quarter.map(|(a, b)| (-b, a));
    }
    let place = |(a, b)| at(cell, (x * 10_000 + radius * a, y * 10_000 + radius * b));
    Line { places: corners.into_iter().map(place).collect(), closed: true }
}

/// Gives a place in a cell from ten-thousandths of a step.
fn at(cell: Area, (x, y): (i64, i64)) -> Place {
    let part = |side: Length, share: i64| {
        let units = i128::from(side.units()) * i128::from(share) / i128::from(SIDE * 10_000);
        Length::from_units(i64::try_from(units).unwrap_or(0))
    };
    cell.corner.moved(part(cell.width, x), part(cell.height, y))
}
