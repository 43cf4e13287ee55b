//! Weak spots: hand-drawn figures with counted values, brute force on random masks, and what turning a
//! figure round must not change.

use std::time::Instant;

use squarewright::colour::Rgb;
use squarewright::fault::Unwatched;
use squarewright::grid::Grid;
use squarewright::length::Length;
use squarewright::outline::{
    Choice, Inks, Limits, Severity, Strengthened, WeakSpots, bodies, corner_joints, islands, remedies,
    strengthened, weak_spots,
};
use squarewright::palette::Palette;

const DUMBBELL: [&str; 5] = ["###...###", "###...###", "#########", "###...###", "###...###"];
const STOUT: [&str; 5] = ["####...####", "####...####", "###########", "###########", "####...####"];
const OFFSET: [&str; 6] = ["###...", "###...", "######", "...###", "...###", "......"];

fn figure(drawing: &[&str]) -> Grid {
    let cells = drawing.concat().chars().map(|c| (c == '#').then_some(0)).collect();
    grid(drawing.len(), drawing[0].len(), cells)
}

fn grid(rows: usize, columns: usize, cells: Vec<Option<u8>>) -> Grid {
    let palette = Palette::new(vec![Rgb([10, 20, 30]), Rgb([200, 180, 90])]).expect("two colours");
    Grid::new(rows, columns, cells, palette).expect("a figure")
}

/// Random bits (splitmix64, public domain, Vigna 2015).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, limit: u64) -> usize {
        usize::try_from(self.next() % limit).expect("a small number")
    }

    /// Gives a figure with about `share` tenths of its cells filled, in two colours.
    fn figure(&mut self, rows: usize, columns: usize, share: usize) -> Grid {
        let cell = |chance: &mut Self| {
            let filled = chance.below(10) < share;
            let colour = u8::from(chance.below(3) == 0);
            filled.then_some(colour)
        };
        let mut cells: Vec<Option<u8>> = (0..rows * columns).map(|_| cell(self)).collect();
        let one = self.below((rows * columns) as u64);
        cells[one] = Some(0);
        grid(rows, columns, cells)
    }
}

fn at(pitch: Length) -> Limits {
    Limits::new(pitch.ratio())
}

fn spots(grid: &Grid) -> WeakSpots {
    weak_spots(grid, &at(Length::inches(3, 16))).expect("limits")
}

/// The bodies of hand-drawn figures, counted on the drawing.
#[test]
fn bodies_are_what_a_square_can_sweep() {
    let sizes = |drawing: &[&str], side| -> Vec<usize> {
        bodies(&figure(drawing), side).iter().map(Vec::len).collect()
    };
    assert_eq!((sizes(&DUMBBELL, 2), sizes(&DUMBBELL, 3)), (vec![15, 15], vec![15, 15]));
    assert_eq!((sizes(&STOUT, 2), sizes(&STOUT, 3)), (vec![46], vec![20, 20]));
    assert_eq!(sizes(&OFFSET, 2), [9, 9]);
    assert_eq!(sizes(&["#####", "#...#", "#...#", "#...#", "#####"], 2), [0; 0]);
}

#[test]
fn necks_join_bodies_by_so_many_cells() {
    let necks = |drawing: &[&str]| {
        let found = spots(&figure(drawing)).necks;
        let shown = |spot: &squarewright::outline::WeakSpot| {
            let neck = spot.neck().expect("a neck");
            (neck.width, neck.joins, neck.beyond, spot.cells.len(), neck.severity)
        };
        found.iter().map(shown).collect::<Vec<_>>()
    };
    assert_eq!(necks(&DUMBBELL), [(1, 2, 15, 3, Severity::Severe)]);
    assert_eq!(necks(&STOUT), [(2, 2, 20, 6, Severity::Caution)]);
    assert_eq!(necks(&OFFSET), [(1, 2, 9, 2, Severity::Severe)]);
    // Thin all through: nothing to hold on to.
    assert_eq!(necks(&["#####", "#...#", "#...#", "#...#", "#####"]), [(1, 0, 16, 16, Severity::Severe)]);
    // An arm of four cells on a body is slender, one of three is not.
    assert_eq!(necks(&["###....", "#######", "###...."]), [(1, 1, 4, 4, Severity::Severe)]);
    assert_eq!(necks(&["###...", "######", "###..."]), []);
    // Two bodies that share a cell hang together by that cell.
    assert_eq!(necks(&["##.", "###", ".##"]), [(1, 2, 3, 1, Severity::Severe)]);
}

