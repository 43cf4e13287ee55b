//! The colour room: codes and light, Lab and Oklab, difference, ink, names.

use proptest::prelude::*;
use squarewright::colour::{Family, Ink, Lab, Oklab, Rgb, Xyz, ciede2000, contrast, decode, encode, family};
use squarewright::fault::Error;

fn rgb(text: &str) -> Rgb {
    text.parse().expect("the test writes its colours right")
}

/// Every 17th code in each channel, black and white among them.
fn lattice() -> impl Iterator<Item = Rgb> {
    let codes = || (0..=255u8).step_by(17);
    codes().flat_map(move |r| codes().flat_map(move |g| codes().map(move |b| Rgb([r, g, b]))))
}

fn greys() -> impl Iterator<Item = Rgb> {
    (0..=255).map(|code| Rgb([code; 3]))
}

fn assert_near(got: f64, want: f64, slack: f64, what: &str) {
    assert!((got - want).abs() <= slack, "{what}: {got} instead of {want}");
}

/// IEC 61966-2-1:1999, worked out to 12 digits with exact arithmetic.
const LIGHT: [(u8, f64); 8] = [
    (1, 0.000_303_526_984),
    (10, 0.003_035_269_835),
    (11, 0.003_346_535_764),
    (64, 0.051_269_458_374),
    (128, 0.215_860_500_114),
    (188, 0.502_886_458_033),
    (200, 0.577_580_440_430),
    (254, 0.991_102_097_114),
];

/// CIELAB after ISO/CIE 11664-4 with the matrix of CSS Color 4; Oklab after B. Ottosson 2020.
const SPACES: [(&str, [f64; 3], [f64; 3]); 7] = [
    ("#ffffff", [100.0, 0.0, 0.0], [1.0, 0.0, 0.0]),
    ("#ff0000", [53.23712, 80.09011, 67.20326], [0.627_955, 0.224_863, 0.125_846]),
    ("#00ff00", [87.73552, -86.18160, 83.18662], [0.866_440, -0.233_888, 0.179_498]),
    ("#0000ff", [32.30087, 79.19527, -107.85547], [0.452_014, -0.032_457, -0.311_528]),
    ("#808080", [53.58501, 0.0, 0.0], [0.599_871, 0.0, 0.0]),
    ("#cc7722", [58.17753, 27.33124, 56.82304], [0.649_562, 0.071_007, 0.121_099]),
    ("#000080", [12.97428, 47.50693, -64.69935], [0.271_150, -0.019_470, -0.186_877]),
];

#[test]
fn a_code_stands_for_the_light_the_standard_says() {
    for (code, light) in LIGHT {
        assert_near(decode(code), light, 5.1e-13, &format!("code {code}"));
    }
    assert_eq!([decode(0), decode(255)].map(f64::to_bits), [0.0f64, 1.0].map(f64::to_bits));
}

#[test]
fn every_code_survives_the_way_to_light_and_back() {
    for code in 0..=255 {
        assert_eq!(encode(decode(code)), code);
    }
}

#[test]
fn light_out_of_range_is_clipped() {
    let codes = [-0.1, 1.1, f64::INFINITY, f64::NEG_INFINITY, f64::NAN].map(encode);
    assert_eq!(codes, [0, 255, 255, 0, 0]);
}

#[test]
fn light_goes_to_the_nearest_code() {
    // Signals 127.4, 127.6 and 10.4 of 255, the last on the straight part of the curve.
    assert_eq!(encode(0.213_678_3), 127);
    assert_eq!(encode(0.214_404_3), 128);
    assert_eq!(encode(10.4 / 255.0 / 12.92), 10);
}

#[test]
fn lab_agrees_with_the_published_formula() {
    for (text, [l, a, b], _) in SPACES {
        let lab = Lab::from(rgb(text));
        for (got, want) in [(lab.l, l), (lab.a, a), (lab.b, b)] {
            assert_near(got, want, 5.1e-6, text);
        }
    }
}

#[test]
fn oklab_agrees_with_the_published_formula() {
    for (text, _, [l, a, b]) in SPACES {
        let oklab = Oklab::from(rgb(text));
        for (got, want) in [(oklab.l, l), (oklab.a, a), (oklab.b, b)] {
            assert_near(got, want, 5.1e-7, text);
        }
    }
}

#[test]
fn white_has_the_tristimulus_values_of_d65() {
    // x = 0.3127, y = 0.3290 (IEC 61966-2-1), to ten digits.
    let white = Xyz::from(Rgb::WHITE);
    for (got, want) in [(white.x, 0.950_455_927_1), (white.y, 1.0), (white.z, 1.089_057_750_8)] {
        assert_near(got, want, 5.1e-11, "white");
    }
}

#[test]
fn red_light_alone_has_the_first_column_of_the_matrix() {
    // CSS Color 4, section 10, lin_sRGB_to_XYZ.
    let red = Xyz::from_linear([1.0, 0.0, 0.0]);
    for (got, want) in [(red.x, 0.412_390_799_3), (red.y, 0.212_639_005_9), (red.z, 0.019_330_818_7)] {
        assert_near(got, want, 5.1e-11, "red");
    }
}

