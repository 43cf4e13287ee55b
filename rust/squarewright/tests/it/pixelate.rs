//! Pixelating: what holds for every picture, and what must be kept in some.

use std::ops::ControlFlow;
use std::sync::atomic::{AtomicU32, Ordering};

use proptest::prelude::*;
use squarewright::colour::{Rgb, decode};
use squarewright::fault::{Error, Unwatched, Watch};
use squarewright::grid::{Brushwork, Figure, Grid, Pixelated, Pixelating, Remark, Sizes, patches, pixelate};
use squarewright::palette::Palette;
use squarewright::picture::{Picture, Window, shrink};

const BRUSHES: [Brushwork; 3] = [Brushwork::Easy, Brushwork::EveryCell, Brushwork::Broad];

/// Makes a picture from a function of column and row.
fn drawn(width: u32, height: u32, colour: impl Fn(u32, u32) -> [u8; 4]) -> Picture {
    let pixels = (0..height).flat_map(|y| (0..width).map(move |x| (x, y))).flat_map(|(x, y)| colour(x, y));
    Picture::from_rgba(width, height, pixels.collect()).expect("a picture")
}

/// Mixes the bits of a place (the finaliser of `MurmurHash3`, Appleby 2011, public domain; from memory).
fn mixed(x: u32, y: u32) -> [u8; 4] {
    let mut bits = x.wrapping_mul(0x9E37_79B9) ^ y.wrapping_mul(0x85EB_CA6B);
    bits = (bits ^ (bits >> 16)).wrapping_mul(0x85EB_CA6B);
    bits = (bits ^ (bits >> 13)).wrapping_mul(0xC2B2_AE35);
    (bits ^ (bits >> 16)).to_le_bytes()
}

fn noise(width: u32, height: u32) -> Picture {
    drawn(width, height, |x, y| {
        let [r, g, b, _] = mixed(x, y);
        [r, g, b, 255]
    })
}

fn columns(columns: usize) -> Pixelating {
    Pixelating { columns: Some(columns), ..Pixelating::default() }
}

fn made(picture: &Picture, asked: &Pixelating) -> Grid {
    pixelate(picture, asked, &Unwatched).expect("a grid").grid
}

fn fault(picture: &Picture, asked: &Pixelating) -> Error {
    pixelate(picture, asked, &Unwatched).expect_err("no grid")
}

#[test]
fn means_are_those_of_light_and_not_of_codes() {
    let checks = drawn(64, 64, |x, y| if (x + y) % 2 == 0 { [0, 0, 0, 255] } else { [255; 4] });
    // half the light is code 188 by IEC 61966-2-1; half the code would be 128
    let grid = made(&checks, &columns(4));
    assert_eq!(grid.palette().colours(), [Rgb([188; 3])]);
}

#[test]
fn a_cell_that_cuts_through_pixels_takes_its_share_of_each() {
    let codes = [10_u8, 200, 90, 250, 0];
    let picture = drawn(5, 1, |x, _| [codes[x as usize], 50, 0, 255]);
    let window = Window { left: 0, top: 0, width: 5, height: 1 };
    let shrunk = shrink(&picture, window, &[(1, 2), (1, 3)], &Unwatched).expect("means");
    let light = codes.map(decode);
    let halves = [(light[0] + light[1] + light[2] / 2.0) / 2.5, (light[2] / 2.0 + light[3] + light[4]) / 2.5];
    let middle = (light[1] / 3.0 + light[2] + light[3] / 3.0) / (5.0 / 3.0);
    for (found, expected) in
        [(shrunk[0].light[0], halves[0]), (shrunk[0].light[1], halves[1]), (shrunk[1].light[1], middle)]
    {
        // each of the 65,535 steps of light is rounded once
        assert!((f64::from(found[0]) - expected).abs() < 1e-5, "{found:?} {expected}");
        assert!((f64::from(found[1]) - decode(50)).abs() < 1e-5);
    }
}

