//! Edits of a grid: each gives a new one whose counts are right.

use proptest::prelude::*;
use squarewright::colour::Rgb;
use squarewright::fault::Error;
use squarewright::grid::{Grid, Padding, Side, patches};
use squarewright::palette::Palette;

/// Reads a grid from letters: a dot is bare, a is the first colour.
fn grid(lines: &[&str], colours: &[[u8; 3]]) -> Grid {
    let number = |letter: char| if letter == '.' { -1 } else { letter as i16 - 'a' as i16 };
    let numbers: Vec<i16> = lines.iter().flat_map(|line| line.chars()).map(number).collect();
    let palette = Palette::new(colours.iter().map(|&colour| Rgb(colour)).collect()).expect("a palette");
    Grid::from_numbers(lines.len(), lines[0].len(), &numbers, palette).expect("a grid")
}

fn letters(grid: &Grid) -> Vec<String> {
    let letter = |cell: &Option<u8>| cell.map_or('.', |place| char::from(b'a' + place));
    grid.cells().chunks(grid.columns()).map(|row| row.iter().map(letter).collect()).collect()
}

const THREE: [[u8; 3]; 3] = [[240, 240, 240], [20, 20, 20], [235, 238, 240]];

#[test]
fn a_locked_colour_is_never_merged_away() {
    let near = grid(&["aaacb"], &THREE);
    assert_eq!(near.merged(5.0, &[]).unwrap().counts(), [4, 1]);
    let kept = near.merged(5.0, &[2]).unwrap();
    assert_eq!(kept.counts(), [4, 1]);
    assert_eq!(kept.palette().colours()[0], Rgb(THREE[2]));
    assert_eq!(near.merged(5.0, &[0, 2]).unwrap().counts(), [3, 1, 1]);
    assert_eq!(near.merged(5.0, &[3]).unwrap_err().code(), "VALUE-BAD");
}

#[test]
fn cells_are_painted_in_old_and_new_colours_and_made_bare() {
    let start = grid(&["ab", ".a"], &THREE);
    assert_eq!(letters(&start.painted(&[(0, 0), (1, 0)], Some(Rgb(THREE[1]))).unwrap()), ["bb", "ba"]);
    let new = start.painted(&[(1, 1)], Some(Rgb([1, 2, 3]))).unwrap();
    assert_eq!((letters(&new), new.palette().len()), (vec!["ab".into(), ".d".into()], 4));
    assert_eq!(letters(&start.painted(&[(0, 1)], None).unwrap()), ["a.", ".a"]);
    assert_eq!(start.painted(&[(2, 0)], None).unwrap_err().code(), "VALUE-BAD");
    assert_eq!(start.painted(&[(0, 0), (0, 1), (1, 1)], None).unwrap_err().code(), "GRID-BAD");
}

#[test]
fn small_patches_are_absorbed_but_not_an_eye() {
    let start = grid(&["aaaaa", "aacaa", "aaaba", "aaaaa"], &THREE);
    assert_eq!(letters(&start.absorbed(2, false).unwrap()), ["aaaaa", "aaaaa", "aaaba", "aaaaa"]);
    assert_eq!(letters(&start.absorbed(2, true).unwrap()), ["aaaaa"; 4]);
    let alone = grid(&["c.b"], &THREE);
    assert_eq!(alone.absorbed(9, true).unwrap(), alone);
    assert_eq!(start.absorbed(0, true).unwrap_err().code(), "VALUE-BAD");
}

#[test]
fn a_patch_goes_over_into_the_colour_of_most_of_its_border() {
    let start = grid(&["aab", "acb", "aab"], &[[100, 100, 100], [120, 120, 120], [110, 110, 110]]);
    assert_eq!(letters(&start.absorbed(2, false).unwrap()), ["aab", "aab", "aab"]);
}

#[test]
fn shapes_turn_as_a_sheet_of_paper_does() {
    let start = grid(&["ab.", "c.a"], &THREE);
    assert_eq!(letters(&start.mirrored().unwrap()), [".ba", "a.c"]);
    assert_eq!(letters(&start.rotated(1).unwrap()), ["ca", ".b", "a."]);
    assert_eq!(letters(&start.rotated(2).unwrap()), ["a.c", ".ba"]);
    assert_eq!(letters(&start.rotated(-1).unwrap()), [".a", "b.", "ac"]);
}

