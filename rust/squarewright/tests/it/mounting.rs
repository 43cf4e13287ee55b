//! Card, weight, edges, steps and hours of a plan.

use squarewright::cut::{Card, Rim, mirrored};
use squarewright::grid::Grid;
use squarewright::length::{Length, Place};
use squarewright::outline::{Point, enclosed_mm2, pair};
use squarewright::palette::Palette;
use squarewright::panel::{Fitting, Panel, Size};
use squarewright::plan::{
    Door, Ending, Making, Mounting, Paints, Plan, Rate, Rates, Source, Stage, Step, Timing,
};

fn drawn(rows: &[&str]) -> Grid {
    let palette = Palette::new(vec!["#1d2430".parse().expect("a colour")]).expect("a palette");
    let cells = rows.iter().flat_map(|row| row.chars().map(|letter| (letter == '#').then_some(0))).collect();
    Grid::new(rows.len(), rows[0].len(), cells, palette).expect("a grid")
}

fn panel() -> Panel {
    let foot = Length::inches(12, 1);
    Panel::new(foot, foot).expect("a panel").with_thickness(Length::inches(1, 4)).expect("a thickness")
}

/// Plans a figure as large as the panel.
fn planned(rows: &[&str], making: Making) -> Plan {
    let source = Source { name: "lily".into(), door: Door::Given };
    let longer = i64::try_from(rows.len().max(rows[0].len())).expect("a small figure");
    let size = Size::Pitch(Length::inches(12, longer).ratio());
    let asked = Fitting { size, ..Fitting::default() };
    Plan::new(source, drawn(rows), panel(), &asked, making).expect("a plan")
}

fn carded(plan: Plan, card: Card) -> Plan {
    plan.mounted(Mounting { card, ..Mounting::default() }).expect("a mounting")
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-9, "{found} for {wanted}");
}

const RING: [&str; 3] = ["###", "#.#", "###"];

/// Source: the closed form of the square offset, A + P·m + (c − r)·m², with and without the hole.
#[test]
fn a_small_hole_stays_closed_until_the_card_is_trimmed() {
    let plan = planned(&RING, Making::default());
    let (pitch, inch) = (plan.fit().pitch.mm(), 25.4);
    let outer = (3.0 * pitch + 0.5 * inch) * (3.0 * pitch + 0.5 * inch);
    let hole = (pitch - 0.5 * inch) * (pitch - 0.5 * inch);
    let backing = plan.backing().unwrap();
    assert!((backing.mm2() - (outer - hole)).abs() < 1e-6, "a hole of 3 1/2 in stays open");
    assert_eq!(backing.closed_holes, 0);
    let closed = carded(plan, Card { smallest_hole: Length::inches(4, 1), ..Card::default() });
    let backing = closed.backing().unwrap();
    assert!((backing.mm2() - outer).abs() < 1e-6);
    assert_eq!(backing.closed_holes, 1);
    assert!((backing.cut_mm() - 4.0 * (3.0 * pitch + 0.5 * inch)).abs() < 1e-6);
    assert!((backing.trim_mm() - 16.0 * pitch).abs() < 1e-6, "the hole is trimmed as well");
}

#[test]
fn a_hole_that_growing_closes_is_cut_when_the_card_is_trimmed() {
    let wide = Card { margin: Length::inches(5, 2), ..Card::default() };
    let backing = carded(planned(&RING, Making::default()), wide).backing().unwrap().clone();
    assert!(backing.contours.iter().all(|contour| !contour.hole));
    assert_eq!(backing.closed_holes, 1);
}

#[test]
fn the_card_encloses_what_it_backs_and_round_corners_take_less() {
    for rows in [&["#.", "##"][..], &RING, &["#.#", "#.#", "###"], &["#.", ".#"]] {
        let plan = planned(rows, Making::default());
        let square = plan.backing().unwrap().clone();
        let round = carded(plan, Card { corners: Rim::Round, ..Card::default() });
        let round = round.backing().unwrap();
        assert!(enclosed_mm2(&square.backed) < round.mm2() && round.mm2() < square.mm2());
        assert!((square.glued_mm2() - enclosed_mm2(&square.backed)).abs() < 1e-9);
    }
}

