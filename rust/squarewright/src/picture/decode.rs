//! Reads a picture from the bytes of a file.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::codecs::{bmp::BmpDecoder, gif::GifDecoder, webp::WebPDecoder};
use image::metadata::Orientation;
use image::{ColorType, ImageDecoder, ImageResult};

use super::note::Note;
use super::raster::Picture;
use super::sniff::sniff;
use super::source::Source;
use super::spread::{Layout, Sheet};
use super::{Format, JpegFacts, chunks, damage, header, jpeg, limits, ora, png, profile};
use crate::fault::{Error, PictureFault, Result, Watch};

/// What a decoder gives.
#[derive(Debug)]
pub(super) struct Decoded {
    pub(super) sheet: Sheet,
    /// Rows that could be read, from the top.
    pub(super) rows: u32,
    pub(super) orientation: Orientation,
    pub(super) profile: Option<Vec<u8>>,
    pub(super) notes: Vec<Note>,
    pub(super) jpeg: Option<JpegFacts>,
}

/// How much of a picture is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// All of it, or none.
    Whole,
    /// Whatever can still be read.
    Rest,
}

/// Reads a PNG, JPEG, GIF, BMP, WebP or `OpenRaster` picture and turns it upright.
///
/// What the bytes are is read from the bytes. Of an animation the first frame is used, on its canvas; of an
/// `OpenRaster` document the merged picture. Samples of 16 bits are rounded to 8, and colours that a profile
/// describes are converted to sRGB. A [`Note`] tells what the maker should know.
///
/// ```
/// use squarewright::fault::Unwatched;
/// use squarewright::picture::decode;
///
/// let error = decode(b"<html>404</html>", &Unwatched).unwrap_err();
/// assert_eq!(error.code(), "PIC-NOT-PICTURE");
/// ```
///
/// # Errors
/// [`Error::Picture`] with what is wrong; [`Error::Stopped`] when the watcher asks to stop.
pub fn decode(bytes: &[u8], watch: &dyn Watch) -> Result<Picture> {
    read(bytes, Care::Whole, watch)
}

/// Reads what is left of a picture: like [`decode`], but of a PNG or JPEG that is cut short or damaged the
/// rows that can be read are used, and the others are transparent. A [`Note`] says how many they are.
///
/// # Errors
/// As [`decode`]; a picture of which nothing can be read is refused.
pub fn rescue(bytes: &[u8], watch: &dyn Watch) -> Result<Picture> {
    read(bytes, Care::Rest, watch)
}

fn read(bytes: &[u8], care: Care, watch: &dyn Watch) -> Result<Picture> {
    limits::check_file(bytes.len())?;
    let format = sniff(bytes)?;
    if format == Format::Ora {
        let merged = ora::merged(bytes)?;
        return match sniff(&merged)? {
            Format::Png => Ok(finish(Format::Ora, guarded(Format::Png, &merged, care, watch)?, watch)?),
            _ => Err(PictureFault::Damaged("its merged picture is no PNG".into()).into()),
        };
    }
    finish(format, guarded(format, bytes, care, watch)?, watch)
}

/// Evens out what was decoded: four bytes a pixel, sRGB, upright.
fn finish(format: Format, decoded: Decoded, watch: &dyn Watch) -> Result<Picture> {
    let mut sheet = decoded.sheet.into_rgba();
    let mut notes = decoded.notes;
    if let Some(profile) = decoded.profile {
        let applied = profile::apply(sheet.pixels.as_chunks_mut().0, &profile, watch)?;
        notes.extend(applied.err().map(|why| Note::ProfileNotApplied { why }));
    }
    let read = decoded.rows as usize * sheet.width as usize * 4;
    sheet.pixels[read..].fill(0);
    let sheet = sheet.upright(decoded.orientation);
    watch.check(1.0)?;
    let picture = Picture::from_memory(sheet.width, sheet.height, sheet.pixels);
    Ok(picture.with_facts(format, decoded.jpeg, notes))
}

