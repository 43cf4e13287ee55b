//! A wall planned as one: one palette, what adds up, and days that keep to the rules of a single figure.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use squarewright::colour::{Lab, Rgb, Xyz, ciede2000, family};
use squarewright::fault::{Error, Unwatched};
use squarewright::grid::Grid;
use squarewright::length::Length;
use squarewright::paint::{Price, Set, Stock};
use squarewright::palette::Palette;
use squarewright::panel::{Fitting, Panel, Size};
use squarewright::plan::{Door, Making, Plan, Source};
use squarewright::wall::{
    Asking, Done, Nested, Origin, Pack, Panels, Sight, View, WallFigure, WallPlan, coat_word,
};

fn panel() -> Panel {
    Panel::new(Length::INCH * 12, Length::INCH * 12).expect("a panel")
}

fn rgb(code: &str) -> Rgb {
    code.parse().expect("a colour")
}

/// Draws a grid: `a` is the first colour, `b` the second; anything else is bare.
fn grid(rows: &[String], colours: &[&str]) -> Grid {
    let palette = Palette::new(colours.iter().map(|code| rgb(code)).collect()).expect("a palette");
    let cell = |letter| "abcdef".find(letter).map(|index| u8::try_from(index).expect("one of six"));
    let cells = rows.iter().flat_map(|row| row.chars().map(cell)).collect();
    Grid::new(rows.len(), rows[0].len(), cells, palette).expect("a grid")
}

fn plan(name: &str, rows: &[String], colours: &[&str]) -> Arc<Plan> {
    let source = Source { name: name.into(), door: Door::Given };
    let plan = Plan::new(source, grid(rows, colours), panel(), &Fitting::default(), Making::default());
    Arc::new(plan.expect("a plan"))
}

/// A square of two colours, half and half.
fn halves(side: usize) -> Vec<String> {
    (0..side).map(|row| if row < side / 2 { "a" } else { "b" }.repeat(side)).collect()
}

fn figure(name: &str, colours: &[&str], copies: usize) -> WallFigure {
    WallFigure { name: name.into(), plan: plan(name, &halves(12), colours), copies, place: None }
}

fn pond() -> Vec<WallFigure> {
    vec![
        figure("newt", &["#4d7a3c", "#26301c"], 2),
        figure("frog", &["#4e7b3c", "#2b3a93"], 1),
        figure("lily", &["#e88ab0", "#4d7a3c"], 3),
    ]
}

fn asking() -> Asking {
    Asking { stock: Some(Stock::basic()), ..Asking::usual(panel()) }
}

fn wall(figures: Vec<WallFigure>, asked: Asking) -> WallPlan {
    WallPlan::new(figures, asked, &Unwatched).expect("a wall")
}

/// A red dot of one cell in the middle of grey.
fn dot(side: usize) -> Grid {
    let mut rows = vec!["a".repeat(side); side];
    rows[side / 2].replace_range(side / 2..=side / 2, "b");
    grid(&rows, &["#808080", "#904040"])
}

fn view(grid: &Grid, quarters: i64, feet: i64) -> View {
    let sight = Sight { distance: Length::inches(12 * feet, 1), ..Sight::default() };
    View::new(grid, Length::inches(quarters, 4).ratio(), &sight)
}

fn plain(one: Rgb, other: Rgb) -> f64 {
    ciede2000(Lab::from(one), Lab::from(other))
}

#[test]
fn a_large_area_is_seen_whole_and_a_small_one_less_the_farther_away() {
    let (grey, green) = (rgb("#808080"), rgb("#7a8476"));
    let whole = grid(&vec!["a".repeat(60); 60], &["#808080"]);
    let near = view(&whole, 4, 6).changed(&[0], (grey, green));
    assert!((near.shows() - plain(grey, green)).abs() < 1e-9);
    assert!(view(&whole, 4, 6).shows() == 0.0);
    let dot = dot(41);
    let at = |feet: i64| view(&dot, 1, feet).changed(&[1], (rgb("#904040"), rgb("#b03030"))).shows();
    for (near, farther) in [(3, 6), (6, 12), (12, 24), (24, 48)] {
        assert!(at(farther) < at(near), "{near} {farther}: {} {}", at(near), at(farther));
    }
    // A change back to what it was shows nothing.
    let (red, other) = (rgb("#904040"), rgb("#b03030"));
    assert!(view(&dot, 1, 6).changed(&[1], (red, other)).changed(&[1], (other, red)).shows() < 1e-9);
}