#[test]
fn one_pass_gives_each_size_what_a_pass_of_its_own_gives() {
    let picture = noise(97, 61);
    let window = Window { left: 3, top: 5, width: 90, height: 50 };
    let sizes = [(50, 90), (7, 11), (1, 1), (13, 64)];
    let together = shrink(&picture, window, &sizes, &Unwatched).expect("means");
    for (size, found) in sizes.into_iter().zip(together) {
        let alone = shrink(&picture, window, &[size], &Unwatched).expect("means");
        assert_eq!(alone, [found]);
    }
}

/// A row of it holds more light than 32 bits have room for when rows are added up, and some rows see through.
#[test]
fn a_cell_of_any_number_of_pixels_has_their_mean() {
    let light = |y: u32| if y % 90 == 7 { [255, 255, 255, 127] } else { [255, 188, 0, 255] };
    let picture = drawn(700, 360, |_, y| light(y));
    let window = Window { left: 0, top: 0, width: 700, height: 360 };
    for size in [(1, 1), (1, 2), (4, 3)] {
        let shrunk = &shrink(&picture, window, &[size], &Unwatched).expect("means")[0];
        let (clear, solid) = (127.0 / 255.0, 89.0);
        let cover = (clear + solid) / 90.0;
        let mean = |solid_light: f64| (clear + solid * solid_light) / (clear + solid);
        for (found, &covered) in shrunk.light.iter().zip(&shrunk.cover) {
            assert!((f64::from(covered) - cover).abs() < 1e-5, "{size:?} {covered}");
            for (found, expected) in found.iter().zip([mean(1.0), mean(decode(188)), mean(0.0)]) {
                assert!((f64::from(*found) - expected).abs() < 1e-5, "{size:?} {found} {expected}");
            }
        }
    }
}

#[test]
fn see_through_parts_weigh_nothing_and_stay_bare() {
    let picture = drawn(40, 40, |x, _| if x < 20 { [0, 255, 0, 0] } else { [180, 40, 20, 255] });
    for brushwork in BRUSHES {
        let grid = made(&picture, &Pixelating { brushwork, ..columns(8) });
        assert_eq!(grid.palette().colours(), [Rgb([180, 40, 20])]);
        assert!(grid.cells().chunks(8).all(|row| row[..4] == [None; 4] && row[4..] == [Some(0); 4]));
    }
}

#[test]
fn a_half_covered_cell_shows_only_what_covers_it() {
    let picture = drawn(2, 1, |x, _| if x == 0 { [9, 9, 200, 255] } else { [255, 255, 0, 0] });
    let grid = made(&picture, &columns(1));
    assert_eq!(grid.palette().colours(), [Rgb([9, 9, 200])]);
}

#[test]
fn a_small_vivid_thing_keeps_its_colour() {
    let eye = |x: u32, y: u32| (40..48).contains(&x) && (28..36).contains(&y);
    let picture = drawn(96, 72, |x, y| {
        let shade = 90 + u8::try_from(x / 2 + y % 3).expect("a shade");
        if eye(x, y) { [250, 120, 0, 255] } else { [shade, shade, shade - 20, 255] }
    });
    for brushwork in BRUSHES {
        let grid = made(&picture, &Pixelating { brushwork, colours: 6, ..columns(24) });
        let Some(Rgb([r, _, b])) = grid.colour(grid.cell(7, 10)) else { panic!("a painted cell") };
        assert!(r > 230 && b < 40, "{brushwork:?}: {r} {b}");
    }
}

#[test]
fn easy_brushwork_leaves_no_specks_and_broad_no_small_patch() {
    let picture = noise(60, 60);
    for (brushwork, least) in [(Brushwork::Easy, 2), (Brushwork::Broad, 4)] {
        let grid = made(&picture, &Pixelating { brushwork, ..columns(30) });
        assert!(patches(&grid).iter().all(|patch| patch.places.len() >= least), "{brushwork:?}");
    }
    let grid = made(&picture, &Pixelating { smallest_patch: Some(9), ..columns(30) });
    assert!(patches(&grid).iter().all(|patch| patch.places.len() >= 9));
}

#[test]
fn more_calm_makes_fewer_patches() {
    let picture = drawn(48, 48, |x, y| {
        let grain = mixed(x, y)[0] % 32;
        let code = grain + u8::try_from(3 * x).expect("a code");
        [code, 90, code / 2, 255]
    });
    let brushwork = Brushwork::EveryCell;
    let asked = |calm: f64| Pixelating { calm: Some(calm), brushwork, ..columns(48) };
    let count = [0.0, 0.3, 3.0].map(|calm| patches(&made(&picture, &asked(calm))).len());
    assert!(count[0] > count[1] && count[1] > count[2], "{count:?}");
}