#[test]
fn lab_is_the_same_by_way_of_tristimulus_values() {
    for colour in lattice() {
        let (straight, by_way) = (Lab::from(colour), Lab::from(Xyz::from(colour)));
        for (one, other) in [(straight.l, by_way.l), (straight.a, by_way.a), (straight.b, by_way.b)] {
            assert_near(one, other, 1e-11, &colour.to_string());
        }
    }
}

#[test]
fn a_grey_has_no_chroma_at_all() {
    for grey in greys() {
        let (lab, oklab) = (Lab::from(grey), Oklab::from(grey));
        assert_eq!([lab.a, lab.b, oklab.a, oklab.b].map(f64::to_bits), [0; 4], "{grey}");
        assert_eq!([lab.chroma(), oklab.chroma(), lab.hue()].map(f64::to_bits), [0; 3], "{grey}");
    }
}

#[test]
fn a_lighter_grey_is_lighter_in_every_space() {
    let pairs = greys().zip(greys().skip(1));
    for (dark, light) in pairs {
        assert!(Lab::from(dark).l < Lab::from(light).l);
        assert!(Oklab::from(dark).l < Oklab::from(light).l);
        assert!(dark.luminance() < light.luminance());
    }
}

#[test]
fn a_hue_is_an_angle_from_red_by_way_of_yellow() {
    let hue = |a, b| Lab { l: 50.0, a, b }.hue();
    let turns = [hue(1.0, 0.0), hue(0.0, 1.0), hue(-1.0, 0.0), hue(0.0, -1.0)];
    for (got, want) in turns.into_iter().zip([0.0, 90.0, 180.0, 270.0]) {
        assert_near(got, want, 1e-12, "hue");
    }
    assert!(hue(1.0, -1e-300) < 360.0);
}

#[test]
fn the_difference_agrees_with_the_published_pairs() {
    let table = include_str!("../reference/ciede2000_pairs.csv");
    let rows: Vec<Vec<f64>> = table
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(',').map(|field| field.parse().unwrap()).collect())
        .collect();
    assert_eq!(rows.len(), 34);
    for (i, row) in rows.iter().enumerate() {
        let [one, other] = [&row[..3], &row[3..6]].map(|lab| Lab { l: lab[0], a: lab[1], b: lab[2] });
        assert_near(ciede2000(one, other), row[6], 1e-4, &format!("pair {}", i + 1));
    }
}

#[test]
fn no_contrast_is_above_black_on_white_and_none_below_one() {
    assert_near(contrast(Rgb::BLACK, Rgb::WHITE), 21.0, 1e-12, "black on white");
    assert_near(contrast(rgb("#cc7722"), rgb("#cc7722")), 1.0, 0.0, "on itself");
    // WCAG 2.1's own example of a grey that just passes 4.5 on white.
    assert_near(contrast(rgb("#767676"), Rgb::WHITE), 4.54, 0.005, "#767676 on white");
}

#[test]
fn the_chosen_ink_reads_on_every_colour() {
    // WCAG 2.1, success criterion 1.4.3, asks for 4.5; the balance of black and white gives 4.58.
    for colour in lattice().chain(greys()) {
        let ink = contrast(colour, colour.ink().rgb());
        assert!(ink >= 4.58, "{colour}: {ink}");
    }
}

#[test]
fn ink_is_black_on_light_and_white_on_dark() {
    assert_eq!(rgb("#ffff00").ink(), Ink::Black);
    assert_eq!(rgb("#0000ff").ink(), Ink::White);
}

#[test]
fn a_mix_is_made_of_light_not_of_codes() {
    // Half the light of white is code 188 (IEC 61966-2-1), not 128.
    assert_eq!(Rgb::BLACK.mixed(Rgb::WHITE, 0.5), Rgb([188; 3]));
    assert_eq!(rgb("#cc7722").mixed(Rgb::WHITE, -1.0), rgb("#cc7722"));
    assert_eq!(rgb("#cc7722").mixed(Rgb::WHITE, 2.0), Rgb::WHITE);
}

#[test]
fn a_colour_is_read_from_each_of_its_spellings() {
    for text in ["#ffcc00", "ffcc00", "#FFCC00", "#fc0"] {
        assert_eq!(rgb(text), Rgb([255, 204, 0]), "{text}");
    }
}

#[test]
fn anything_else_is_refused_as_a_colour() {
    for text in
        ["", "#", "fc0", "#fc", "#ffcc0", "#ffcc000", "##fc0", "#+f-1+2", " #ffcc00", "red", "#ffé0", "#ſſſ"]
    {
        let got = format!("{text:?}");
        assert_eq!(text.parse::<Rgb>(), Err(Error::Colour { got }));
    }
}