#[test]
fn one_cell_is_blurred_as_an_integral_over_it_says() {
    // source: the published bell curves, summed over a fine raster by hand; a dot turned into its ground
    let degrees = 2.0 * (0.25 / 2.0 / 72.0_f64).atan().to_degrees();
    let steps = 200;
    let share = |curves: [(f64, f64); 2]| -> f64 {
        let one = |(weight, width): (f64, f64)| {
            let spread: f64 = width / 2.0 / libm::log(2.0).sqrt();
            let at = |step: i32| (f64::from(step) + 0.5) / f64::from(steps) - 0.5;
            let line = |step: i32| {
                let off = at(step) * degrees / spread;
                libm::exp(-off * off)
            };
            let sum: f64 = (0..steps).map(line).sum::<f64>() * degrees / f64::from(steps);
            weight * sum * sum / (std::f64::consts::PI * spread * spread)
        };
        curves.into_iter().map(one).sum()
    };
    let shares = [
        share([(1.003_27, 0.05), (0.114_416, 0.225)]),
        share([(0.616_725, 0.0685), (0.383_275, 0.826)]),
        share([(0.567_885, 0.0920), (0.432_115, 0.6451)]),
    ];
    // Lightness without its wide curve comes to 1.117686, and the picture itself is brought back to 1.
    let whole = [1.117_686, 1.0, 1.0];
    let matrix = [[0.279, 0.72, -0.107], [-0.449, 0.29, -0.077], [0.086, -0.59, 0.501]];
    let inverse = [
        [0.626_554_50, -1.867_177_60, -0.153_156_37],
        [1.369_855_45, 0.934_755_82, 0.436_229_01],
        [1.505_650_75, 1.421_323_77, 2.536_021_08],
    ];
    let channels = |code: &str| {
        let xyz = Xyz::from(rgb(code));
        matrix.map(|row: [f64; 3]| row[0] * xyz.x + row[1] * xyz.y + row[2] * xyz.z)
    };
    let (ground, red) = (channels("#808080"), channels("#904040"));
    let mixed = |by: &dyn Fn(usize) -> f64| -> Lab {
        let at: [f64; 3] = std::array::from_fn(by);
        let [x, y, z] = inverse.map(|row: [f64; 3]| (0..3).map(|i| row[i] * at[i]).sum());
        Lab::from(Xyz { x, y, z })
    };
    let before = mixed(&|i| ground[i] + shares[i] / whole[i] * (red[i] - ground[i]));
    let after = mixed(&|i| ground[i] + (shares[i] / whole[i] - shares[i].min(1.0)) * (red[i] - ground[i]));
    let got = view(&dot(81), 1, 6).changed(&[1], (rgb("#904040"), rgb("#808080"))).shows();
    // No grid is wide enough to hold all of the widest curve.
    assert!((got - ciede2000(before, after)).abs() < 0.02, "{got} {}", ciede2000(before, after));
}

#[test]
fn colours_that_look_alike_are_mixed_once() {
    let wall = wall(pond(), asking());
    let merging = wall.merging();
    assert_eq!((merging.jars_before, merging.jars_after), (6, 4));
    let [merge] = &merging.merges[..] else { panic!("one merge: {:?}", merging.merges) };
    // The green of five figures stays, that of the frog goes.
    assert_eq!((merge.from, merge.into), (rgb("#4e7b3c"), rgb("#4d7a3c")));
    assert_eq!(merge.figures, [1]);
    let plain = ciede2000(Lab::from(merge.from), Lab::from(merge.into));
    assert!((merge.difference - plain).abs() < 1e-12 && merge.shows <= 3.0);
    for each in wall.figures() {
        for &colour in each.plan.grid().palette().colours() {
            assert!(merging.colours.contains(&colour), "{colour} of {}", each.name);
            let own = each.plan.mixes().recipe(colour).expect("a recipe");
            let jar = wall.jars().iter().find(|jar| jar.jar.colour == colour).expect("a jar");
            assert_eq!(Some(own), jar.recipe.as_ref());
        }
    }
}

#[test]
fn nothing_is_merged_when_nothing_may_show() {
    let sight = Sight { difference: 0.0, ..Sight::default() };
    let wall = wall(pond(), Asking { sight, ..asking() });
    assert!(wall.merging().merges.is_empty());
    assert_eq!(wall.merging().jars_after, 5);
}

