//! Does the search for recipes miss the best one, and how long does it take?
//!
//! Run with `cargo bench --bench search`; with `-- all` every mixture is judged in full as well, which takes
//! minutes.
#![allow(clippy::print_stdout, reason = "its figures are its purpose")]

use std::time::Instant;

use squarewright::colour::{Lab, Rgb, Spectrum, ciede2000};
use squarewright::fault::Unwatched;
use squarewright::paint::{Mixing, Optics, Paint, Recipe, Stock, bucket, mix};

/// Craft colours beyond those of the basic stock, to make thirty.
const MORE: [(&str, &str); 6] = [
    ("lime", "#a8c93a"),
    ("navy", "#22304f"),
    ("light grey", "#b5b7b6"),
    ("peach", "#f5bf9c"),
    ("mint", "#a9d9bd"),
    ("lavender", "#b7a4d6"),
];

/// Colours such as figures have: ramps of blue, green, brown and red, with greys and a few bright ones.
const FIGURE: [&str; 24] = [
    "#1d2b3a", "#2f4a66", "#4f7396", "#86a9c4", "#c3d6e2", "#f2f1ea", "#1f3a2a", "#315c38", "#5b8a45",
    "#9dbb5f", "#4a3426", "#7a5536", "#a97c4e", "#d9b77f", "#f3e0b5", "#5a2430", "#7f2f3f", "#b3483f",
    "#e07b39", "#f2b632", "#2a2a2c", "#5c5f63", "#9a9c9d", "#6a4c8c",
];

fn main() {
    let all = std::env::args().any(|argument| argument == "all");
    let stock = thirty();
    let mut chance = Chance(7);
    let figure: Vec<Rgb> = FIGURE.iter().map(|code| code.parse().expect("a colour")).collect();
    println!("24 colours of a figure, 30 paints, 3 of them, 12 parts: {:.1} ms", median(&figure, &stock));
    let colours: Vec<Rgb> = (0..24).map(|_| chance.colour()).collect();
    println!("24 colours by chance, many out of reach: {:.1} ms", median(&colours, &stock));
    let large = many(200, &mut chance);
    let start = Instant::now();
    mix(&colours, &large, &Mixing::default(), &Unwatched).expect("recipes");
    println!("the same from 200 paints: {:.0} ms", start.elapsed().as_secs_f64() * 1e3);
    if all {
        let random: Vec<Rgb> = (0..120).map(|_| chance.colour()).collect();
        compare("24 colours of a figure, 30 paints", &figure, &stock);
        compare("24 colours by chance, 30 paints", &colours, &stock);
        compare("120 colours, 30 paints", &random, &stock);
        for count in [100, 100, 100, 100, 100, 200, 200, 200, 200, 200] {
            screened(&figure, &many(count, &mut chance));
        }
    }
}

/// Numbers by chance that are the same in every run (G. Marsaglia 2003).
struct Chance(u64);