#[test]
fn a_colour_is_its_hex_text_in_serialised_data() {
    assert_eq!(serde_json::to_string(&Rgb([255, 204, 0])).unwrap(), "\"#ffcc00\"");
    assert_eq!(serde_json::from_str::<Rgb>("\"#fc0\"").unwrap(), Rgb([255, 204, 0]));
    assert!(serde_json::from_str::<Rgb>("\"red\"").unwrap_err().to_string().contains("is not a colour"));
}

#[test]
fn an_obvious_colour_gets_the_obvious_word() {
    // The sixteen named colours of HTML 4.01, with aqua as teal, lime as green, fuchsia as pink, silver as grey,
    // and typical swatches of common craft paints.
    let known = [
        ("red", "#ff0000 #b3202b #d23a2a #800000"),
        ("orange", "#ff8000 #ffa500 #ee7623 #cc7722"),
        ("brown", "#804000 #8b4513 #4b352a #7a4a2b"),
        ("yellow", "#ffff00 #f6c915 #f9e547 #ffd700"),
        ("olive", "#808000 #6e750e #4b5320"),
        ("green", "#008000 #00ff00 #4d9a3c #1f5440"),
        ("teal", "#008080 #00ffff #148f8f"),
        ("blue", "#0000ff #000080 #6fb7de #2b3a93"),
        ("purple", "#800080 #563078 #b7a4d6"),
        ("pink", "#ffc0cb #ef96ae #ff00ff"),
        ("beige", "#d2b48c #d9c29c #f5f5dc"),
        ("grey", "#808080 #c0c0c0 #7d8081 #404040"),
        ("white", "#ffffff #f4f3ee"),
        ("black", "#000000 #262626"),
    ];
    for (word, colours) in known {
        for colour in colours.split(' ') {
            assert_eq!(family(rgb(colour)).word(), word, "{colour}");
        }
    }
}

#[test]
fn nine_of_ten_named_colours_get_the_word_that_people_gave() {
    // A public colour-naming survey, CC0 1.0; the colours here are not among the points that vote.
    let table = include_str!("../reference/named_colours.csv");
    let rows: Vec<(&str, &str)> = table
        .lines()
        .filter(|line| !line.starts_with("# "))
        .filter_map(|line| line.split_once(','))
        .collect();
    let agreed = rows.iter().filter(|(colour, word)| family(rgb(colour)).word() == *word).count();
    assert!(rows.len() > 500 && agreed * 10 >= rows.len() * 9, "{agreed} of {}", rows.len());
}

#[test]
fn a_grey_is_black_then_grey_then_white() {
    let words: Vec<Family> = greys().map(family).collect();
    assert!(words.is_sorted_by_key(|word| match word {
        Family::Black => 0,
        Family::Grey => 1,
        Family::White => 2,
        _ => panic!("a grey called {word:?}"),
    }));
    assert_eq!((words[0], words[128], words[255]), (Family::Black, Family::Grey, Family::White));
}

#[test]
fn every_family_has_its_own_word_and_some_colour() {
    let met: Vec<Family> = lattice().map(family).collect();
    for (i, one) in Family::ALL.into_iter().enumerate() {
        assert!(met.contains(&one), "no colour is called {}", one.word());
        assert!(Family::ALL[..i].iter().all(|other| other.word() != one.word()));
    }
}

fn any_colour() -> impl Strategy<Value = Rgb> {
    any::<[u8; 3]>().prop_map(Rgb)
}

fn any_lab() -> impl Strategy<Value = Lab> {
    (0.0..=100.0, -128.0..=128.0, -128.0..=128.0).prop_map(|(l, a, b)| Lab { l, a, b })
}

proptest! {
    #[test]
    fn a_colour_reads_back_from_its_own_text(colour in any_colour()) {
        prop_assert_eq!(colour.to_string().parse(), Ok(colour));
    }

    #[test]
    fn any_text_is_a_colour_or_a_plain_error(text in "[#0-9a-gA-Gé]{0,8}") {
        if let Ok(colour) = text.parse::<Rgb>() {
            let digits = text.trim_start_matches('#').to_lowercase();
            let short: String = digits.chars().flat_map(|digit| [digit, digit]).collect();
            prop_assert!([digits, short].contains(&colour.to_string()[1..].to_owned()));
        }
    }

    #[test]
    fn a_difference_is_the_same_both_ways_to_the_last_bit(one in any_lab(), other in any_lab()) {
        prop_assert_eq!(ciede2000(one, other).to_bits(), ciede2000(other, one).to_bits());
    }

    #[test]
    fn only_a_colour_itself_is_at_no_difference(one in any_lab(), other in any_lab()) {
        prop_assert_eq!(ciede2000(one, one).to_bits(), 0);
        prop_assert!(one == other || ciede2000(one, other) > 0.0);
    }

    #[test]
    fn oklab_distance_obeys_the_triangle(a in any_colour(), b in any_colour(), c in any_colour()) {
        let [a, b, c] = [a, b, c].map(Oklab::from);
        prop_assert!(a.distance(c) <= a.distance(b) + b.distance(c) + 1e-15);
        prop_assert_eq!(a.distance(b).to_bits(), b.distance(a).to_bits());
    }
}
