//! Figures on a wall: apart, where a hand put them, and in balance.

use squarewright::fault::{Error, Unwatched};
use squarewright::length::{Area, Length, Place, Ruler, System};
use squarewright::wall::{Hung, Placing, Room, Taken, fits, place};

const INCH: Length = Length::INCH;

/// A wall with gaps of 3 in.
fn room(width: i64, height: i64) -> Room {
    let room = Room::new(INCH * width, INCH * height, Ruler::scale()).expect("a wall");
    Room { gap: INCH * 3, ..room }
}

fn taken(name: &str, (x, y): (i64, i64), (width, height): (i64, i64)) -> Taken {
    let name = name.to_owned();
    Taken { name, x: INCH * x, y: INCH * y, width: INCH * width, height: INCH * height }
}

/// A figure as heavy as its box of quarter-inch cork, 118 g to the square foot.
fn figure(name: &str, width: Length, height: Length) -> Hung {
    let grams = width.mm() * height.mm() / (304.8 * 304.8) * 118.0;
    Hung { name: name.to_owned(), width, height, grams, hangs: false, at: None }
}

fn inches(name: &str, width: i64, height: i64) -> Hung {
    figure(name, INCH * width, INCH * height)
}

/// Numbers by chance that are the same each time (the generator of Numerical Recipes, 2nd ed., section 7.1, from memory).
struct Chance(u32);

impl Chance {
    fn below(&mut self, most: i64) -> i64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        i64::from(self.0 >> 8) % most
    }
}

/// Paints every box on a map of quarter inches and looks for what is painted twice, with the gap round the second.
fn check_apart(placing: &Placing) {
    let step = Length::inches(1, 4).units();
    let room = &placing.room;
    let (columns, rows) = (room.width.units() / step, room.height.units() / step);
    let mut map = vec![0_u8; usize::try_from(columns * rows).expect("a small wall")];
    let gap = |by_hand: bool| if by_hand { Length::ZERO } else { room.gap };
    let boxes = room
        .taken
        .iter()
        .map(|taken| (taken.area(), true))
        .chain(placing.figures.iter().map(|figure| (figure.area(), figure.by_hand)));
    let mut boxes: Vec<(Area, bool)> = boxes.collect();
    // What has its place already is painted first, so that the gap of the others is looked for round it.
    boxes.sort_by_key(|&(_, by_hand)| !by_hand);
    for (area, by_hand) in boxes {
        let wide = area.inset(-gap(by_hand));
        let places = |area: Area| {
            let (across, down) = (
                area.left().units().div_euclid(step)..(area.right().units() + step - 1).div_euclid(step),
                area.top().units().div_euclid(step)..(area.bottom().units() + step - 1).div_euclid(step),
            );
            assert!(across.start >= 0 && down.start >= 0 && across.end <= columns && down.end <= rows);
            down.flat_map(move |row| {
                across.clone().map(move |column| usize::try_from(row * columns + column))
            })
            .map(|place| place.expect("on the wall"))
            .collect::<Vec<_>>()
        };
        for place in places(wide) {
            assert_eq!(map[place], 0, "{area:?} is too near to something");
        }
        for place in places(area) {
            map[place] = 1;
        }
    }
}

fn by_chance(chance: &mut Chance, count: usize) -> Vec<Hung> {
    let side = |chance: &mut Chance| Length::inches(12 + chance.below(48), 4);
    (0..count).map(|index| figure(&format!("figure {index}"), side(chance), side(chance))).collect()
}

#[test]
fn figures_keep_the_gap_from_one_another_from_taken_places_and_from_the_edges() {
    let mut chance = Chance(1);
    for _ in 0..12 {
        let mut room = room(120 + chance.below(60), 84 + chance.below(20));
        let (x, y) = (chance.below(90), chance.below(40));
        room.taken = vec![taken("door", (x, y), (30, 42)), taken("switch", (3, 40), (4, 5))];
        if room.taken[0].x < INCH * 8 {
            room.taken.pop();
        }
        let figures = by_chance(&mut chance, 14);
        let placing = place(room, &figures, &Unwatched).expect("a large wall");
        check_apart(&placing);
        let step = placing.room.step.units();
        assert!(
            placing.figures.iter().all(|figure| figure.x.units() % step == 0 && figure.y.units() % step == 0)
        );
    }
}

