//! Shades of one family, and the plain names that follow from them.

use std::fmt;

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

/// Where a colour stands among those of its family.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shade {
    /// The family.
    pub family: Family,
    /// Its place among the shades, 0 for the lightest.
    pub step: usize,
    /// How many shades there are.
    pub count: usize,
}

impl Shade {
    /// Gives the word that tells it from the other shades, "" when there are none; none when there is no such word.
    pub fn word(self) -> Option<&'static str> {
        const WORDS: [&[&str]; 6] = [
            &[],
            &[""],
            &["light", "dark"],
            &["light", "mid", "dark"],
            &["light", "mid-light", "mid-dark", "dark"],
            &["very light", "light", "mid", "dark", "very dark"],
        ];
        // "light black" is no name a person would use: shades of black and white are numbered instead.
        let is_numbered = self.count > 1 && matches!(self.family, Family::Black | Family::White);
        WORDS.get(self.count).filter(|_| !is_numbered).map(|words| words[self.step])
    }
}

impl fmt::Display for Shade {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let family = self.family.word();
        match self.word() {
            Some("") => formatter.write_str(family),
            Some(word) => write!(formatter, "{word} {family}"),
            None => write!(formatter, "{family} {} of {}", self.step + 1, self.count),
        }
    }
}

/// Tells of each colour which shade of which family it is.
pub fn shades(colours: &[Rgb]) -> Vec<Shade> {
    let mut shades: Vec<(usize, Shade)> = Vec::new();
    for ramp in ramps(colours) {
        let count = ramp.shades.len();
        let steps = ramp.shades.iter().enumerate();
        shades.extend(steps.map(|(step, &place)| (place, Shade { family: ramp.family, step, count })));
    }
    shades.sort_by_key(|&(place, _)| place);
    shades.into_iter().map(|(_, shade)| shade).collect()
}

/// Names colours in plain words, each name once: "green" when it is the only one, else "light green" and
/// so on down to "dark green".
pub fn names(colours: &[Rgb]) -> Vec<String> {
    shades(colours).iter().map(Shade::to_string).collect()
}