#[test]
fn a_palette_is_kept_to_and_candidates_are_chosen_from() {
    let picture = noise(40, 40);
    let four = [[255, 255, 255], [0, 0, 0], [200, 0, 0], [0, 0, 200]].map(Rgb).to_vec();
    for brushwork in BRUSHES {
        let palette = Some(Palette::new(four.clone()).expect("a palette"));
        let grid = made(&picture, &Pixelating { palette, brushwork, ..columns(20) });
        assert!(grid.palette().colours().iter().all(|colour| four.contains(colour)));
        let grid =
            made(&picture, &Pixelating { candidates: four.clone(), colours: 3, brushwork, ..columns(20) });
        assert!(grid.palette().len() <= 3);
        assert!(grid.palette().colours().iter().all(|colour| four.contains(colour)));
    }
}

/// A disc with a hole on a ground that goes from light to lighter, with some grain.
fn disc() -> Picture {
    drawn(240, 240, |x, y| {
        let away = |cx: f32, cy: f32| ((x as f32 - cx).powi(2) + (y as f32 - cy).powi(2)).sqrt();
        let grain = mixed(x, y)[0] % 6;
        let ground = u8::try_from(200 + y / 8).expect("a shade") + grain;
        if away(120.0, 120.0) < 80.0 && away(120.0, 120.0) > 25.0 {
            [40 + grain, 90, 60, 255]
        } else {
            [ground, ground, ground - 15, 255]
        }
    })
}

#[test]
fn a_figure_is_found_on_a_soft_ground_with_its_opening() {
    let asked = Pixelating { figure: Figure::Find, ..columns(48) };
    let grid = made(&disc(), &asked);
    let mut wrong = 0;
    for row in 0..48_u8 {
        for column in 0..48_u8 {
            let (x, y) = (f32::from(column) * 5.0 + 2.0, f32::from(row) * 5.0 + 2.0);
            let away = ((x - 120.0).powi(2) + (y - 120.0).powi(2)).sqrt();
            let clear = (away - 80.0).abs() > 5.0 && (away - 25.0).abs() > 5.0;
            let painted = grid.cell(row.into(), column.into()).is_some();
            wrong += usize::from(clear && painted != (away < 80.0 && away > 25.0));
        }
    }
    assert_eq!(wrong, 0);
}

#[test]
fn a_picture_without_a_figure_is_painted_whole() {
    let flat = drawn(60, 60, |_, _| [120, 130, 140, 255]);
    let grid = made(&flat, &Pixelating { figure: Figure::Find, ..columns(12) });
    assert_eq!(grid.figure_cells(), 144);
}

#[test]
fn a_mask_decides_and_its_open_part_is_found() {
    let picture = disc();
    let left = (0..240 * 240).map(|place| if place % 240 < 120 { 255 } else { 0 }).collect();
    let grid = made(&picture, &Pixelating { figure: Figure::Mask(left), ..columns(48) });
    assert!(grid.cells().chunks(48).all(|row| row[..24].iter().all(Option::is_some)));
    assert!(grid.cells().chunks(48).all(|row| row[24..].iter().all(Option::is_none)));

    // a stroke on the disc and one on the ground; all else is open
    let stroke = |place: usize| match (place / 240, place % 240) {
        (60..70, 100..140) => 255,
        (2..8, 10..230) => 0,
        _ => 128,
    };
    let strokes = (0..240 * 240).map(stroke).collect();
    let grid = made(&picture, &Pixelating { figure: Figure::Mask(strokes), ..columns(48) });
    assert!(grid.cell(24, 11).is_some() && grid.cell(36, 24).is_some());
    assert!(grid.cell(24, 2).is_none() && grid.cell(45, 24).is_none());
}

