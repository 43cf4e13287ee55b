//! Pictures from chance: sprites enlarged with a margin and some noise, or pixels as they come.

use libfuzzer_sys::arbitrary::{Arbitrary, Result, Unstructured};
use squarewright::picture::Picture;

/// The longest side that a picture by chance has, in pixels.
pub const SIDE: usize = 96;

/// A picture by chance.
#[derive(Debug)]
pub struct Shown {
    width: usize,
    height: usize,
    pixels: Vec<u8>,
}

impl Shown {
    /// Gives the picture itself.
    ///
    /// # Panics
    /// Never: there are as many pixels as its sides say.
    pub fn picture(&self) -> Picture {
        let side = |pixels: usize| u32::try_from(pixels).expect("sides are short");
        Picture::from_rgba(side(self.width), side(self.height), self.pixels.clone()).expect("as many pixels")
    }
}

impl<'a> Arbitrary<'a> for Shown {
    fn arbitrary(bytes: &mut Unstructured<'a>) -> Result<Self> {
        if bytes.ratio(1, 4)? { raw(bytes) } else { enlarged(bytes) }
    }
}

/// Takes pixels as they come; where bytes run out they are repeated.
fn raw(bytes: &mut Unstructured<'_>) -> Result<Shown> {
    let (width, height) = (bytes.int_in_range(1..=SIDE)?, bytes.int_in_range(1..=SIDE)?);
    let held = bytes.bytes(bytes.len().min(width * height * 4))?;
    let held = if held.is_empty() { &[255] } else { held };
    let pixels = held.iter().copied().cycle().take(width * height * 4).collect();
    Ok(Shown { width, height, pixels })
}

/// Enlarges cells of a few colours, with margins, and changes some pixels.
fn enlarged(bytes: &mut Unstructured<'_>) -> Result<Shown> {
    let (columns, rows) = (bytes.int_in_range(1..=16)?, bytes.int_in_range(1..=16)?);
    let pitch = bytes.int_in_range(1..=8)?;
    let margin = bytes.int_in_range(0..=9)?;
    let colours: [[u8; 4]; 8] = bytes.arbitrary()?;
    let (width, height) = ((columns * pitch + margin).min(SIDE), (rows * pitch + margin).min(SIDE));
    let noise = bytes.int_in_range(0..=40)?;
    let places: Vec<(u16, u8)> = (0..noise).map(|_| bytes.arbitrary()).collect::<Result<_>>()?;
    let held = bytes.bytes(bytes.len().min(columns * rows))?;
    let held = if held.is_empty() { &[1] } else { held };
    let cell = |x: usize, y: usize| {
        let (Some(x), Some(y)) = (x.checked_sub(margin / 2), y.checked_sub(margin / 2)) else { return 0 };
        let (column, row) = (x / pitch, y / pitch);
        if column < columns && row < rows { held[(row * columns + column) % held.len()] } else { 0 }
    };
    let mut pixels: Vec<u8> =
        (0..width * height).flat_map(|at| colours[usize::from(cell(at % width, at / width)) % 8]).collect();
    for (place, value) in places {
        let at = usize::from(place) % pixels.len();
        pixels[at] = value;
    }
    Ok(Shown { width, height, pixels })
}