/// The lever of the dumbbell's end from the middle of its bar is 1.5 + 1.5 cells; the index is
/// beyond × lever ÷ width³ (bending of a beam in its plane, from memory).
#[test]
fn necks_are_ranked_by_what_they_bear() {
    let found = spots(&figure(&DUMBBELL)).necks;
    let neck = found[0].neck().expect("a neck");
    assert!((neck.lever - 3.0).abs() < 1e-12 && (neck.index - 45.0).abs() < 1e-9);
    let stout = spots(&figure(&STOUT)).necks[0].neck().expect("a neck");
    assert!(stout.index < neck.index);
    assert!(found[0].span == Some(Length::inches(3, 16).ratio()));
}

/// Waste that a square of two cells does not reach, counted on the drawing.
#[test]
fn slots_and_pinholes_are_the_narrow_waste() {
    let narrow = |drawing: &[&str], pitch| {
        let found = weak_spots(&figure(drawing), &at(pitch)).expect("limits");
        let cells = |spots: &[squarewright::outline::WeakSpot]| {
            spots.iter().map(|spot| spot.cells.len()).collect::<Vec<_>>()
        };
        (cells(&found.slots), cells(&found.pinholes))
    };
    let pitch = Length::inches(3, 16);
    assert_eq!(narrow(&["#.#", "#.#", "###"], pitch), (vec![2], vec![]));
    assert_eq!(narrow(&["#..#", "#..#", "####"], pitch), (vec![], vec![]));
    assert_eq!(narrow(&["#.#.#", "#.#.#", "#####"], pitch), (vec![2, 2], vec![]));
    assert_eq!(narrow(&["###", "#.#", "###"], pitch), (vec![], vec![1]));
    // At an inch a cell even one cell of waste is wide.
    assert_eq!(narrow(&["#.#", "###", "#.#", "###"], Length::INCH), (vec![], vec![]));
    // At 3/32 in a slot of two cells is narrower than the board is thick.
    assert_eq!(narrow(&["#..#", "#..#", "####"], Length::inches(3, 32)), (vec![4], vec![]));
}

#[test]
fn corner_joints_and_islands_equal_brute_force_on_20_000_masks() {
    let mut chance = Chance(7);
    let mut seen = (0, 0);
    for _ in 0..20_000 {
        let (rows, columns, share) = (1 + chance.below(9), 1 + chance.below(9), 2 + chance.below(7));
        let grid = chance.figure(rows, columns, share);
        let filled = |row: usize, column: usize| grid.cells()[row * columns + column].is_some();
        let mut joints = Vec::new();
        for row in 1..rows {
            for column in 1..columns {
                let four = [(1, 1), (1, 0), (0, 1), (0, 0)].map(|(up, left)| filled(row - up, column - left));
                if four == [true, false, false, true] || four == [false, true, true, false] {
                    joints.push((row, column));
                }
            }
        }
        let found: Vec<_> = corner_joints(&grid).iter().map(|at| (at.row, at.column)).collect();
        assert_eq!(found, joints);
        // Cells take over the lowest number beside them until nothing moves.
        let mut number: Vec<usize> = (0..rows * columns).collect();
        loop {
            let before = number.clone();
            for (a, b) in (0..rows * columns).flat_map(|a| [(a, a + 1), (a, a + columns)]) {
                let beside = b < rows * columns && (b == a + columns || b % columns > 0);
                if beside && filled(a / columns, a % columns) && filled(b / columns, b % columns) {
                    let low = number[a].min(number[b]);
                    (number[a], number[b]) = (low, low);
                }
            }
            if number == before {
                break;
            }
        }
        let mut parts: Vec<Vec<usize>> = Vec::new();
        for first in 0..rows * columns {
            let part: Vec<usize> = (first..rows * columns)
                .filter(|&cell| number[cell] == first && grid.cells()[cell].is_some())
                .collect();
            parts.extend((!part.is_empty()).then_some(part));
        }
        parts.sort_by_key(|part| std::cmp::Reverse(part.len()));
        assert_eq!(islands(&grid), parts);
        seen = (seen.0 + joints.len(), seen.1 + parts.len());
    }
    assert!(seen.0 > 20_000 && seen.1 > 50_000, "{seen:?}");
}