#[test]
fn settings_out_of_range_are_refused_by_their_code() {
    let picture = noise(30, 20);
    let code = |asked: &Pixelating| fault(&picture, asked).code();
    assert_eq!(code(&Pixelating { colours: 1, ..columns(5) }), "COLOURS-RANGE");
    assert_eq!(code(&Pixelating { colours: 65, ..columns(5) }), "COLOURS-RANGE");
    assert_eq!(code(&Pixelating::default()), "VALUE-BAD");
    assert_eq!(code(&columns(0)), "VALUE-BAD");
    assert_eq!(code(&columns(513)), "VALUE-BAD");
    assert_eq!(code(&columns(31)), "PIC-TOO-SMALL");
    assert_eq!(code(&Pixelating { smallest_patch: Some(0), ..columns(5) }), "VALUE-BAD");
    assert_eq!(code(&Pixelating { calm: Some(f64::NAN), ..columns(5) }), "VALUE-BAD");
    assert_eq!(code(&Pixelating { figure: Figure::Mask(vec![255; 3]), ..columns(5) }), "VALUE-BAD");
    assert_eq!(code(&Pixelating { figure: Figure::Mask(vec![0; 600]), ..columns(5) }), "VALUE-BAD");
    let crop = Some(Window { left: 29, top: 0, width: 2, height: 2 });
    assert_eq!(code(&Pixelating { crop, ..columns(1) }), "VALUE-BAD");
    let both = Some(Palette::new(vec![Rgb::BLACK]).expect("a palette"));
    let both = Pixelating { palette: both, candidates: vec![Rgb::WHITE], ..columns(5) };
    assert_eq!(code(&both), "VALUE-BAD");
    assert_eq!(fault(&drawn(600, 1, |_, _| [9; 4]), &columns(48)).code(), "PIC-SHAPE");
    assert_eq!(fault(&drawn(20, 700, |_, _| [9; 4]), &columns(20)).code(), "VALUE-BAD");
    assert_eq!(fault(&drawn(6, 6, |_, _| [9, 9, 9, 0]), &columns(3)).code(), "PIC-BLANK");
}

#[test]
fn rows_follow_from_columns_and_both_crop_to_the_middle() {
    let picture = drawn(90, 30, |x, _| if (30..60).contains(&x) { [0, 0, 0, 255] } else { [255; 4] });
    let grid = made(&picture, &columns(9));
    assert_eq!((grid.rows(), grid.columns()), (3, 9));
    let grid = made(&picture, &Pixelating { rows: Some(3), ..Pixelating::default() });
    assert_eq!((grid.rows(), grid.columns()), (3, 9));
    let grid = made(&picture, &Pixelating { rows: Some(3), ..columns(3) });
    assert_eq!(grid.palette().colours(), [Rgb::BLACK]);
    let crop = Some(Window { left: 60, top: 0, width: 30, height: 30 });
    let grid = made(&picture, &Pixelating { crop, ..columns(3) });
    assert_eq!(grid.palette().colours(), [Rgb::WHITE]);
}

#[test]
fn several_sizes_from_one_pass_are_what_each_alone_is() {
    let picture = noise(97, 61);
    let sizes = [12, 40, 7];
    for figure in [Figure::Whole, Figure::Find] {
        let asked = Pixelating { figure, ..Pixelating::default() };
        let together = Sizes::new(&picture, &asked, &sizes, &Unwatched).expect("sizes");
        for (place, columns) in sizes.into_iter().enumerate() {
            for colours in [2, 6] {
                let alone = Pixelating { columns: Some(columns), colours, ..asked.clone() };
                let found = together.pixelate(place, colours, &Unwatched);
                assert_eq!(found, pixelate(&picture, &alone, &Unwatched));
            }
        }
    }
}

#[test]
fn a_size_that_cannot_be_leaves_the_others_alone() {
    let picture = noise(30, 20);
    let asked = Pixelating::default();
    let together = Sizes::new(&picture, &asked, &[400, 10, 0], &Unwatched).expect("sizes");
    let code = |place| together.pixelate(place, 4, &Unwatched).map_err(|fault| fault.code());
    assert_eq!(code(0), Err("PIC-TOO-SMALL"));
    assert!(code(1).is_ok());
    assert_eq!(code(2), Err("VALUE-BAD"));
    let rows = Pixelating { rows: Some(4), ..asked };
    let fault = Sizes::new(&picture, &rows, &[10], &Unwatched).expect_err("rows go with one size");
    assert_eq!(fault.code(), "VALUE-BAD");
}