/// A mirror in the middle of a strip changes nothing when it is used twice (Euclidean geometry).
#[test]
fn two_mirrors_give_back_the_card() {
    let plan = planned(&["#.", "##"], Making::default());
    let (contours, width) = (&plan.backing().unwrap().contours, plan.fit().width().nearest());
    let once = mirrored(contours, width);
    assert_ne!(&once, contours);
    assert_eq!(&mirrored(&once, width), contours);
    assert!((enclosed_mm2(&once) - enclosed_mm2(contours)).abs() < 1e-9);
}

#[test]
fn webs_hold_what_meets_at_corners_and_nothing_else() {
    let parts = |rows: &[&str]| {
        let backing = planned(rows, Making::default()).backing().unwrap().clone();
        (backing.webs.len(), backing.parts)
    };
    assert_eq!(parts(&["#.", ".#"]), (1, 1));
    assert_eq!(parts(&["#.#", ".#.", "#.#"]), (4, 1));
    assert_eq!(parts(&["#..", "...", "..#"]), (0, 2));
    assert_eq!(parts(&["##", "##"]), (0, 1));
    assert_eq!(parts(&["#.#.#", ".#..."]), (2, 2));
    let plan = planned(&["#.", ".#"], Making::default());
    let (web, pitch) = (plan.backing().unwrap().webs[0], plan.fit().pitch.nearest());
    let middle = web.corner.moved(web.width.half(), web.height.half());
    assert_eq!(middle, Place::new(pitch, pitch));
}

/// Counted by hand: a figure of 12 in grows to 12 1/2 in, so sheets of 12 in lie two by two; of 13 in one is
/// enough, and of 13 in × 7 in two, whichever way they are turned.
#[test]
fn sheets_of_card_are_counted() {
    let sheets = |width: i64, height: i64| {
        let sheet = (Length::inches(width, 1), Length::inches(height, 1));
        let plan = carded(planned(&["##", "##"], Making::default()), Card { sheet, ..Card::default() });
        plan.backing().unwrap().sheets
    };
    assert_eq!([sheets(12, 12), sheets(13, 13), sheets(13, 7), sheets(7, 13)], [4, 1, 2, 2]);
    // An L of cells of 4 in, arms of 4 1/2 in with the margins, leaves the fourth sheet of 7 in untouched.
    let sheet = (Length::inches(7, 1), Length::inches(7, 1));
    let l = planned(&["#..", "#..", "###"], Making::default());
    assert_eq!(carded(l, Card { sheet, ..Card::default() }).backing().unwrap().sheets, 3);
}

#[test]
fn no_backing_has_no_card() {
    let plan = planned(&RING, Making { backing: false, ..Making::default() });
    assert!(plan.backing().is_none());
    near(plan.hanging().card.high + plan.hanging().glue.high, 0.0);
    assert_eq!(plan.edge_depth(), Length::inches(1, 4));
}

#[test]
fn edges_are_as_deep_as_board_and_card() {
    let plan = planned(&RING, Making::default());
    assert_eq!(plan.edge_depth(), Length::inches(3, 8));
    let edge = plan.edges()[0];
    assert!((edge.mm - 16.0 * plan.fit().pitch.mm()).abs() < 1e-9);
    assert!((edge.mm2 - edge.mm * 0.375 * 25.4).abs() < 1e-9);
    assert!((plan.painted_areas()[0].edges - edge.mm2).abs() < 1e-9);
}

/// Source: volume × density. A square foot of cork, 1/4 in thick, at 0.20 g/cm³ weighs 118 g.
#[test]
fn a_square_foot_of_cork_weighs_what_volume_and_density_say() {
    let whole = Making { ending: Ending::WholeSquare, ..Making::default() };
    for plan in [planned(&["#"], Making::default()), planned(&["#."], whole)] {
        let hanging = plan.hanging();
        assert!((hanging.board.likely - 30.48 * 30.48 * 0.635 * 0.20).abs() < 1e-9);
        assert!((hanging.board.likely - 118.0).abs() < 0.5);
        assert!((hanging.card.likely - 0.3048 * 0.3048 * 500.0).abs() < 1e-9);
        let all = hanging.grams();
        assert!(all.low < all.likely && all.likely < all.high);
        assert!((hanging.rated - 4.0 * all.high).abs() < 1e-9);
        assert!(hanging.fixings as f64 * 450.0 >= hanging.rated && hanging.fixings >= 2);
    }
}

