//! Seams against every way to place them, and what they cross against counts by hand.

use proptest::prelude::*;
use squarewright::grid::Grid;
use squarewright::length::Length;
use squarewright::outline::{Limits, placed, seam_costs, weak_spots};
use squarewright::palette::Palette;
use squarewright::panel::{Fit, Fitting, Panel, SeamCost, SeamCosts, Size, fit};

fn boards(side: i64, margin: i64, cells: usize, parts: usize) -> Result<Fit, squarewright::fault::Error> {
    let panel = Panel::new(Length::inches(side, 1), Length::inches(side, 1))?;
    let size = Size::Pitch(Length::INCH.ratio());
    let margin = Length::inches(margin, 1);
    let asked = Fitting { size, across: Some(parts), down: Some(1), margin, ..Fitting::default() };
    fit(cells, 1, panel, &asked)
}

/// Lists all ways to place seams, in order from the left, with what each costs.
fn ways(
    side: usize,
    margin: usize,
    even: &Fit,
    costs: &[SeamCost],
) -> Vec<((usize, usize, usize), Vec<usize>)> {
    let (cells, middles) = (even.columns, even.column_seams());
    let parts = middles.len() + 1;
    let reach = (cells / (4 * parts)).max(1);
    let mut ways = vec![(0, Vec::new())];
    for middle in &middles {
        let mut longer = Vec::new();
        for (from, seams) in &ways {
            for seam in from + 1..cells {
                let mut seams: Vec<usize> = seams.clone();
                seams.push(seam);
                if seam.abs_diff(*middle) <= reach {
                    longer.push((seam, seams));
                }
            }
        }
        ways = longer;
    }
    let fits = |seams: &[usize]| {
        let ends: Vec<usize> = [0].into_iter().chain(seams.iter().copied()).chain([cells]).collect();
        ends.windows(2).enumerate().all(|(board, ends)| {
            let outer = usize::from(board == 0) + usize::from(board + 1 == parts);
            ends[1] - ends[0] <= side - outer * margin
        })
    };
    let ways = ways.into_iter().map(|(_, seams)| seams).filter(|seams| fits(seams));
    let sum = |seams: &[usize]| {
        let weak = seams.iter().map(|&seam| costs[seam].weak).sum();
        let crossed = seams.iter().map(|&seam| costs[seam].crossed).sum();
        (weak, crossed, seams.iter().zip(&middles).map(|(seam, middle)| seam.abs_diff(*middle)).sum())
    };
    ways.map(|seams| (sum(&seams), seams)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn no_other_seams_cost_less(
        (cells, parts) in (4_usize..26, 1_usize..5),
        (side, margin) in (4_usize..14, 0_usize..2),
        numbers in proptest::collection::vec((0_usize..3, 0_usize..4), 27),
    ) {
        let (inches, free) = (i64::try_from(side).unwrap(), i64::try_from(margin).unwrap());
        // What the boards cannot hold at all is no case.
        prop_assume!(cells >= parts && side * parts - 2 * margin >= cells);
        let even = boards(inches, free, cells, parts).unwrap();
        let columns: Vec<SeamCost> =
            numbers.into_iter().map(|(weak, crossed)| SeamCost { weak, crossed }).collect();
        let best = ways(side, margin, &even, &columns).into_iter().min().unwrap();
        let moved = even.clone().with_seams(&SeamCosts { columns, rows: Vec::new() });
        prop_assert_eq!(moved.column_seams(), best.1);
        // The boards share all cells, one after the other.
        let ends: Vec<usize> = moved.pieces.iter().flat_map(|piece| [piece.columns.start, piece.columns.end]).collect();
        prop_assert_eq!((ends[0], ends[ends.len() - 1]), (0, cells));
        prop_assert!(ends[1..ends.len() - 1].chunks(2).all(|pair| pair[0] == pair[1]));
        let again = even.with_seams_after(&moved.column_seams(), &moved.row_seams()).unwrap();
        prop_assert_eq!(again, moved);
    }
}

/// Source: 12 in hold 64 cells of 3/16 in, 11 15/16 in hold 63 (plain arithmetic).
#[test]
fn equal_costs_leave_the_even_share() {
    let asked = Fitting { size: Size::Pitch(Length::inches(3, 16).ratio()), ..Fitting::default() };
    for (top, most) in [(192, 64), (191, 63)] {
        let panel = Panel::new(Length::inches(top, 16), Length::inches(top, 16)).unwrap();
        let even = fit(100, most, panel, &asked).unwrap();
        assert_eq!((even.across, even.down), (2, 1));
        assert_eq!(fit(100, most + 1, panel, &asked).unwrap().down, 2);
        let alike = vec![SeamCost { weak: 1, crossed: 7 }; 101];
        let same = even.clone().with_seams(&SeamCosts { columns: alike, rows: Vec::new() });
        assert_eq!(same, even);
        assert_eq!(same.column_seams(), [50]);
        // A free boundary is taken up to a quarter of a share away, 12 cells of 50, and no farther.
        for (free, found) in [(38, 38), (37, 50), (62, 62), (63, 50)] {
            let mut columns = vec![SeamCost { weak: 0, crossed: 1 }; 101];
            columns[free].crossed = 0;
            let moved = even.clone().with_seams(&SeamCosts { columns, rows: Vec::new() });
            assert_eq!(moved.column_seams(), [found]);
            // The cells touch the seam from both sides.
            let joined = moved.pieces[0].left + moved.pitch.times(found);
            assert_eq!((joined, moved.pieces[1].left), (panel.width().ratio(), Length::ZERO.ratio()));
            assert_eq!(moved.joined(), (panel.width() * 2, panel.height()));
        }
    }
}

#[test]
fn boards_that_are_full_leave_no_slack() {
    let even = boards(10, 0, 20, 2).unwrap();
    let mut columns = vec![SeamCost { weak: 9, crossed: 9 }; 21];
    columns[9] = SeamCost::default();
    assert_eq!(even.with_seams(&SeamCosts { columns, rows: Vec::new() }).column_seams(), [10]);
    // More boards than cells stay as they are.
    assert_eq!(boards(10, 0, 2, 4).unwrap().with_seams(&SeamCosts::default()).column_seams(), [1, 2, 2]);
}

#[test]
fn seams_that_no_board_can_hold_are_refused() {
    let even = boards(10, 0, 16, 2).unwrap();
    for (columns, rows) in [(vec![], vec![]), (vec![5], vec![]), (vec![8], vec![1]), (vec![17], vec![])] {
        assert_eq!(even.clone().with_seams_after(&columns, &rows).unwrap_err().code(), "VALUE-BAD");
    }
}

fn drawn(rows: &[&str]) -> Grid {
    let colours = ["#1d2430", "#f0e0b0", "#8090a0"].map(|colour| colour.parse().expect("a colour"));
    let palette = Palette::new(colours.to_vec()).expect("a palette");
    let cell = |letter: char| "abc".find(letter).and_then(|place| u8::try_from(place).ok());
    let cells = rows.iter().flat_map(|row| row.chars().map(cell)).collect();
    Grid::new(rows.len(), rows[0].len(), cells, palette).expect("a grid")
}

/// What seams would cost in a figure of cells so large that only what is one cell thin is weak.
fn costs(rows: &[&str]) -> SeamCosts {
    let grid = drawn(rows);
    let spots = weak_spots(&grid, &Limits::new(Length::INCH.ratio())).expect("spots");
    seam_costs(&grid, &spots)
}

/// Counted by hand on the drawing.
#[test]
fn lines_that_go_on_across_a_seam_are_counted() {
    let crossed = |costs: &[SeamCost]| costs.iter().map(|cost| cost.crossed).collect::<Vec<_>>();
    // The outline above and below, and the line between two halves, but none along the seam.
    let found = costs(&["aabb", "aabb", "ccbb", "ccbb"]);
    assert_eq!(crossed(&found.columns), [0, 3, 2, 2, 0]);
    assert_eq!(crossed(&found.rows), [0, 3, 3, 3, 0]);
    // Bare columns are free.
    assert_eq!(crossed(&costs(&["a..b"]).columns), [0, 0, 0, 0, 0]);
}

#[test]
fn weak_parts_are_counted_where_a_seam_touches_or_makes_them() {
    let weak = |costs: &[SeamCost]| costs.iter().map(|cost| cost.weak).collect::<Vec<_>>();
    // A bar of one cell between two blocks: its root on both sides, and within.
    let dumbbell = ["aaaa...aaaa", "aaaa...aaaa", "aaaaaaaaaaa", "aaaa...aaaa", "aaaa...aaaa"];
    let found = weak(&costs(&dumbbell).columns);
    assert_eq!(found[4..8], [1, 1, 1, 1]);
    // One column next to the edge is a strip; two of five are no crumb.
    assert_eq!(found[1..4], [1, 0, 0]);
    assert_eq!(weak(&costs(&["aa..", "aa..", "..aa", "..aa"]).columns)[2], 1, "a corner joint");
    // A nose of two cells is loose beyond its root.
    let nose = ["aaaa..", "aaaaaa", "aaaaaa", "aaaa..", "aaaa.."];
    assert_eq!(weak(&costs(&nose).columns)[4..6], [1, 1]);
    // Over a step a seam leaves one cell between itself and the bare cells: along more than three it is a sliver.
    let step = |bare: usize| {
        let rows: Vec<&str> = (0..12).map(|row| if row < bare { "....aaaa" } else { "aaaaaaaa" }).collect();
        weak(&costs(&rows).columns)[5]
    };
    assert_eq!([step(2), step(3), step(4), step(8)], [0, 0, 1, 1]);
}

#[test]
fn a_figure_is_parted_beside_its_weak_part() {
    let row = |gap: bool| if gap { "aaaaaaaa..bbbbbbbbbb" } else { "aaaaaaaaaabbbbbbbbbb" };
    let rows: Vec<&str> = (0..8).map(|at| row(at != 4)).collect();
    let panel = Panel::new(Length::inches(12, 1), Length::inches(12, 1)).unwrap();
    let asked = Fitting { size: Size::Pitch(Length::INCH.ratio()), ..Fitting::default() };
    let found = placed(&drawn(&rows), panel, &asked).unwrap();
    // At 8, 9 and 10 a seam touches the bar, and at 11 it leaves a sliver of four cells above it.
    assert_eq!(found.column_seams(), [12]);
}