#[test]
fn what_came_out_otherwise_than_asked_is_told() {
    let told =
        |picture: &Picture, asked: &Pixelating| pixelate(picture, asked, &Unwatched).expect("one").remarks;
    let flat = drawn(60, 60, |_, _| [120, 130, 140, 255]);
    let fewer = Remark::FewerColours { used: 1, asked: 12 };
    assert_eq!(told(&flat, &columns(12)), [fewer]);
    assert_eq!(told(&flat, &Pixelating { figure: Figure::Find, ..columns(12) }), [Remark::NoFigure, fewer]);
    assert_eq!(told(&flat, &columns(50)), [Remark::FewPixels, fewer]);
    let middle = Remark::Middle { width: 30, height: 60 };
    assert_eq!(told(&flat, &Pixelating { rows: Some(20), ..columns(10) }), [middle, fewer]);
    assert_eq!(told(&noise(60, 60), &columns(20)), []);
    assert!(!told(&disc(), &Pixelating { figure: Figure::Find, ..columns(48) }).contains(&Remark::NoFigure));
}

/// Even shapes on a light ground, each pixel the mean of 4 × 4: hard edges with the usual blend of one pixel.
fn emblem(ground: [u8; 4]) -> Picture {
    const DARK: [u8; 4] = [30, 30, 34, 255];
    let shape = |x: u32, y: u32| {
        let (x, y) = (x as f32 / 4.0, y as f32 / 4.0);
        let away = |cx: f32, cy: f32| ((x - cx).powi(2) + (y - cy).powi(2)).sqrt();
        // a body with an outline, an eye on it, and a thin bent stem
        match () {
            () if away(130.0, 120.0) < 14.0 => DARK,
            () if away(150.0, 150.0) < 84.0 => [230, 120, 40, 255],
            () if away(150.0, 150.0) < 88.0 => DARK,
            () if (away(150.0, 290.0) - 60.0).abs() < 2.5 && y < 290.0 => [60, 130, 60, 255],
            () => ground,
        }
    };
    drawn(300, 300, |x, y| {
        let places = (0..16).map(|part| shape(4 * x + part % 4, 4 * y + part / 4));
        let sum = places.fold([0_u32; 5], |sum, [r, g, b, a]| {
            let cover = u32::from(a) / 255;
            let add = [u32::from(r) * cover, u32::from(g) * cover, u32::from(b) * cover, u32::from(a), cover];
            std::array::from_fn(|i| sum[i] + add[i])
        });
        let mean = |i: usize| u8::try_from(sum[i] / sum[4].max(1)).expect("a mean of codes");
        [mean(0), mean(1), mean(2), u8::try_from(sum[3] / 16).expect("a mean of codes")]
    })
}

#[test]
fn a_flat_drawing_keeps_its_colours_and_gets_no_rims() {
    let own = [[30, 30, 34], [230, 120, 40], [60, 130, 60], [250, 250, 245]].map(Rgb);
    for (ground, brushwork) in
        [[250, 250, 245, 255], [0; 4]].into_iter().flat_map(|ground| BRUSHES.map(|brush| (ground, brush)))
    {
        if brushwork == Brushwork::EveryCell {
            continue;
        }
        for across in [24, 30, 48, 75] {
            let grid = made(&emblem(ground), &Pixelating { brushwork, ..columns(across) });
            // a cell is painted when half of it is opaque: alone, a thin stem may leave all its cells bare
            let alone = ground[3] == 0;
            let count = grid.palette().len();
            assert!(
                if alone { (2..=3).contains(&count) } else { count == 4 },
                "{across} {:?}",
                grid.palette()
            );
            // the stem shows its colour nowhere quite pure when it is thinner than what is looked at
            let near = |one: Rgb, other: Rgb| (0..3).all(|i| one.0[i].abs_diff(other.0[i]) <= 3);
            let known = |colour: &Rgb| own.iter().any(|&other| near(*colour, other));
            assert!(grid.palette().colours().iter().all(known), "{across} {:?}", grid.palette());
            // the stem, a fifth of a cell to one cell wide, is in one piece
            let green = |cell| grid.colour(cell).is_some_and(|colour| near(colour, own[2]));
            let stems = patches(&grid).iter().filter(|patch| green(patch.cell)).count();
            assert!(alone || (1..=2).contains(&stems), "{across} {brushwork:?}: {stems} stems");
        }
    }
}