/// Decodes with a net below: a decoder that panics has met bytes it was not made for.
fn guarded(format: Format, bytes: &[u8], care: Care, watch: &dyn Watch) -> Result<Decoded> {
    if let Some((width, height)) = header::size(format, bytes) {
        limits::check_size(width, height)?;
    }
    let stopped = Cell::new(false);
    let source = Source::new(bytes, watch, &stopped);
    let attempt = catch_unwind(AssertUnwindSafe(|| match format {
        Format::Png => Ok(png::decode(source, bytes, care)?),
        Format::Jpeg => jpeg::decode(bytes, care, watch),
        _ => Ok(through_image(format, source, bytes)?),
    }));
    if stopped.get() {
        return Err(Error::Stopped);
    }
    attempt.unwrap_or_else(|_| Err(PictureFault::Damaged("its content makes no sense".into()).into()))
}

/// Decodes through the `image` crate.
fn through_image(format: Format, source: Source<'_>, bytes: &[u8]) -> Result<Decoded, PictureFault> {
    if format == Format::Webp {
        header::check_webp_length(bytes)?;
    }
    let decoder = open(format, source).map_err(|error| damage::from_image(&error))?;
    let (width, height) = decoder.dimensions();
    let layout = layout(decoder.color_type())?;
    limits::check_size(width, height)?;
    limits::check_decoded(width, height, layout.bytes())?;
    let orientation = orientation(format, bytes);
    let mut sheet = Sheet::new(width, height, layout);
    decoder.read_image_boxed(sheet.decoded()).map_err(|error| damage::from_image(&error))?;
    let frames = frames(format, bytes);
    let notes = (frames > 1).then_some(Note::FirstFrame { frames }).into_iter().collect();
    let profile = webp_chunk(format, bytes, b"ICCP");
    let profile = profile.map(|body| body[..body.len().min(limits::PROFILE_BYTES + 1)].to_vec());
    Ok(Decoded { sheet, rows: height, orientation, profile, notes, jpeg: None })
}

fn open<'a>(format: Format, source: Source<'a>) -> ImageResult<Box<dyn ImageDecoder + 'a>> {
    Ok(match format {
        Format::Gif => {
            let mut decoder = GifDecoder::new(source)?;
            // a frame may be far larger than the canvas that was checked
            decoder.set_limits(image_limits())?;
            Box::new(decoder)
        }
        Format::Bmp => Box::new(BmpDecoder::new(source)?),
        Format::Webp => Box::new(WebPDecoder::new(source)?),
        Format::Png | Format::Jpeg | Format::Ora => unreachable!("decoded in a file of its own"),
    })
}

fn image_limits() -> image::Limits {
    let mut limits = image::Limits::no_limits();
    limits.max_alloc = Some(limits::DECODED_BYTES);
    limits
}

fn layout(color: ColorType) -> Result<Layout, PictureFault> {
    match color {
        ColorType::L8 => Ok(Layout::Grey),
        ColorType::La8 => Ok(Layout::GreyAlpha),
        ColorType::Rgb8 => Ok(Layout::Rgb),
        ColorType::Rgba8 => Ok(Layout::Rgba),
        _ => Err(PictureFault::Format("a picture packed in a rare way")),
    }
}

/// Reads the orientation of a WebP; a broken tag counts as none, as the pixels are not at fault.
fn orientation(format: Format, bytes: &[u8]) -> Orientation {
    let tags = webp_chunk(format, bytes, b"EXIF");
    let tags = tags.map(|tags| tags.strip_prefix(b"Exif\0\0").unwrap_or(tags));
    tags.and_then(Orientation::from_exif_chunk).unwrap_or(Orientation::NoTransforms)
}

/// Finds a part of a WebP here, where no length that a file states is taken at its word.
fn webp_chunk<'a>(format: Format, bytes: &'a [u8], name: &[u8]) -> Option<&'a [u8]> {
    let chunks = (format == Format::Webp).then(|| chunks::webp(bytes));
    chunks.into_iter().flatten().find(|chunk| chunk.name == name).map(|chunk| chunk.body)
}

/// Counts the frames of an animation.
fn frames(format: Format, bytes: &[u8]) -> u32 {
    let is_frame = |chunk: &chunks::Chunk<'_>| chunk.name == b"ANMF";
    match format {
        Format::Gif => chunks::gif_frames(bytes),
        Format::Webp => chunks::webp(bytes).filter(is_frame).fold(0, |sum, _| sum + 1),
        _ => 1,
    }
}