#[test]
fn shapes_are_cut_and_widened() {
    let start = grid(&["ab.", "c.a"], &THREE);
    assert_eq!(letters(&start.cropped(0..1, 1..3).unwrap()), ["b."]);
    let wide = start.padded(Padding { left: 1, bottom: 2, ..Padding::default() }).unwrap();
    assert_eq!(letters(&wide), [".ab.", ".c.a", "....", "...."]);
    assert_eq!(start.cropped(0..1, 2..3).unwrap_err().code(), "GRID-BAD");
    assert_eq!(start.cropped(0..1, 2..4).unwrap_err().code(), "VALUE-BAD");
    assert_eq!(start.cropped(1..1, 0..3).unwrap_err().code(), "VALUE-BAD");
    assert_eq!(
        start.padded(Padding { top: usize::MAX, ..Padding::default() }).unwrap_err().code(),
        "GRID-BAD"
    );
    assert_eq!(start.padded(Padding { right: 510, ..Padding::default() }).unwrap_err().code(), "GRID-BAD");
}

#[test]
fn joined_grids_share_the_colours_that_both_have() {
    let left = grid(&["ab"], &THREE[..2]);
    let right = grid(&["ba", "b."], &[THREE[1], [9, 9, 200]]);
    let both = left.joined(&right, Side::Right, 1).unwrap();
    assert_eq!((letters(&both), both.palette().len()), (vec!["ab.cb".into(), "...c.".into()], 3));
    assert_eq!(letters(&left.joined(&right, Side::Below, 0).unwrap()), ["ab", "cb", "c."]);
    let many = |from: u8| {
        let colours: Vec<[u8; 3]> = (from..from + 40).map(|code| [code; 3]).collect();
        grid(&["a"], &colours)
    };
    assert!(matches!(many(0).joined(&many(100), Side::Right, 0), Err(Error::Colours { got: 80, .. })));
    assert_eq!(left.joined(&right, Side::Below, 511).unwrap_err().code(), "GRID-BAD");
}

fn grids() -> impl Strategy<Value = Grid> {
    (1_usize..9, 1_usize..9).prop_flat_map(|(rows, columns)| {
        proptest::collection::vec(-1_i16..5, rows * columns).prop_map(move |mut numbers| {
            numbers[0] = 0;
            let palette = (0..5_u8).map(|place| Rgb([place * 50, 250 - place * 40, place * 13])).collect();
            let palette = Palette::new(palette).expect("a palette");
            Grid::from_numbers(rows, columns, &numbers, palette).expect("a grid")
        })
    })
}

proptest! {
    #[test]
    fn turning_comes_back_and_keeps_the_counts(grid in grids(), turns in -9_i64..9) {
        let turned = grid.rotated(turns).unwrap();
        prop_assert_eq!(turned.counts(), grid.counts());
        prop_assert_eq!(turned.rotated(-turns).unwrap(), grid.clone());
        prop_assert_eq!(grid.mirrored().unwrap().mirrored().unwrap(), grid);
    }

    #[test]
    fn padding_is_undone_by_cropping(grid in grids(), left in 0_usize..5, top in 0_usize..5) {
        let wide = grid.padded(Padding { left, top, right: 2, bottom: 1 }).unwrap();
        prop_assert_eq!(wide.figure_cells(), grid.figure_cells());
        prop_assert_eq!(wide.cropped(top..top + grid.rows(), left..left + grid.columns()).unwrap(), grid);
    }

    #[test]
    fn absorbing_leaves_only_large_or_lonely_patches(grid in grids(), least in 1_usize..6) {
        let calm = grid.absorbed(least, true).unwrap();
        prop_assert_eq!(calm.figure_cells(), grid.figure_cells());
        let (rows, columns) = (calm.rows(), calm.columns());
        for patch in patches(&calm).iter().filter(|patch| patch.places.len() < least) {
            let lonely = patch.places.iter().all(|&place| {
                let (row, column) = ((place / columns).cast_signed(), (place % columns).cast_signed());
                let around = [(row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1)];
                around.iter().all(|&(row, column)| {
                    let cell = calm.cell(row, column);
                    cell.is_none() || cell == patch.cell
                })
            });
            prop_assert!(lonely, "a patch of {} cells in {rows} rows", patch.places.len());
        }
    }
}