#[test]
fn soft_edges_and_soft_shades_are_left_to_means() {
    let soft = drawn(300, 300, |x, y| {
        let away = ((x as f32 - 150.0).powi(2) + (y as f32 - 150.0).powi(2)).sqrt();
        let share = ((away - 90.0) / 24.0).clamp(0.0, 1.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a mean of codes")]
        let mix = |one: f32, other: f32| (one + share * (other - one)).round() as u8;
        [mix(20.0, 250.0), mix(60.0, 250.0), mix(140.0, 245.0), 255]
    });
    assert!(made(&soft, &columns(30)).palette().len() > 3);
}

/// Stops after some ticks.
struct Impatient(AtomicU32);

impl Watch for Impatient {
    fn tick(&self, _done: f32) -> ControlFlow<()> {
        if self.0.fetch_sub(1, Ordering::Relaxed) == 1 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}

#[test]
fn a_wish_to_stop_is_heeded_at_every_tick() {
    let picture = noise(40, 40);
    let ticks = AtomicU32::new(u32::MAX);
    let all = Impatient(ticks);
    pixelate(&picture, &columns(20), &all).expect("a grid");
    let count = u32::MAX - all.0.load(Ordering::Relaxed);
    assert!(count > 20, "{count} ticks");
    for at in [1, 2, count / 2, count] {
        let watch = Impatient(AtomicU32::new(at));
        assert_eq!(pixelate(&picture, &columns(20), &watch), Err(Error::Stopped));
    }
}

/// Pictures of all kinds: a few colours, noise, slopes, holes, any shape.
fn pictures() -> impl Strategy<Value = Picture> {
    (1_u32..40, 1_u32..40, 0_u32..5, any::<u32>()).prop_map(|(width, height, kind, salt)| {
        drawn(width, height, |x, y| {
            let [r, g, b, a] = mixed(x ^ salt, y.wrapping_add(salt));
            match kind {
                0 => [salt.to_le_bytes()[0], 77, 200, 255],
                1 if r < 128 => [250, 240, 10, 255],
                1 => [20, 30, 140, 255],
                2 => [(x * 6).to_le_bytes()[0], (y * 6).to_le_bytes()[0], 90, 255],
                3 => [r, g, b, if a < 120 { 0 } else { 255 }],
                _ => [r, g, b, a],
            }
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn every_grid_keeps_its_promises(
        picture in pictures(),
        share in 1_u32..=4,
        colours in 2_usize..20,
        brush in 0_usize..3,
        seed in 0_u64..3,
    ) {
        let across = (picture.width() / share).max(1) as usize;
        let asked = Pixelating { colours, brushwork: BRUSHES[brush], seed, ..columns(across) };
        match pixelate(&picture, &asked, &Unwatched) {
            Ok(Pixelated { grid, remarks }) => {
                prop_assert_eq!(grid.columns(), across);
                prop_assert!(grid.palette().len() <= colours);
                prop_assert!(grid.counts().iter().all(|&count| count > 0), "a colour without cells");
                if share == 1 && grid.rows() == picture.height() as usize {
                    let opaque = picture.pixels().chunks(4).map(|pixel| pixel[3] >= 128);
                    prop_assert!(grid.cells().iter().map(Option::is_some).eq(opaque), "bare if clear");
                }
                let fewer = Remark::FewerColours { used: grid.palette().len(), asked: colours };
                prop_assert_eq!(remarks.contains(&fewer), grid.palette().len() < colours);
                prop_assert_eq!(pixelate(&picture, &asked, &Unwatched), Ok(Pixelated { grid, remarks }));
            }
            Err(error) => {
                let known = matches!(error.code(), "PIC-BLANK" | "PIC-SHAPE" | "PIC-TOO-SMALL");
                prop_assert!(known, "{}", error);
            }
        }
    }
}