#[test]
fn a_whole_square_hangs_from_its_middle_in_a_frame_with_play() {
    let plan = planned(&["#.", ".#"], Making { ending: Ending::WholeSquare, ..Making::default() });
    let hanging = plan.hanging();
    let six = Length::inches(6, 1);
    let left = plan.fit().margins.left.nearest();
    assert_eq!(hanging.balance, Place::new(six - left, six - plan.fit().margins.top.nearest()));
    let frame = hanging.frame.unwrap();
    assert_eq!((frame.width, frame.depth), (Length::inches(97, 8), Length::inches(3, 8)));
    let backing = plan.backing().unwrap();
    assert!((backing.mm2() - (12.5 * 25.4) * (12.5 * 25.4)).abs() < 1e-6 && backing.webs.is_empty());
}

/// Source: two equal forces as far to the left as to the right of the centroid balance it (law of the lever).
#[test]
fn two_fixings_share_the_weight() {
    let u = drawn(&["#.#", "#.#", "###"]);
    let (left, right) = pair(&u, 0.25).unwrap();
    assert!((left.column + right.column - 3.0).abs() < 1e-12, "the centroid lies at 1 1/2");
    assert!((left.row - 0.25).abs() < 1e-12 && (left.row - right.row).abs() < 1e-12);
    assert!((left.column - 0.25).abs() < 1e-12, "as far apart as the figure allows");
    let slanted = drawn(&["###.", "####", "####"]);
    let (Point { column: a, .. }, Point { column: b, .. }) = pair(&slanted, 0.25).unwrap();
    let middle = squarewright::outline::centroid(&slanted).column;
    assert!((a + b - 2.0 * middle).abs() < 1e-12);
    assert_eq!(pair(&drawn(&["#"]), 0.4), None, "a cell has no room for two");
}

/// Common practice: each step before all that follow it in this list, whatever the ending.
#[test]
fn the_steps_keep_the_order_of_the_trade() {
    let order = [
        Step::MarkAllRound,
        Step::InnerLines,
        Step::OuterLines,
        Step::TraceOutline,
        Step::CheckTracing,
        Step::StartPainting,
        Step::PaintDry,
        Step::CleanUp,
        Step::Cut,
        Step::Glue,
        Step::GlueDry,
        Step::Trim,
        Step::PaintEdges,
        Step::Hang,
    ];
    for ending in [Ending::CutOut, Ending::WholeSquare] {
        for (backing, edges, paints) in [
            (true, true, Paints::Mixed),
            (true, false, Paints::FromTheBottle),
            (false, true, Paints::Mixed),
            (false, false, Paints::FromTheBottle),
        ] {
            let plan = planned(&RING, Making { ending, backing, edges, paints, ..Making::default() });
            let steps = plan.steps();
            let places: Vec<usize> =
                order.iter().filter_map(|step| steps.iter().position(|other| other == step)).collect();
            assert!(places.is_sorted());
            let cut_out = ending == Ending::CutOut;
            assert_eq!(steps.contains(&Step::Cut), cut_out);
            assert_eq!(steps.contains(&Step::PaintEdges), cut_out && edges);
            assert_eq!(steps.contains(&Step::GlueDry), backing);
            let mut stages: Vec<Stage> = steps.iter().map(|step| step.stage()).collect();
            stages.dedup();
            assert_eq!(stages, plan.stages(), "the steps follow the stages");
            assert!(steps.iter().all(|&step| steps.iter().filter(|&&other| other == step).count() == 1));
        }
    }
    let all = Step::all(&Making::default(), true);
    let first = Step::FIRST_HOUR.map(|step| all.iter().position(|&other| other == step).unwrap());
    assert!(first.is_sorted());
}

