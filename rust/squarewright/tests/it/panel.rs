//! Fitting and marks, against the divisions of an architect's scale and plain arithmetic (common practice).

use squarewright::length::{Length, Ruler};
use squarewright::panel::{Fitting, Panel, Pitches, Size, fit};

fn foot() -> Panel {
    Panel::new(Length::inches(12, 1), Length::inches(12, 1)).expect("a square foot")
}

#[test]
fn the_largest_division_of_the_scale_ruler_is_chosen_on_a_foot() {
    for (cells, top, bottom) in [
        (12, 1, 1),
        (16, 3, 4),
        (20, 1, 2),
        (24, 1, 2),
        (32, 3, 8),
        (40, 1, 4),
        (44, 1, 4),
        (48, 1, 4),
        (50, 3, 16),
        (60, 3, 16),
        (64, 3, 16),
        (72, 1, 8),
        (96, 1, 8),
        (100, 3, 32),
        (128, 3, 32),
    ] {
        let found = fit(cells, cells, foot(), &Fitting::default()).unwrap();
        assert_eq!(found.pitch, Length::inches(top, bottom).ratio(), "{cells} cells");
    }
    assert_eq!(fit(129, 129, foot(), &Fitting::default()).unwrap_err().code(), "SIZE-FIT");
}

#[test]
fn a_margin_drops_a_full_panel_to_the_next_division() {
    let asked = Fitting { margin: Length::inches(1, 16), ..Fitting::default() };
    assert_eq!(fit(64, 64, foot(), &asked).unwrap().pitch, Length::inches(1, 8).ratio());
}

#[test]
fn a_short_panel_holds_one_cell_less() {
    let panel = Panel::new(Length::inches(191, 16), Length::inches(191, 16)).unwrap();
    let asked = Fitting { size: Size::Pitch(Length::inches(3, 16).ratio()), ..Fitting::default() };
    assert_eq!(fit(63, 63, panel, &asked).unwrap().pieces.len(), 1);
    assert_eq!(fit(64, 64, panel, &asked).unwrap().pieces.len(), 4);
}

#[test]
fn any_thirty_second_is_found_when_asked_for() {
    let ruler = Ruler::new(Length::inches(1, 32)).unwrap();
    let asked = Fitting { ruler, pitches: Pitches::Any, ..Fitting::default() };
    assert_eq!(fit(50, 50, foot(), &asked).unwrap().pitch, Length::inches(7, 32).ratio());
    assert_eq!(fit(20, 20, foot(), &asked).unwrap().pitch, Length::inches(19, 32).ratio());
}

#[test]
fn no_mark_is_further_off_than_half_a_graduation_and_errors_do_not_grow() {
    for cells in 1..=128 {
        let width = Length::inches(12, 1).ratio();
        let asked = Fitting { size: Size::Width(width), ..Fitting::default() };
        let found = fit(cells, 1.max(cells / 2), foot(), &asked).unwrap();
        for mark in found.column_marks(&found.pieces[0]) {
            assert!(mark.error.abs() <= Length::inches(1, 32).ratio(), "{cells} cells, mark {}", mark.index);
        }
    }
    let asked = Fitting { size: Size::Width(Length::inches(12, 1).ratio()), ..Fitting::default() };
    let found = fit(44, 44, foot(), &asked).unwrap();
    let marks = found.column_marks(&found.pieces[0]);
    let worst = marks.iter().map(|mark| mark.error.abs()).max().unwrap();
    assert_eq!(worst.to_string(), "5/176 in");
}

#[test]
fn a_hundred_cells_are_shared_evenly_across_a_seam() {
    let asked = Fitting { size: Size::Pitch(Length::inches(3, 16).ratio()), ..Fitting::default() };
    let found = fit(100, 20, foot(), &asked).unwrap();
    let columns: Vec<_> = found.pieces.iter().map(|piece| piece.columns.clone()).collect();
    assert_eq!(columns, [0..50, 50..100]);
    // The cells touch the seam from both sides.
    assert_eq!(found.pieces[0].left + found.pitch.times(50), Length::inches(12, 1).ratio());
    assert_eq!(found.pieces[1].left, Length::ZERO.ratio());
}

#[test]
fn a_scale_ruler_counts_cells_and_says_how_often_it_is_set_anew() {
    let face = Ruler::scale().face(Length::inches(3, 16).ratio()).unwrap();
    assert_eq!((face.divisions(), face.resets(63), face.resets(64)), (63, 0, 1));
    let face = Ruler::scale().face(Length::inches(1, 8).ratio()).unwrap();
    assert_eq!(face.divisions(), 95);
}

#[test]
fn only_a_middle_panel_is_trimmed_before_joining() {
    let asked = Fitting { size: Size::Pitch(Length::inches(3, 16).ratio()), ..Fitting::default() };
    let found = fit(150, 20, foot(), &asked).unwrap();
    let trims: Vec<String> = found.pieces.iter().map(|piece| found.trim(piece).0.to_string()).collect();
    // 12 in less 50 cells of 3/16 in.
    assert_eq!(trims, ["0 in", "2 5/8 in", "0 in"]);
}