/// Turned or mirrored, a figure has the same weak spots at the turned places.
#[test]
fn turning_a_figure_round_turns_its_weak_spots() {
    type Seen = Vec<(usize, usize, usize, String, Vec<(usize, usize)>)>;
    let seen = |spots: &WeakSpots, turn: &dyn Fn((usize, usize)) -> (usize, usize)| -> Seen {
        let all = [&spots.corner_joints, &spots.islands, &spots.necks, &spots.slots, &spots.pinholes];
        let mut seen = Seen::new();
        for (kind, spots) in all.into_iter().enumerate() {
            for spot in spots {
                let mut cells: Vec<_> = spot.cells.iter().copied().map(turn).collect();
                cells.sort_unstable();
                let (beyond, joins, index) =
                    spot.neck().map_or((0, 0, 0.0), |n| (n.beyond, n.joins, n.index));
                seen.push((kind, beyond, joins, format!("{index:.6}"), cells));
            }
        }
        seen.sort();
        seen
    };
    let mut chance = Chance(11);
    for _ in 0..600 {
        let (rows, columns, share) = (3 + chance.below(12), 3 + chance.below(12), 4 + chance.below(6));
        let grid = chance.figure(rows, columns, share);
        let limits = at(Length::inches(3, 32));
        let here = weak_spots(&grid, &limits).expect("limits");
        let turned = weak_spots(&grid.rotated(1).expect("turned"), &limits).expect("limits");
        let same = |at| at;
        assert_eq!(seen(&here, &|(row, column)| (column, rows - 1 - row)), seen(&turned, &same));
        let mirrored = weak_spots(&grid.mirrored().expect("mirrored"), &limits).expect("limits");
        assert_eq!(seen(&here, &|(row, column)| (row, columns - 1 - column)), seen(&mirrored, &same));
    }
}

fn mended(grid: &Grid, limits: &Limits) -> Strengthened {
    strengthened(grid, limits, Choice::All, Inks::default(), &Unwatched).expect("a mended figure")
}

fn check(grid: &Grid, done: &Strengthened) {
    assert!(done.after.holds_together(), "{grid:?} {:?}", done.after);
    assert!(corner_joints(&done.grid).is_empty() && islands(&done.grid).len() == 1);
    let differ: Vec<(usize, usize)> = (0..grid.cells().len())
        .filter(|&place| grid.cells()[place] != done.grid.cells()[place])
        .map(|place| (place / grid.columns(), place % grid.columns()))
        .collect();
    assert_eq!(done.cells, differ);
    let mut listed: Vec<_> = done.remedies.iter().flat_map(|remedy| remedy.cells.clone()).collect();
    listed.sort_unstable();
    assert_eq!(listed, differ, "each cell is listed once");
    for remedy in &done.remedies {
        for &(row, column) in &remedy.cells {
            let cell = done.grid.cells()[row * grid.columns() + column];
            assert_eq!(done.grid.colour(cell), remedy.colour);
        }
    }
}

#[test]
fn mended_figures_hold_together_and_differ_in_the_listed_cells_alone() {
    let mut chance = Chance(23);
    for turn in 0..1_000 {
        let (rows, columns, share) = (2 + chance.below(16), 2 + chance.below(16), 1 + chance.below(9));
        let grid = chance.figure(rows, columns, share);
        let pitch = [Length::inches(3, 32), Length::inches(3, 16), Length::INCH][turn % 3];
        check(&grid, &mended(&grid, &at(pitch)));
    }
    let board: Vec<Option<u8>> =
        (0..64).map(|place| ((place / 8 + place % 8) % 2 == 0).then_some(0)).collect();
    for drawing in [grid(8, 8, board), figure(&DUMBBELL), figure(&OFFSET)] {
        check(&drawing, &mended(&drawing, &at(Length::inches(3, 16))));
    }
}

#[test]
fn a_figure_without_room_stays_weak_and_that_is_seen() {
    let line = figure(&["########"]);
    let done = mended(&line, &at(Length::inches(3, 16)));
    assert!(!done.after.holds_together() && done.cells.is_empty() && done.grid == line);
}

#[test]
fn single_cells_and_full_panels_are_sound() {
    assert_eq!(spots(&figure(&["#"])).count(), 0);
    assert_eq!(spots(&figure(&["...", ".#.", "..."])).count(), 0);
    let full = grid(64, 64, vec![Some(0); 64 * 64]);
    assert_eq!(spots(&full).count(), 0);
    let done = mended(&full, &at(Length::inches(3, 16)));
    assert!(done.remedies.is_empty() && done.grid == full);
}

#[test]
fn noise_is_looked_at_and_mended_in_bounded_time() {
    let mut chance = Chance(5);
    for (side, share) in [(64, 5), (160, 2), (160, 8)] {
        let grid = chance.figure(side, side, share);
        let limits = at(Length::inches(3, 16));
        let start = Instant::now();
        let found = weak_spots(&grid, &limits).expect("limits");
        let looked = start.elapsed();
        let proposals = remedies(&grid, &found, Inks::default()).expect("proposals");
        let proposed = start.elapsed();
        let done = mended(&grid, &limits);
        let all = start.elapsed();
        // Generous, for an unoptimised build on a machine that others use too.
        assert!(looked.as_secs() < 30 && proposed.as_secs() < 60 && all.as_secs() < 240, "{all:?}");
        assert!(!proposals.is_empty() && found.count() >= proposals.len() / 4);
        check(&grid, &done);
    }
}
