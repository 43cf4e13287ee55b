//! Reads a picture from the bytes of a file.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::codecs::{bmp::BmpDecoder, gif::GifDecoder, jpeg::JpegDecoder, webp::WebPDecoder};
use image::metadata::Orientation;
use image::{ColorType, ImageDecoder, ImageResult};

use super::jpeg::Survey;
use super::note::Note;
use super::raster::Picture;
use super::sniff::{Kind, sniff};
use super::source::Source;
use super::spread::{Layout, Sheet};
use super::{chunks, damage, header, jpeg, limits, png};
use crate::fault::{Error, PictureFault, Result, Watch};

/// What a decoder gives.
#[derive(Debug)]
pub(super) struct Decoded {
    pub(super) sheet: Sheet,
    pub(super) orientation: Orientation,
    pub(super) notes: Vec<Note>,
}

/// Reads a PNG, JPEG, GIF, BMP or WebP picture and turns it upright.
///
/// What the bytes are is read from the bytes. Of an animation the first frame is used, on its canvas. Samples
/// of 16 bits are rounded to 8. Colour profiles are not applied; a [`Note`] says so.
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
    limits::check_file(bytes.len())?;
    let kind = sniff(bytes)?;
    let survey = (kind == Kind::Jpeg).then(|| jpeg::survey(bytes));
    check_header(kind, bytes, survey.as_ref())?;
    let decoded = guarded(kind, bytes, survey.as_ref(), watch)?;
    let sheet = decoded.sheet.into_rgba().upright(decoded.orientation);
    watch.check(1.0)?;
    let picture = Picture::from_rgba(sheet.width, sheet.height, sheet.pixels)?;
    Ok(picture.with_facts(survey.and_then(Survey::into_facts), decoded.notes))
}

/// Refuses what can be refused before a decoder is called: the size first, then a missing end.
fn check_header(kind: Kind, bytes: &[u8], survey: Option<&Survey<'_>>) -> Result<(), PictureFault> {
    if let Some((width, height)) = survey.map_or_else(|| header::size(kind, bytes), Survey::size) {
        limits::check_size(width, height)?;
    }
    if kind == Kind::Webp {
        header::check_webp_length(bytes)?;
    }
    survey.map_or(Ok(()), Survey::check)
}

/// Decodes with a net below: a decoder that panics has met bytes it was not made for.
fn guarded(kind: Kind, bytes: &[u8], survey: Option<&Survey<'_>>, watch: &dyn Watch) -> Result<Decoded> {
    let stopped = Cell::new(false);
    let source = Source::new(bytes, watch, &stopped);
    let attempt = catch_unwind(AssertUnwindSafe(|| match (kind, survey) {
        (Kind::Png, _) => png::decode(source, bytes),
        (_, Some(survey)) => through_image(kind, source, bytes).map(|decoded| Decoded {
            orientation: survey.orientation(),
            notes: survey.notes(),
            ..decoded
        }),
        _ => through_image(kind, source, bytes),
    }));
    if stopped.get() {
        return Err(Error::Stopped);
    }
    let decoded = attempt.unwrap_or_else(|_| Err(PictureFault::Damaged("its content makes no sense".into())));
    Ok(decoded?)
}

/// Decodes through the `image` crate.
fn through_image(kind: Kind, source: Source<'_>, bytes: &[u8]) -> Result<Decoded, PictureFault> {
    let mut decoder = open(kind, source).map_err(|error| damage::from_image(&error))?;
    let (width, height) = decoder.dimensions();
    let layout = layout(decoder.color_type())?;
    limits::check_size(width, height)?;
    limits::check_decoded(width, height, layout.bytes())?;
    let orientation = orientation(decoder.as_mut(), kind);
    let mut sheet = Sheet::new(width, height, layout);
    decoder.read_image_boxed(sheet.decoded()).map_err(|error| damage::from_image(&error))?;
    Ok(Decoded { sheet, orientation, notes: notes(kind, bytes) })
}

fn open<'a>(kind: Kind, source: Source<'a>) -> ImageResult<Box<dyn ImageDecoder + 'a>> {
    Ok(match kind {
        Kind::Gif => {
            let mut decoder = GifDecoder::new(source)?;
            // a frame may be far larger than the canvas that was checked
            decoder.set_limits(image_limits())?;
            Box::new(decoder)
        }
        Kind::Bmp => Box::new(BmpDecoder::new(source)?),
        Kind::Webp => Box::new(WebPDecoder::new(source)?),
        Kind::Jpeg => Box::new(JpegDecoder::new(source)?),
        Kind::Png => unreachable!("PNG is decoded in its own file"),
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
fn orientation(decoder: &mut dyn ImageDecoder, kind: Kind) -> Orientation {
    let exif = if kind == Kind::Webp { decoder.exif_metadata().ok().flatten() } else { None };
    let tags = exif.as_deref().map(|exif| exif.strip_prefix(b"Exif\0\0").unwrap_or(exif));
    tags.and_then(Orientation::from_exif_chunk).unwrap_or(Orientation::NoTransforms)
}

/// Says what is worth saying about a GIF or a WebP.
fn notes(kind: Kind, bytes: &[u8]) -> Vec<Note> {
    let (frames, has_profile) = match kind {
        Kind::Gif => (chunks::gif_frames(bytes), false),
        Kind::Webp => {
            let count =
                |name: &[u8]| chunks::webp(bytes).fold(0, |sum, chunk| sum + u32::from(chunk.name == name));
            (count(b"ANMF"), count(b"ICCP") > 0)
        }
        Kind::Png | Kind::Jpeg | Kind::Bmp => (1, false),
    };
    let animation = (frames > 1).then_some(Note::FirstFrame { frames });
    animation.into_iter().chain(has_profile.then_some(Note::ProfileNotApplied)).collect()
}