impl Chance {
    fn number(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn colour(&mut self) -> Rgb {
        Rgb([0; 3].map(|_: u8| (self.number() >> 32).to_le_bytes()[0]))
    }
}

/// Gives the median time of ten searches, in milliseconds.
fn median(colours: &[Rgb], stock: &Stock) -> f64 {
    let mut times: Vec<f64> = (0..10)
        .map(|_| {
            let start = Instant::now();
            let found = mix(colours, stock, &Mixing::default(), &Unwatched).expect("recipes");
            assert_eq!(found.len(), colours.len());
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[5]
}

fn thirty() -> Stock {
    let more = MORE.map(|(name, code)| Paint::new(name, code.parse().expect("a colour")));
    Stock::new(Stock::basic().paints().iter().cloned().chain(more).collect()).expect("a stock")
}

fn many(count: usize, chance: &mut Chance) -> Stock {
    let paint = |place: usize| Paint::new(format!("paint {place}"), chance.colour());
    Stock::new((0..count).map(paint).collect()).expect("a stock")
}

/// Counts how often the search and the judging of every mixture choose differently, and what that costs.
fn compare(what: &str, colours: &[Rgb], stock: &Stock) {
    let found = mix(colours, stock, &Mixing::default(), &Unwatched).expect("recipes");
    let best = judge_all(colours, stock);
    let (mut other, mut farther) = (0, 0.0);
    for ((recipes, best), colour) in found.iter().zip(&best).zip(colours) {
        if names(&recipes[0]) != best.parts {
            other += 1;
            farther += recipes[0].difference - best.difference;
            println!(
                "  {colour}: {} ({:.3}) and not {:?} ({:.3})",
                recipes[0], recipes[0].difference, best.parts, best.difference
            );
        }
    }
    let count = colours.len();
    let mean = farther / count as f64;
    println!("{what}: {other} of {count} chosen otherwise than by judging all, {mean:+.4} on average");
}

/// Counts how often looking at the likeliest paints alone chooses otherwise than looking at all.
fn screened(colours: &[Rgb], stock: &Stock) {
    let count = stock.paints().len();
    let all = Mixing { shelf: count, ..Mixing::default() };
    let [some, all] =
        [Mixing::default(), all].map(|asked| mix(colours, stock, &asked, &Unwatched).expect("recipes"));
    let pairs = some.iter().zip(&all).map(|(some, all)| (&some[0], &all[0]));
    let farther: Vec<f64> = pairs
        .filter(|(some, all)| some.parts != all.parts)
        .map(|(some, all)| some.difference - all.difference)
        .collect();
    let mean = farther.iter().sum::<f64>() / colours.len() as f64;
    println!("screening {count} paints: {} of {} lost, {mean:+.4} on average", farther.len(), colours.len());
}

fn names(recipe: &Recipe) -> Vec<(String, u32)> {
    let mut parts: Vec<_> = recipe.parts.iter().map(|part| (part.paint.clone(), part.parts)).collect();
    parts.sort();
    parts
}

#[derive(Clone)]
struct Best {
    key: (u32, usize, u32, i64),
    parts: Vec<(String, u32)>,
    difference: f64,
}

fn judge_all(colours: &[Rgb], stock: &Stock) -> Vec<Best> {
    let optics = stock.optics();
    let labs: Vec<Lab> = colours.iter().map(|&colour| Lab::from(colour)).collect();
    let mut best: Vec<Option<Best>> = vec![None; colours.len()];
    let mut judge = |chosen: &[usize], ratio: &[u32]| {
        let lab = mixture(optics, chosen, ratio).lab();
        for (best, &wanted) in best.iter_mut().zip(&labs) {
            let difference = ciede2000(wanted, lab);
            #[expect(clippy::cast_possible_truncation, reason = "some hundred millions")]
            let millionths = (difference * 1e6).round() as i64;
            let key = (bucket(difference), chosen.len(), ratio.iter().sum(), millionths);
            if best.as_ref().is_none_or(|best| key < best.key) {
                let name = |(&place, &parts): (&usize, &u32)| (stock.paints()[place].name.clone(), parts);
                let mut parts: Vec<_> = chosen.iter().zip(ratio).map(name).collect();
                parts.sort();
                *best = Some(Best { key, parts, difference });
            }
        }
    };
    let count = optics.len();
    for a in 0..count {
        judge(&[a], &[1]);
        for b in a + 1..count {
            each_ratio(2, 24, &mut |ratio| judge(&[a, b], ratio));
            for c in b + 1..count {
                each_ratio(3, 12, &mut |ratio| judge(&[a, b, c], ratio));
            }
        }
    }
    best.into_iter().flatten().collect()
}

fn each_ratio(paints: usize, most: u32, judge: &mut dyn FnMut(&[u32])) {
    for a in 1..most {
        for b in 1..=most - a {
            if paints == 2 && common(a, b) == 1 {
                judge(&[a, b]);
            }
            for c in 1..=(most - a - b) * u32::from(paints == 3) {
                if common(common(a, b), c) == 1 {
                    judge(&[a, b, c]);
                }
            }
        }
    }
}

fn common(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { common(b, a % b) }
}

fn mixture(optics: &[Optics], chosen: &[usize], ratio: &[u32]) -> Spectrum {
    Spectrum(std::array::from_fn(|band| {
        let sum = |of: fn(&Optics, usize) -> f64| -> f64 {
            chosen.iter().zip(ratio).map(|(&place, &parts)| f64::from(parts) * of(&optics[place], band)).sum()
        };
        squarewright::paint::reflected(sum(|paint, band| paint.k[band]) / sum(|paint, band| paint.s[band]))
    }))
}