#[test]
fn no_merge_shows_more_than_was_asked() {
    let greys: Vec<[String; 2]> = (0_u8..12)
        .map(|step| {
            let code = |add: u8| format!("#{0:02x}{1:02x}{0:02x}", 90 + 3 * step + add, 100 + 2 * step);
            [code(0), code(90)]
        })
        .collect();
    for difference in [0.5, 1.0, 2.0, 4.0, 10.0] {
        let figures = greys
            .iter()
            .enumerate()
            .map(|(place, [one, other])| figure(&format!("fish {place}"), &[one, other], 1));
        let figures: Vec<WallFigure> = figures.collect();
        let sight = Sight { difference, ..Sight::default() };
        let wall = wall(figures.clone(), Asking { sight, ..Asking::usual(panel()) });
        let merging = wall.merging();
        assert_eq!(merging.jars_after + merging.merges.len(), 24, "{difference}");
        for merge in &merging.merges {
            assert!(merge.difference <= 6.0 && merge.shows <= difference);
            for &figure in &merge.figures {
                let plan = &figures[figure].plan;
                let place = plan.grid().palette().position(merge.from).expect("a colour");
                let place = u8::try_from(place).expect("one of 64");
                let view = View::new(plan.grid(), plan.fit().pitch, &sight);
                assert!(view.changed(&[place], (merge.from, merge.into)).shows() > 0.0);
            }
        }
    }
}

#[test]
fn a_small_vivid_accent_stays() {
    // A red eye on grey, beside a figure in a red four steps away: from across the street neither would show.
    let mut rows = vec!["a".repeat(12); 12];
    rows[3].replace_range(3..4, "b");
    let eye = WallFigure {
        name: "moorhen".into(),
        plan: plan("moorhen", &rows, &["#7d8081", "#d23a2a"]),
        copies: 1,
        place: None,
    };
    let red = figure("dragonfly", &["#c4332b", "#1f5440"], 1);
    let difference = ciede2000(Lab::from(rgb("#d23a2a")), Lab::from(rgb("#c4332b")));
    assert!((1.0..6.0).contains(&difference), "{difference}");
    let sight = Sight { distance: Length::inches(12 * 60, 1), difference: 10.0 };
    let asked = Asking { sight, ..asking() };
    let merges = wall(vec![eye, red.clone()], asked.clone()).merging().merges.clone();
    assert!(merges.is_empty(), "{merges:?}");
    // The same red on half of the figure is no accent.
    let large = figure("moorhen", &["#7d8081", "#d23a2a"], 1);
    assert_eq!(wall(vec![large, red], asked).merging().merges.len(), 1);
}

#[test]
fn the_wall_is_the_sum_of_its_figures_before_anything_is_rounded() {
    let wall = wall(pond(), asking());
    let near = |one: f64, other: f64| assert!((one - other).abs() < 1e-9, "{one} {other}");
    let sum = |of: &dyn Fn(&Plan) -> f64| -> f64 {
        wall.figures().iter().map(|each| of(&each.plan) * each.copies as f64).sum()
    };
    let amounts = wall.amounts();
    near(amounts.colour_ml(), sum(&|plan| plan.amounts().colour_ml()));
    near(amounts.primer.ml, sum(&|plan| plan.amounts().primer.ml));
    near(amounts.varnish.ml, sum(&|plan| plan.amounts().varnish.ml));
    near(amounts.undercoat.ml, sum(&|plan| plan.amounts().undercoat.ml));
    near(wall.buying().glue_ml, sum(&|plan| plan.backing().map_or(0.0, |card| card.glue_ml().high)));
    for jar in wall.jars() {
        near(jar.jar.ml, jar.uses.iter().map(|each| each.ml).sum());
        let own = |plan: &Plan| {
            plan.amounts().jars.iter().filter(|own| own.colour == jar.jar.colour).map(|own| own.ml).sum()
        };
        near(jar.jar.ml, sum(&own));
        assert!(jar.jar.batch_ml + 1e-9 >= jar.jar.ml);
    }
    for need in &amounts.paints {
        let own = |plan: &Plan| {
            let needs = plan.amounts().paints.iter().filter(|own| own.paint.name == need.paint.name);
            needs.map(|own| own.ml).sum()
        };
        near(need.ml, sum(&own));
    }
    let totals = wall.totals();
    assert_eq!(totals.figures, 6);
    near(totals.minutes.work.low, sum(&|plan| plan.hours().total().work.low));
    near(totals.minutes.work.high, sum(&|plan| plan.hours().total().work.high));
    near(totals.grams.likely, sum(&|plan| plan.hanging().grams().likely));
}

