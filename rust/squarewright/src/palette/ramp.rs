//! Shades of one family, and the plain names that follow from them.

use crate::colour::{Family, Lab, Rgb, family};

/// The shades of one family, light to dark, as places in a palette.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ramp {
    /// The family.
    pub family: Family,
    /// Places in the palette, the lightest first.
    pub shades: Vec<usize>,
}

/// Sorts colours into ramps: the ramp with the lightest shade first, and light to dark inside each.
pub fn ramps(colours: &[Rgb]) -> Vec<Ramp> {
    let mut order: Vec<(usize, Lab)> =
        colours.iter().enumerate().map(|(place, &colour)| (place, Lab::from(colour))).collect();
    order.sort_by(|(i, a), (j, b)| {
        let lighter = b.l.total_cmp(&a.l).then_with(|| a.chroma().total_cmp(&b.chroma()));
        lighter.then_with(|| colours[*i].cmp(&colours[*j]))
    });
    let mut ramps: Vec<Ramp> = Vec::new();
    for (place, _) in order {
        let family = family(colours[place]);
        match ramps.iter_mut().find(|ramp| ramp.family == family) {
            Some(ramp) => ramp.shades.push(place),
            None => ramps.push(Ramp { family, shades: vec![place] }),
        }
    }
    ramps
}

/// Names colours in plain words, each name once: "green" when it is the only one, else "light green" and
/// so on down to "dark green".
pub fn names(colours: &[Rgb]) -> Vec<String> {
    let mut names = vec![String::new(); colours.len()];
    for ramp in ramps(colours) {
        let count = ramp.shades.len();
        for (step, &place) in ramp.shades.iter().enumerate() {
            names[place] = name(ramp.family.word(), step, count);
        }
    }
    names
}

fn name(family: &str, step: usize, count: usize) -> String {
    const SHADES: [&[&str]; 6] = [
        &[],
        &[""],
        &["light ", "dark "],
        &["light ", "mid ", "dark "],
        &["light ", "mid-light ", "mid-dark ", "dark "],
        &["very light ", "light ", "mid ", "dark ", "very dark "],
    ];
    match SHADES.get(count) {
        // "light black" is no name a person would use: shades of black and white are numbered instead.
        Some(shades) if count == 1 || !matches!(family, "black" | "white") => {
            format!("{}{family}", shades[step])
        }
        _ => format!("{family} {} of {count}", step + 1),
    }
}