#[test]
fn what_a_hand_has_set_stays_exactly_there() {
    let mut figures = by_chance(&mut Chance(7), 12);
    figures[3].at = Some((Length::hundredths_mm(11_973), Length::inches(81, 4)));
    figures[8].at = Some((Length::ZERO, Length::ZERO));
    let placing = place(room(140, 90), &figures, &Unwatched).unwrap();
    check_apart(&placing);
    for index in [3, 8] {
        let placed = &placing.figures[index];
        assert_eq!(Some((placed.x, placed.y)), figures[index].at);
        assert!(placed.by_hand);
    }
}

#[test]
fn a_figure_alone_hangs_in_the_middle_at_the_height_of_the_eyes() {
    // source: 57 in from the floor to the middle of a picture, common practice
    let placing = place(room(100, 96), &[inches("frog", 10, 8)], &Unwatched).unwrap();
    let middle = placing.figures[0].area();
    assert_eq!(middle.left() + INCH * 5, INCH * 50);
    assert_eq!(middle.top() + INCH * 4, INCH * (96 - 57));
    let metric = Room::new(Length::MM * 3000, Length::MM * 2400, Ruler::common(System::Metric)).unwrap();
    assert_eq!(metric.eye, Length::MM * 950);
    // A part of a wall has its middle for eyes.
    assert_eq!(room(100, 60).eye, INCH * 30);
}

#[test]
fn it_balances_better_than_any_of_a_hundred_placings_by_chance() {
    let mut chance = Chance(3);
    for _ in 0..4 {
        let figures = by_chance(&mut chance, 12);
        let placing = place(room(144, 96), &figures, &Unwatched).unwrap();
        let (across, down) = placing.off_balance();
        // The whole group can be moved by steps of half an inch: half a step remains at most.
        assert!(across.abs() <= 6.35 + 1e-9 && down.abs() <= 6.35 + 1e-9, "{across} and {down} mm off");
        let spread = |placing: &Placing| {
            let off = |figure: &squarewright::wall::Placed| {
                let x = (figure.x * 2 + figure.width - placing.room.width).mm() / 2.0;
                let y = (figure.y * 2 + figure.height - placing.room.eye * 2).mm() / 2.0;
                (x * x + y * y) * figure.grams
            };
            placing.figures.iter().map(off).sum::<f64>()
        };
        let mut tries = 0;
        while tries < 100 {
            let mut other = placing.clone();
            for figure in &mut other.figures {
                let room = |side: Length, own: Length| (side - own).units() / INCH.units();
                figure.x = INCH * chance.below(room(other.room.width, figure.width) + 1);
                figure.y = INCH * chance.below(room(other.room.height, figure.height) + 1);
            }
            tries += 1;
            assert!(spread(&placing) < spread(&other));
        }
    }
}

#[test]
fn places_that_cannot_be_are_named_with_what_to_do() {
    let mut wall = room(60, 40);
    wall.taken = vec![taken("door", (20, 10), (10, 30))];
    let at = |name: &str, x: i64, y: i64| Hung { at: Some((INCH * x, INCH * y)), ..inches(name, 10, 10) };
    let refused = |figures: &[Hung]| {
        let error = place(wall.clone(), figures, &Unwatched).unwrap_err();
        assert_eq!(error.code(), "WALL-PLACE");
        format!("{error}: {}", error.hint())
    };
    let over = refused(&[at("heron", 0, 0), at("frog", 9, 9)]);
    assert!(over.contains("frog hangs over heron") && over.contains("move one of them"), "{over}");
    let door = refused(&[at("heron", 12, 5)]);
    assert!(door.contains("heron hangs over door"), "{door}");
    let off = refused(&[at("heron", 51, 0)]);
    assert!(off.contains("heron") && off.contains("beyond the wall of 60 in × 40 in"), "{off}");
    // They may touch.
    assert!(place(wall.clone(), &[at("heron", 0, 0), at("frog", 10, 0)], &Unwatched).is_ok());
    wall.taken[0].x = INCH * 51;
    let error = place(wall, &[], &Unwatched).unwrap_err();
    assert!(error.to_string().contains("taken place door goes beyond the wall"), "{error}");
}