#[test]
fn panels_are_sold_in_packs() {
    // source: packs = ⌈n / 4⌉ for packs of four (common practice)
    for needed in 0..40 {
        let panels = Panels::new(needed, Pack { price: Some(1299), ..Pack::default() });
        assert_eq!(panels.packs, needed.div_ceil(4));
        assert_eq!(panels.packs * 4 - panels.spare, needed);
        assert_eq!(panels.cost(), Some(1299 * panels.packs as u64));
        let some = Panels::new(needed, Pack { owned: 5, ..Pack::default() });
        assert_eq!(some.packs, needed.saturating_sub(5).div_ceil(4));
        assert_eq!(some.owned + 4 * some.packs - some.spare, needed);
    }
}

#[test]
fn what_is_at_hand_is_not_bought() {
    let price = |amount| Some(Price { amount, currency: "EUR".into() });
    let mut paints = Stock::basic().paints().to_vec();
    for paint in &mut paints {
        (paint.owned, paint.ml, paint.price) = (false, Some(2.0), price(2.5));
    }
    let stock = Stock::new(paints.clone()).expect("a stock");
    let pack = Pack { price: Some(1000), currency: "EUR".into(), ..Pack::default() };
    let asked = Asking { stock: Some(stock), pack, ..asking() };
    let first = wall(pond(), asked.clone());
    let costs: u64 = first.buying().paints.iter().map(|bottle| u64::from(bottle.to_buy) * 250).sum();
    let money = first.buying().money();
    assert_eq!(money.hundredths, costs + 1000 * first.buying().panels.packs as u64);
    assert_eq!((&*money.currency, money.unpriced), ("EUR", 0));
    let bottle =
        first.buying().paints.iter().find(|bottle| bottle.to_buy > 1).expect("a paint of many bottles");
    let name = bottle.need.paint.name.clone();
    let mut left = asked.clone();
    left.left.bottles.push((name.to_uppercase(), 2.0));
    for paint in &mut paints {
        paint.owned = paint.name == name;
    }
    let owned = Asking { stock: Some(Stock::new(paints).expect("a stock")), ..asked.clone() };
    for asked in [left, owned] {
        let second = wall(pond(), asked);
        let now = second.buying().paints.iter().find(|other| other.need.paint.name == name).expect("it");
        let missing = (now.need.poured_ml - 2.0) / 2.0;
        assert!(f64::from(now.to_buy) >= missing - 1e-3 && f64::from(now.to_buy) < missing + 1.0);
    }
    let green = first.jars().iter().find(|jar| jar.jar.colour == rgb("#4d7a3c")).expect("a jar");
    let mut mixed = asked.clone();
    mixed.left.mixes.push((rgb("#4d7a3c"), green.jar.ml - 0.5));
    let third = wall(pond(), mixed);
    let jar = third.jars().iter().find(|jar| jar.jar.colour == rgb("#4d7a3c")).expect("a jar");
    assert!(jar.jar.batch_ml >= 1.0 && jar.jar.batch_ml < green.jar.batch_ml);
    assert!((jar.jar.ml - green.jar.ml).abs() < 1e-12);
}

/// One coat of a colour, or of white below others.
type Coat = (Set, Option<Rgb>, u32);

/// A figure and one of its copies.
type Copy = (usize, usize);

