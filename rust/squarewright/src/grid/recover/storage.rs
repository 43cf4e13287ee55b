//! How the pixels of a file were stored: as red, green and blue, or brightness and colour apart.

use super::blocks::Blocks;
use super::cells::{Matrix, Wanted, solve};
use super::field::{FAINT, Field, Rect};
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
    /// Brightness and two colours of each pixel as they were stored; none when only red, green and blue are
    /// known.
    stored: Option<Vec<u8>>,
}

/// Red, green and blue may be so many levels from what was stored, but where a colour profile was applied.
const SAME: f32 = 4.0;
/// The share of pixels that must agree.
const AGREED: f64 = 0.98;

impl<'a> Storage<'a> {
    /// Reads it from what the file says.
    pub(super) fn of(picture: &'a Picture) -> Self {
        let facts = picture.jpeg().filter(|facts| facts.components.len() == 3 && !facts.turned);
        let Some(facts) = facts else { return Self::default() };
        let (luma, chroma) = (facts.components[0].sampling, facts.components[1].sampling);
        let stored = facts.unpacked_apart().filter(|stored| agrees(stored, picture));
        Self { facts: Some(facts), across: luma.0 == 2 * chroma.0, down: luma.1 == 2 * chroma.1, stored }
    }

    /// Gives nothing known, for pictures whose planes do not fit.
    pub(super) fn unknown() -> Self {
        Self::default()
    }

    /// Gives brightness in full and differences of colour faintly: where two pixels share their colour, its
    /// edges are blurred and say little about places.
    pub(super) fn bright(&self, field: &Field) -> Field {
        let Some(stored) = &self.stored else { return field.bright() };
        let faint = |value: u8| (128.0 + FAINT * (f32::from(value) - 128.0)).round() as u8;
        let mut planes = vec![Vec::with_capacity(stored.len() / 3); 3];
        for &[y, blue, red] in stored.as_chunks::<3>().0 {
            planes[0].push(y);
            planes[1].push(faint(blue));
            planes[2].push(faint(red));
        }
        Field { planes, ..field.clone() }
    }

    /// Cuts the planes of the stored values out.
    fn cut(&self, width: usize, rect: Rect) -> Option<Vec<Matrix>> {
        let stored = self.stored.as_ref()?;
        let plane = |plane: usize| {
            let shift = if plane == 0 { 0.0 } else { 128.0 };
            let rows =
                (rect.top..rect.bottom).map(|y| &stored[(y * width + rect.left) * 3..][..rect.width() * 3]);
            let values =
                rows.flat_map(|row| row.iter().skip(plane).step_by(3)).map(|&value| f32::from(value) - shift);
            Matrix { rows: rect.height(), columns: rect.width(), values: values.collect() }
        };
        Some((0..3).map(plane).collect())
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

    /// Gives the planes that were stored of a part of a field.
    pub(super) fn planes(&self, field: &Field, rect: Rect) -> Vec<Matrix> {
        let seen = || (0..field.planes.len()).map(|plane| Matrix::of_plane(field, plane, rect)).collect();
        if !self.is_apart() {
            return seen();
        }
        let mut pixels = self.cut(field.width, rect).unwrap_or_else(|| {
            let mut pixels: Vec<Matrix> = seen();
            to_ycc(&mut pixels);
            pixels
        });
        if self.across || self.down {
            let (down, across) = (spread(rect.height(), self.down), spread(rect.width(), self.across));
            for plane in &mut pixels[1..] {
                *plane = solve(plane, &down, &across);
            }
        }
        pixels
    }

    /// Gives what is known about the blocks of each plane.
    pub(super) fn blocks(&self, planes: &[Matrix]) -> Vec<Blocks> {
        let components = self.facts.map_or(&[][..], |facts| &facts.components);
        let range = |plane: usize| if plane == 0 { (0.0, 255.0) } else { (-128.0, 127.0) };
        let planes = planes.iter().zip(components).enumerate();
        planes.map(|(at, (plane, part))| Blocks::new(plane, &part.quantisation, range(at))).collect()
    }
}

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
