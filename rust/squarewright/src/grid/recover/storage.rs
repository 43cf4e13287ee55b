//! How the pixels of a file were stored: as red, green and blue, or brightness and colour apart.

use super::blocks::Blocks;
use super::cells::{Matrix, Wanted, solve};
use super::field::Rect;
use super::kernel::Sight;
use crate::picture::JpegFacts;

/// How colour was stored: apart from brightness, and perhaps once for two pixels.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Storage<'a> {
    /// What the file says, when brightness and colour were stored apart.
    facts: Option<&'a JpegFacts>,
    /// Whether two pixels share colour, across and down.
    pub(super) across: bool,
    pub(super) down: bool,
}

impl<'a> Storage<'a> {
    /// Reads it from what the file says.
    pub(super) fn of(jpeg: Option<&'a JpegFacts>) -> Self {
        let Some(facts) = jpeg.filter(|facts| facts.components.len() == 3 && !facts.turned) else {
            return Self::default();
        };
        let (luma, chroma) = (facts.components[0].sampling, facts.components[1].sampling);
        Self { facts: Some(facts), across: luma.0 == 2 * chroma.0, down: luma.1 == 2 * chroma.1 }
    }

    /// Says whether brightness and colour were stored apart.
    pub(super) fn is_apart(&self) -> bool {
        self.facts.is_some()
    }

    /// Gives the multiple of pixels at which blocks of all planes begin.
    pub(super) fn step(&self) -> usize {
        match self.facts {
            None => 1,
            Some(_) if self.across || self.down => 16,
            Some(_) => 8,
        }
    }

    /// Turns red, green and blue into the planes that were stored.
    pub(super) fn planes(&self, mut pixels: Vec<Matrix>, rect: Rect) -> Vec<Matrix> {
        if self.is_apart() {
            to_ycc(&mut pixels);
            let (down, across) = (spread(rect.height(), self.down), spread(rect.width(), self.across));
            for plane in &mut pixels[1..] {
                if self.across || self.down {
                    *plane = solve(plane, &down, &across);
                }
            }
        }
        pixels
    }

    /// Gives what is known about the blocks of each plane.
    pub(super) fn blocks(&self, planes: &[Matrix]) -> Vec<Blocks> {
        let components = self.facts.map_or(&[][..], |facts| &facts.components);
        planes.iter().zip(components).map(|(plane, part)| Blocks::new(plane, &part.quantisation)).collect()
    }
}

/// Reads back samples that were spread over two pixels each, or pixels as they are.
fn spread(length: usize, paired: bool) -> Wanted {
    let count = if paired { length.div_ceil(2) } else { length };
    let sight = if paired { Sight::Spread(count) } else { Sight::Alone };
    Wanted { sight, length, first: 0, count, weights: Vec::new() }
}

/// Red, green, blue to brightness and two differences of colour (ITU-T T.871, without the shift of 128).
const TO_YCC: [[f32; 3]; 3] =
    [[0.299, 0.587, 0.114], [-0.168_736, -0.331_264, 0.5], [0.5, -0.418_688, -0.081_312]];
const TO_RGB: [[f32; 3]; 3] = [[1.0, 0.0, 1.402], [1.0, -0.344_136, -0.714_136], [1.0, 1.772, 0.0]];

/// Turns brightness and colour into red, green and blue.
pub(super) fn to_rgb(planes: &mut [Matrix]) {
    mix(planes, TO_RGB);
}

/// Turns red, green and blue into brightness and colour.
pub(super) fn to_ycc(planes: &mut [Matrix]) {
    mix(planes, TO_YCC);
}

fn mix(planes: &mut [Matrix], shares: [[f32; 3]; 3]) {
    for place in 0..planes[0].values.len() {
        let old = [0, 1, 2].map(|plane| planes[plane].values[place]);
        for (plane, shares) in planes.iter_mut().zip(shares) {
            plane.values[place] = shares[0] * old[0] + shares[1] * old[1] + shares[2] * old[2];
        }
    }
}