/// Follows the days minute by minute and keeps the rules of a single figure.
fn check_days(wall: &WallPlan) {
    let mut done: BTreeMap<Copy, Vec<Coat>> = BTreeMap::new();
    for day in &wall.days().days {
        let mut now = 0.0;
        // When a figure is dry again, and what was painted on it last.
        let mut wet: BTreeMap<Copy, (f64, Coat)> = BTreeMap::new();
        let tasks: usize = day.openings.iter().map(|opening| opening.work.len()).sum();
        assert!(day.minutes() <= wall.days().hours * 60.0 + 1e-6 || tasks == 1, "{}", day.minutes());
        for opening in &day.openings {
            now += opening.gap + opening.change;
            for work in &opening.work {
                let key = (work.figure, work.copy);
                let plan = &wall.figures()[work.figure].plan;
                if let Some(&(dry, (set, colour, coat))) = wet.get(&key) {
                    let alike =
                        colour.zip(opening.colour).is_some_and(|(one, other)| family(one) == family(other))
                            && (set, coat) == (work.set, work.coat);
                    assert!(alike || now + 1e-6 >= dry, "{} is wet", wall.figures()[work.figure].name);
                }
                let before = done.entry(key).or_default();
                for coat in 1..work.coat {
                    assert!(before.contains(&(work.set, opening.colour, coat)), "a coat is missing below");
                }
                before.push((work.set, opening.colour, work.coat));
                now += work.minutes;
                let wait = f64::from(plan.painting().ordering.wait.1);
                wet.insert(key, (now + wait, (work.set, opening.colour, work.coat)));
            }
        }
        assert!((now - day.minutes()).abs() < 1e-6);
    }
    for (figure, each) in wall.figures().iter().enumerate() {
        for copy in 0..each.copies {
            let painted = &done[&(figure, copy)];
            let mut wanted = Vec::new();
            for pass in each.plan.passes() {
                match pass.set {
                    Set::Undercoat => wanted.push((pass.set, None, 1)),
                    set => {
                        wanted.extend(pass.colours.iter().map(|&(colour, _)| (set, Some(colour), pass.coat)));
                    }
                }
            }
            let mut painted = painted.clone();
            let sets: Vec<Set> = painted.iter().map(|&(set, ..)| set).collect();
            assert!(sets.is_sorted_by_key(|set| wanted.iter().position(|one| one.0 == *set)), "{sets:?}");
            let order = |one: &Coat| (one.0 as u8, one.1, one.2);
            painted.sort_by_key(order);
            wanted.sort_by_key(order);
            assert_eq!(painted, wanted, "{} {copy}", each.name);
        }
    }
}

#[test]
fn days_keep_the_rules_and_open_few_jars() {
    for hours in [0.25, 1.0, 3.0, 24.0] {
        let wall = wall(pond(), Asking { hours, ..asking() });
        check_days(&wall);
        let days = wall.days();
        let opened: usize = days.days.iter().map(|day| day.openings.len()).sum();
        assert_eq!(days.changes_after, opened);
        if hours >= 3.0 {
            assert!(days.changes_after * 10 <= days.changes_before * 6, "{opened} {}", days.changes_before);
        }
    }
}

#[test]
fn a_wall_reads_back_as_it_was_on_any_number_of_threads() {
    let one = wall(pond(), asking());
    let text = one.to_json();
    for threads in [2, 3, 16] {
        assert_eq!(wall(pond(), Asking { threads, ..asking() }).to_json(), text);
    }
    let back = WallPlan::from_json(&text).expect("a wall");
    assert!(back == one);
    assert_eq!(back.to_json(), text);
    let newer = text.replacen("\"schema_version\": 1", "\"schema_version\": 2", 1);
    assert_eq!(WallPlan::from_json(&newer), Err(Error::PlanVersion { got: 2, reads: 1 }));
    assert_eq!(WallPlan::from_json("{}").map(|_| ()).map_err(|error| error.code()), Err("VALUE-BAD"));
}

#[test]
fn what_cannot_be_asked_says_so() {
    let refused = |figures: Vec<WallFigure>, asked: Asking| {
        WallPlan::new(figures, asked, &Unwatched).expect_err("a refusal").to_string()
    };
    assert!(refused(Vec::new(), asking()).contains("1 to 500"));
    let twice = vec![pond().remove(0), pond().remove(0)];
    assert!(refused(twice, asking()).contains("twice"));
    assert!(refused(pond(), Asking { hours: 0.0, ..asking() }).contains("hours"));
    let other = Panel::new(Length::INCH * 10, Length::INCH * 12).expect("a panel");
    assert!(refused(pond(), Asking { panel: other, ..asking() }).contains("panels"));
    let mut left = asking();
    left.left.bottles.push(("sky".into(), 3.0));
    assert!(refused(pond(), left).contains("sky blue"));
    let sight = Sight { difference: f64::NAN, ..Sight::default() };
    assert!(refused(pond(), Asking { sight, ..asking() }).contains("merge"));
}

