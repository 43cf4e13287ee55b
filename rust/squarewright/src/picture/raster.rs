//! A picture in memory: upright rows of red, green, blue and opacity.

use std::fmt;

use super::memory::Memory;
use super::{Format, JpegFacts, Note, limits, profile, spread};
use crate::fault::{PictureFault, Result, Watch};

/// A frozen picture of 8-bit sRGB pixels with straight (not premultiplied) opacity.
#[derive(Clone, PartialEq)]
pub struct Picture {
    width: u32,
    height: u32,
    pixels: Memory,
    format: Option<Format>,
    jpeg: Option<JpegFacts>,
    notes: Vec<Note>,
}

impl Picture {
    /// Takes rows of red, green, blue and opacity, top row first.
    ///
    /// ```
    /// use squarewright::picture::Picture;
    ///
    /// let picture = Picture::from_rgba(2, 1, vec![255, 0, 0, 255, 0, 0, 255, 0])?;
    /// assert_eq!(picture.pixel(1, 0), [0, 0, 255, 0]);
    /// # Ok::<(), squarewright::fault::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`PictureFault::NoPixels`] and [`PictureFault::TooBig`] for the size, [`PictureFault::Pixels`] when
    /// the bytes are more or fewer than the size asks for.
    pub fn from_rgba(width: u32, height: u32, pixels: Vec<u8>) -> Result<Self> {
        check_shape(width, height, 4, pixels.len())?;
        Ok(Self::from_memory(width, height, pixels.into()))
    }

    /// Takes pixels of a size that is allowed, four bytes each.
    pub(super) fn from_memory(width: u32, height: u32, pixels: Memory) -> Self {
        Self { width, height, pixels, format: None, jpeg: None, notes: Vec::new() }
    }

    /// Takes rows of red, green and blue, top row first; every pixel is opaque.
    ///
    /// ```
    /// use squarewright::picture::Picture;
    ///
    /// let picture = Picture::from_rgb(1, 1, &[10, 20, 30])?;
    /// assert_eq!(picture.pixel(0, 0), [10, 20, 30, 255]);
    /// # Ok::<(), squarewright::fault::Error>(())
    /// ```
    ///
    /// # Errors
    /// As [`Picture::from_rgba`].
    pub fn from_rgb(width: u32, height: u32, pixels: &[u8]) -> Result<Self> {
        check_shape(width, height, 3, pixels.len())?;
        Ok(Self::from_memory(width, height, spread::opaque(pixels)))
    }

    /// Adds what the decoder learnt about the file.
    pub(super) fn with_facts(self, format: Format, jpeg: Option<JpegFacts>, notes: Vec<Note>) -> Self {
        Self { format: Some(format), jpeg, notes, ..self }
    }

    /// Converts pixels that an ICC profile describes to sRGB; a profile that cannot be used becomes a note.
    ///
    /// # Errors
    /// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
    pub fn converted(mut self, profile: &[u8], watch: &dyn Watch) -> Result<Self> {
        let applied = profile::apply(self.pixels.as_chunks_mut().0, profile, watch)?;
        self.notes.extend(applied.err().map(|why| Note::ProfileNotApplied { why }));
        Ok(self)
    }

    /// Notes it when the file is called as if it were of another format.
    #[must_use]
    pub fn called(mut self, name: &str) -> Self {
        let misnamed = self.format.filter(|format| !format.fits(name));
        self.notes.extend(misnamed.map(|format| Note::Misnamed { format }));
        self
    }

    /// Gives the number of pixels in a row.
    pub fn width(&self) -> u32 {
        self.width
    }

    /// Gives the number of rows.
    pub fn height(&self) -> u32 {
        self.height
    }

    /// Gives all pixels, row by row, four bytes each.
    pub fn pixels(&self) -> &[u8] {
        &self.pixels
    }

    /// Gives the bytes of row `y`.
    ///
    /// # Panics
    /// When `y` is not below [`Picture::height`].
    pub fn row(&self, y: u32) -> &[u8] {
        let stride = self.stride();
        &self.pixels[y as usize * stride..][..stride]
    }

    /// Gives the rows from the top down.
    pub fn rows(&self) -> impl ExactSizeIterator<Item = &[u8]> {
        self.pixels.chunks_exact(self.stride())
    }

    /// Gives red, green, blue and opacity of the pixel `x` from the left and `y` from the top.
    ///
    /// # Panics
    /// When the place is outside the picture.
    pub fn pixel(&self, x: u32, y: u32) -> [u8; 4] {
        let at = x as usize * 4;
        let row = self.row(y);
        [row[at], row[at + 1], row[at + 2], row[at + 3]]
    }

    /// Gives the format of the file that it was read from.
    pub fn format(&self) -> Option<Format> {
        self.format
    }

    /// Gives what the file says about its compression, when it was a JPEG.
    pub fn jpeg(&self) -> Option<&JpegFacts> {
        self.jpeg.as_ref()
    }

    /// Gives what is worth saying about the file.
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }

    /// Says whether every pixel is fully transparent.
    pub fn is_blank(&self) -> bool {
        self.pixels.chunks_exact(4).all(|pixel| pixel[3] == 0)
    }

    /// Says whether its long side holds more than `cells` squares of its short side.
    pub fn is_thinner_than(&self, cells: usize) -> bool {
        let (short, long) = (self.width.min(self.height), self.width.max(self.height));
        u64::from(long) > u64::from(short) * cells as u64
    }

    fn stride(&self) -> usize {
        self.width as usize * 4
    }
}

impl fmt::Debug for Picture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = format_args!("{} × {}", self.width, self.height);
        f.debug_struct("Picture").field("size", &size).field("notes", &self.notes).finish_non_exhaustive()
    }
}

fn check_shape(width: u32, height: u32, channels: u32, got: usize) -> Result<(), PictureFault> {
    limits::check_size(width, height)?;
    if u64::from(width) * u64::from(height) * u64::from(channels) == got as u64 {
        Ok(())
    } else {
        Err(PictureFault::Pixels { got, width, height, channels })
    }
}
