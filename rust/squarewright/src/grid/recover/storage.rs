//! How the pixels of a file were stored: as red, green and blue, or brightness and colour apart.

use super::blocks::Blocks;
use super::cells::{Matrix, Wanted, solve};
use super::field::{Field, Rect};
use super::kernel::Sight;
use crate::picture::{JpegFacts, Picture};

/// How colour was stored: apart from brightness, and perhaps once for two pixels.
#[derive(Debug, Clone, Default)]
pub(super) struct Storage<'a> {
    /// What the file says, when brightness and colour were stored apart.
    facts: Option<&'a JpegFacts>,
    /// Whether two pixels share colour, across and down.
    pub(super) across: bool,
    pub(super) down: bool,
    /// Brightness of all pixels and the two colours of all samples, when they were stored apart.
    planes: Vec<Matrix>,
    /// Brightness in full and differences of colour faintly, where two pixels share their colour: its edges are
    /// blurred then and say little about places.
    bright: Option<Field>,
}

/// Red, green and blue may be so many levels from what was stored, but where a colour profile was applied.
const SAME: f32 = 4.0;
/// The share of pixels that must agree.
const AGREED: f64 = 0.98;

impl<'a> Storage<'a> {
    /// Reads it from what the file of a picture says.
    pub(super) fn of(picture: &'a Picture, field: &Field) -> Self {
        let facts = picture.jpeg().filter(|facts| facts.components.len() == 3 && !facts.turned);
        let Some(facts) = facts.filter(|_| field.planes.len() == 3) else { return Self::default() };
        let (luma, chroma) = (facts.components[0].sampling, facts.components[1].sampling);
        let (across, down) = (luma.0 == 2 * chroma.0, luma.1 == 2 * chroma.1);
        let stored = facts.unpacked_apart().filter(|stored| agrees(stored, picture));
        let mut planes = stored.map_or_else(|| apart(field), |stored| split(&stored, field));
        let bright = (across || down).then(|| bright(&planes, field));
        if across || down {
            let (down, across) = (spread(field.height, down), spread(field.width, across));
            for plane in &mut planes[1..] {
                *plane = solve(plane, &down, &across);
            }
        }
        Self { facts: Some(facts), across, down, planes, bright }
    }

    /// Gives what places are looked for in, when that is not the picture itself.
    pub(super) fn bright(&self) -> Option<&Field> {
        self.bright.as_ref()
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

    /// Gives the planes that were stored of a part of a field, which begins at a multiple of the step.
    pub(super) fn planes(&self, field: &Field, rect: Rect) -> Vec<Matrix> {
        if !self.is_apart() {
            return (0..field.planes.len()).map(|plane| Matrix::of_plane(field, plane, rect)).collect();
        }
        let (across, down) = (1 + usize::from(self.across), 1 + usize::from(self.down));
        let shared = Rect {
            left: rect.left / across,
            right: rect.right.div_ceil(across),
            top: rect.top / down,
            bottom: rect.bottom.div_ceil(down),
        };
        let rects = [rect, shared, shared];
        self.planes.iter().zip(rects).map(|(plane, rect)| plane.cut(rect)).collect()
    }

    /// Gives what is known about the blocks of each plane.
    pub(super) fn blocks(&self, planes: &[Matrix]) -> Vec<Blocks> {
        let components = self.facts.map_or(&[][..], |facts| &facts.components);
        let range = |plane: usize| if plane == 0 { (0.0, 255.0) } else { (-128.0, 127.0) };
        let planes = planes.iter().zip(components).enumerate();
        planes.map(|(at, (plane, part))| Blocks::new(plane, &part.quantisation, range(at))).collect()
    }
}

/// Turns red, green and blue into brightness and colour.
fn apart(field: &Field) -> Vec<Matrix> {
    let whole = Rect { left: 0, top: 0, right: field.width, bottom: field.height };
    let mut planes: Vec<Matrix> = (0..3).map(|plane| Matrix::of_plane(field, plane, whole)).collect();
    to_ycc(&mut planes);
    planes
}

/// Takes brightness and colour of each pixel from where they stand side by side.
fn split(stored: &[u8], field: &Field) -> Vec<Matrix> {
    let plane = |plane: usize| {
        let shift = if plane == 0 { 0.0 } else { 128.0 };
        let values = stored.iter().skip(plane).step_by(3).map(|&value| f32::from(value) - shift).collect();
        Matrix { rows: field.height, columns: field.width, values }
    };
    (0..3).map(plane).collect()
}

fn bright(planes: &[Matrix], field: &Field) -> Field {
    let plane = |(at, plane): (usize, &Matrix)| {
        let (share, shift) = if at == 0 { (1.0, 0.0) } else { (FAINT, 128.0) };
        plane.values.iter().map(|value| (shift + share * value).round() as u8).collect()
    };
    Field { planes: planes.iter().enumerate().map(plane).collect(), ..field.clone() }
}

/// What differences of colour weigh beside brightness where two pixels share them.
const FAINT: f32 = 0.4;

/// Says whether stored values are those of a picture.
fn agrees(stored: &[u8], picture: &Picture) -> bool {
    let pixels = picture.pixels().as_chunks::<4>().0;
    let stored = stored.as_chunks::<3>().0;
    let differs = |(&[y, blue, red], pixel): (&[u8; 3], &[u8; 4])| {
        let apart = [f32::from(y), f32::from(blue) - 128.0, f32::from(red) - 128.0];
        let same = |(shares, &seen): (&[f32; 3], &u8)| {
            let value: f32 = shares.iter().zip(&apart).map(|(share, value)| share * value).sum();
            (value.clamp(0.0, 255.0) - f32::from(seen)).abs() <= SAME
        };
        !TO_RGB.iter().zip(pixel).all(same)
    };
    let far = stored.iter().zip(pixels).filter(|&pair| differs(pair)).count();
    stored.len() == pixels.len() && (far as f64) <= (1.0 - AGREED) * pixels.len() as f64
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