#[test]
fn what_finds_no_room_is_named_with_the_wall_that_is_missing() {
    // Four of 10 in with gaps of 3 in take 55 in in a row, and the wall is too low for two rows.
    let figures: Vec<Hung> = ["heron", "frog", "newt", "otter"].map(|name| inches(name, 10, 10)).into();
    let error = place(room(50, 20), &figures, &Unwatched).unwrap_err();
    let Error::Placing { what, remedy } = &error else { panic!("{error:?}") };
    assert_eq!(what, "there is no room on the wall for otter");
    assert!(remedy.starts_with("On a wall 5 in wider all would hang"), "{remedy}");
    assert!(place(room(55, 20), &figures, &Unwatched).is_ok());
    let error = place(room(90, 15), &figures, &Unwatched).unwrap_err();
    assert!(
        error.hint().contains("heron is 10 in high, and the wall of 15 in leaves 9 in"),
        "{}",
        error.hint()
    );
}

#[test]
fn a_full_wall_is_filled_when_the_middle_first_leaves_no_room() {
    // Six squares of 10 in and their gaps fill a wall to the edge.
    let figures: Vec<Hung> = (0..6).map(|index| inches(&format!("figure {index}"), 10, 10)).collect();
    let placing = place(room(42, 29), &figures, &Unwatched).unwrap();
    check_apart(&placing);
    let (across, down) = placing.off_balance();
    assert!(across.abs() < 1e-9 && down.abs() < 1e-9);
}

#[test]
fn a_hundred_figures_are_placed_the_same_each_time() {
    let figures = by_chance(&mut Chance(11), 100);
    let placing = place(room(288, 120), &figures, &Unwatched).unwrap();
    check_apart(&placing);
    assert_eq!(placing, place(room(288, 120), &figures, &Unwatched).unwrap());
}

#[test]
fn free_places_keep_the_gap_and_figures_suit_them_at_the_largest_pitch() {
    let mut wall = room(60, 40);
    wall.taken = vec![taken("door", (45, 0), (15, 40))];
    let hung = Hung { at: Some((INCH * 3, INCH * 3)), ..inches("heron", 12, 34) };
    let placing = place(wall, &[hung], &Unwatched).unwrap();
    // From 18 in, right of the heron and its gap, to 42 in before the door; 3 in from the top and the bottom.
    let gaps = placing.gaps(INCH * 4);
    assert_eq!(gaps, [Area::new(Place::new(INCH * 18, INCH * 3), INCH * 24, INCH * 34)]);
    // 64 cells of 3/8 in are 24 in: they just fit. The smallest cell is 3/32 in.
    let scale = Ruler::scale();
    assert_eq!(fits(gaps[0], (64, 40), scale), Some(Length::inches(3, 8).ratio()));
    assert_eq!(fits(gaps[0], (65, 40), scale), Some(Length::inches(1, 4).ratio()));
    assert_eq!(fits(gaps[0], (300, 40), scale), None);
    // 609.6 mm hold 101 cells of 6 mm, and not of 6.5 mm.
    assert_eq!(fits(gaps[0], (101, 40), Ruler::common(System::Metric)), Some((Length::MM * 6).ratio()));
    assert!(placing.gaps(INCH * 30).is_empty());
}
