//! What fuzzing found, each case once and for all; sums are checked for overflow in this build.

use squarewright::colour::Rgb;
use squarewright::cut::Cutting;
use squarewright::fault::{Error, Unwatched};
use squarewright::grid::{Grid, Hint, Recovering, recover};
use squarewright::length::Length;
use squarewright::outline::Marking;
use squarewright::paint::{Format, Stock};
use squarewright::palette::Palette;
use squarewright::panel::{Fitting, Panel, Size};
use squarewright::picture::{Picture, decode};
use squarewright::plan::{Door, Making, Plan, Source};

const FOOT: Length = Length::inches(12, 1);

fn planned(cells: &[Option<u8>], columns: usize, side: Length, asked: &Fitting) -> Result<Plan, Error> {
    let palette = Palette::new(vec![Rgb([200, 30, 40]), Rgb([30, 40, 200])]).expect("two colours");
    let grid = Grid::new(cells.len() / columns, columns, cells.to_vec(), palette).expect("a grid");
    let source = Source { name: "frog".into(), door: Door::Given };
    let panel = Panel::new(side, side).expect("a panel");
    Plan::new(source, grid, panel, asked, Making { marking: Marking::Sparse, ..Making::default() })
}

#[test]
fn a_hint_out_of_all_measure_is_refused() {
    let picture = Picture::from_rgb(16, 32, &[90; 16 * 32 * 3]).expect("a picture");
    for pitch in [1.2e201, 32_769.0, 0.99, -1.0, f64::INFINITY, f64::NAN] {
        let asked = Recovering { hint: Some(Hint::Pitch(pitch)), ..Recovering::default() };
        let error = recover(&picture, &asked, &Unwatched).expect_err("no cell is that large");
        assert_eq!(error.code(), "VALUE-BAD");
    }
}

#[test]
fn an_even_see_through_picture_is_read() {
    for (width, height) in [(20, 12), (16, 32), (1, 1), (4, 7)] {
        let pixels = [173, 201, 37, 31].repeat((width * height) as usize);
        let picture = Picture::from_rgba(width, height, pixels).expect("a picture");
        for most_cells in [1, 7, 188, 512] {
            let asked = Recovering { most_cells, ..Recovering::default() };
            match recover(&picture, &asked, &Unwatched) {
                Ok(found) => assert!(found.best.grid.rows() <= most_cells),
                Err(error) => assert_eq!(error.code(), "GRID-NONE"),
            }
        }
    }
}

#[test]
fn a_plan_whose_cells_have_no_size_is_refused() {
    let plan = planned(
        &[Some(0)],
        1,
        FOOT,
        &Fitting { size: Size::Pitch(Length::INCH.ratio()), ..Fitting::default() },
    );
    let text = plan.expect("a plan").to_json();
    for size in ["0 in", "-1 in", "0/2 in"] {
        let error = Plan::from_json(&text.replace("\"pitch\": \"1 in\"", &format!("\"pitch\": \"{size}\"")));
        assert_eq!(error.expect_err("no size").code(), "SIZE-BAD");
    }
}

#[test]
fn margins_wider_than_a_panel_leave_no_room() {
    let asked = Fitting {
        size: Size::Pitch(Length::INCH.ratio()),
        margin: Length::inches(13, 1),
        ..Fitting::default()
    };
    let error = planned(&[Some(0); 40], 40, FOOT, &asked).expect_err("a panel would stay bare");
    assert_eq!(error.code(), "SIZE-FIT");
    assert!(error.hint().contains("make them smaller"), "{}", error.hint());
}

#[test]
fn panels_without_a_cell_take_no_hours_without_an_end() {
    let asked = Fitting { across: Some(3), ..Fitting::default() };
    let work = planned(&[Some(0); 2], 2, FOOT, &asked).expect("a plan").hours().total().work;
    assert!(work.high < 6000.0, "{work:?} minutes");
}

#[test]
fn numbers_out_of_all_measure_are_written_as_they_are_read() {
    let text = "[[paint]]\nname = \"newt\"\ncolour = \"#b3202b\"\nml = 1e22\nprice = 1e300\n";
    let stock = Stock::read(text.as_bytes(), Format::Toml, '.').expect("a list");
    for format in [Format::Toml, Format::Csv] {
        let again = Stock::read(stock.to_text(format).as_bytes(), format, '.').expect("the same list");
        assert_eq!(again.paints(), stock.paints());
    }
}

#[test]
fn few_drawn_lines_are_never_fewer_than_none() {
    // a figure in one corner, so that the other three panels draw hardly a line
    let mut cells = [None; 144];
    cells[0] = Some(0);
    let asked = Fitting { across: Some(2), down: Some(2), ..Fitting::default() };
    let plan = planned(&cells, 12, FOOT, &asked).expect("a plan");
    let work = plan.hours().total().work;
    assert!(work.low < work.high && work.high < 6000.0, "{work:?} minutes");
}

#[test]
fn a_light_cut_of_almost_nothing_is_refused() {
    let size = Size::Pitch(Length::INCH.ratio());
    let plan = planned(&[Some(0)], 1, FOOT, &Fitting { size, ..Fitting::default() }).expect("a plan");
    let cutting =
        Cutting { light_cut: Length::from_units(1), thickness: Some(Length::LONGEST), ..Cutting::default() };
    assert_eq!(plan.cut(&cutting, &Unwatched).expect_err("too fine").code(), "VALUE-BAD");
}

#[test]
fn cells_as_long_as_the_picture_keep_a_size() {
    // 20 × 12 pixels; the pitch that was tried beside the best one fell below nothing, and the walk never ended
    let pixels = include_bytes!("fuzzed/few-cells.rgba").to_vec();
    let picture = Picture::from_rgba(20, 12, pixels).expect("a picture");
    let asked = Recovering { most_cells: 188, ..Recovering::default() };
    let found = recover(&picture, &asked, &Unwatched);
    assert!(found.is_ok_and(|found| found.best.grid.columns() <= 20));
}

#[test]
fn a_frame_without_columns_stops_no_walk() {
    // one of several frames; the walk divided by its columns, and the net below took that for damage
    let read = decode(include_bytes!("fuzzed/frame-without-columns.jpg"), &Unwatched);
    assert_eq!(read.expect_err("cut short").code(), "PIC-TRUNCATED");
}