/// Says that steps and coats of copies are done.
fn done(all: &[(&str, usize, &str)]) -> Done {
    let mut done = Done::default();
    for &(name, copy, word) in all {
        let copies = done.0.entry(name.into()).or_default();
        copies.resize(copies.len().max(copy + 1), BTreeSet::new());
        copies[copy].insert(word.to_owned());
    }
    done
}

#[test]
fn what_is_done_is_neither_painted_nor_bought_again() {
    let wall = wall(pond(), asking());
    let none = wall.after(Done::default(), &Unwatched).expect("a wall");
    assert!(none == wall);
    let first = &wall.days().days[0].openings[0];
    let words: Vec<(String, usize, String)> = first
        .work
        .iter()
        .map(|work| {
            let name = wall.figures()[work.figure].name.clone();
            (name, work.copy, coat_word(work.set, work.coat, first.colour))
        })
        .collect();
    let words: Vec<(&str, usize, &str)> =
        words.iter().map(|(name, copy, word)| (&**name, *copy, &**word)).collect();
    let some = wall.after(done(&words), &Unwatched).expect("a wall");
    let coats = |wall: &WallPlan| -> usize {
        wall.days().days.iter().flat_map(|day| &day.openings).map(|opening| opening.work.len()).sum()
    };
    assert_eq!(coats(&some) + first.work.len(), coats(&wall));
    assert_eq!(some.days().changes_before + first.work.len(), wall.days().changes_before);
    let work = |wall: &WallPlan| wall.remaining().iter().map(|left| left.step.work.low).sum::<f64>();
    assert!(work(&some) < work(&wall) && some.totals().minutes == wall.totals().minutes);
    assert!(some.buying().panels.needed < wall.buying().panels.needed);
    assert!(WallPlan::from_json(&some.to_json()).expect("a wall") == some);
    let told = wall.after(done(&[("newt", 0, "fly")]), &Unwatched).expect_err("no such step");
    assert_eq!(told.code(), "VALUE-BAD");
    // Names that the wall does not have, and coats that a figure does not have any more, may be said.
    let odd = done(&[("heron", 3, "mark"), ("newt", 0, "inside 1 #123456")]);
    assert_eq!(wall.after(odd, &Unwatched).expect("a wall").days().days, wall.days().days);
}

#[test]
fn what_was_begun_stays_on_its_board_and_its_rest_is_filled_first() {
    let small = |name: &str| {
        let source = Source { name: name.into(), door: Door::Given };
        let asked = Fitting { size: Size::Pitch(Length::inches(1, 4).ratio()), ..Fitting::default() };
        let grid = grid(&halves(12), &["#4d7a3c", "#26301c"]);
        let plan = Plan::new(source, grid, panel(), &asked, Making::default()).expect("a plan");
        WallFigure { name: name.into(), plan: Arc::new(plan), copies: 1, place: None }
    };
    let first = wall(vec![small("newt")], asking());
    let begun = first.after(done(&[("newt", 0, "trace")]), &Unwatched).expect("a wall");
    let figures: Vec<WallFigure> = ["frog", "newt", "lily"].map(small).into();
    let asked = Asking { earlier: Some(Arc::new(begun)), ..asking() };
    let second = wall(figures, asked);
    let [panel] = &second.boards().nesting.as_ref().expect("a nesting").panels[..] else {
        panic!("one panel")
    };
    assert_eq!(panel.origin, Origin::InUse);
    assert_eq!((second.boards().count(), second.buying().panels.needed), (1, 0));
    let newt = panel.figures.iter().find(|nested| second.boards().laid[nested.figure].figure == 1);
    let before = first.boards().nesting.as_ref().expect("a nesting").panels[0].figures[0];
    let place = |nested: &Nested| (nested.x, nested.y, nested.quarter_turns);
    assert_eq!(newt.map(place), Some(place(&before)));
}

#[test]
fn a_figure_of_another_pitch_is_named_with_its_error() {
    let common = Length::INCH.ratio();
    let asked = Asking { pitch: Some(common), ..asking() };
    assert!(wall(pond(), asked).odd_sizes().is_empty());
    let asked = Asking { pitch: Some(Length::inches(3, 4).ratio()), ..asking() };
    let odd = wall(pond(), asked).odd_sizes();
    assert_eq!(odd.iter().map(|odd| odd.figure).collect::<Vec<_>>(), [0, 1, 2]);
    assert!(odd.iter().all(|odd| odd.pitch == common && (odd.error - 1.0 / 3.0).abs() < 1e-12));
}