/// Worked by hand on one cell of one colour: rates times counts.
#[test]
fn hours_are_rates_times_counts() {
    let plan = planned(&["#"], Making::default());
    let hours = plan.hours();
    let minutes = |step: Step| hours.steps.iter().find(|timed| timed.what == step).unwrap();
    // Two marks on each of four edges.
    near(minutes(Step::MarkAllRound).work.high, 0.3 * 8.0);
    near(minutes(Step::OuterLines).work.low, 0.5 * 4.0);
    near(minutes(Step::InnerLines).work.high, 0.0);
    assert!((minutes(Step::TraceOutline).work.low - 2.0 * 4.0 * 0.3048).abs() < 1e-9);
    assert!((minutes(Step::Trim).work.high - 12.0 * 4.0 * 0.3048).abs() < 1e-9);
    near(minutes(Step::Mix).work.low, 3.0);
    near(minutes(Step::GlueDry).wait.high, 1440.0);
    let coats = f64::from(plan.amounts().jars[0].coats);
    let painted = (coats * (30.48 * 30.48 / 100.0) * 1.0) + coats * 0.2 + coats * 2.0;
    assert!((minutes(Step::StartPainting).work.low - painted).abs() < 1e-9);
    near(minutes(Step::PaintDry).wait.low, coats * 20.0);
}

#[test]
fn what_one_stage_took_sets_the_pace_of_the_others() {
    let plan = planned(&RING, Making::default());
    let plain = plan.hours();
    let of = |hours: &squarewright::plan::Hours, stage: Stage| {
        *hours.stages.iter().find(|timed| timed.what == stage).unwrap()
    };
    let mark = of(&plain, Stage::Mark).work;
    let real = 2.0 * f64::midpoint(mark.low, mark.high);
    let slow = plan.clone().with_rate(Stage::Mark, real).unwrap();
    let hours = slow.hours();
    assert!((hours.pace - 2.0).abs() < 1e-12);
    assert!((of(&hours, Stage::Mark).work.low - real).abs() < 1e-9);
    assert!((of(&hours, Stage::Mark).work.high - real).abs() < 1e-9);
    for stage in plan.stages().into_iter().filter(|&stage| stage != Stage::Mark) {
        let (before, after) = (of(&plain, stage), of(&hours, stage));
        assert!((after.work.low - 2.0 * before.work.low).abs() < 1e-9);
        assert!((after.work.high - 2.0 * before.work.high).abs() < 1e-9);
        assert_eq!(after.wait, before.wait, "paint dries no slower");
    }
    let again = slow.with_rate(Stage::Mark, real / 2.0).unwrap();
    assert!((again.hours().pace - 1.0).abs() < 1e-12, "the later time counts");
    assert!(plan.clone().with_rate(Stage::Frame, 10.0).is_err());
    assert!(plan.clone().with_rate(Stage::Mark, 0.0).is_err());
    assert!(plan.with_rate(Stage::Mark, f64::INFINITY).is_err());
}

#[test]
fn rates_can_be_the_makers_own_and_come_back_from_json() {
    let rates = Rates::default().with(Rate::Mark, (1.0, 2.0)).unwrap();
    let plan = planned(&["#"], Making::default()).with_timing(Timing { rates, taken: Vec::new() });
    let plan = carded(plan, Card { margin: Length::inches(1, 2), ..Card::default() });
    let plan = plan.with_rate(Stage::Trace, 33.0).unwrap();
    let again = Plan::from_json(&plan.to_json()).unwrap();
    assert_eq!(again.hours(), plan.hours());
    assert_eq!(again.backing(), plan.backing());
    assert_eq!(again.hanging(), plan.hanging());
    for (low, high) in [(2.0, 1.0), (-1.0, 1.0), (f64::NAN, 1.0), (1.0, f64::INFINITY)] {
        assert_eq!(Rates::default().with(Rate::Mark, (low, high)).unwrap_err().code(), "VALUE-BAD");
    }
}
