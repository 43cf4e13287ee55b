//! Decodes PNG (ISO/IEC 15948).
//!
//! The `png` crate is called without the `image` crate in between, which would unpack a colour profile of
//! any size and stop reading before the end of the file.

use image::metadata::Orientation;
use png::{BitDepth, ColorType, Decoder, DecodingError, Info, Transformations};

use super::decode::Decoded;
use super::note::Note;
use super::source::Source;
use super::spread::{Layout, Sheet};
use super::{chunks, damage, limits};
use crate::fault::PictureFault;

/// Decodes the still picture; `bytes` are those that `source` reads.
pub(super) fn decode(source: Source<'_>, bytes: &[u8]) -> Result<Decoded, PictureFault> {
    let mut decoder = Decoder::new_with_limits(source, png::Limits { bytes: limits::FILE_BYTES });
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_ignore_text_chunk(true);
    decoder.set_transformations(Transformations::EXPAND);
    let mut reader = decoder.read_info().map_err(fault)?;
    let (width, height) = reader.info().size();
    let (color, depth) = reader.output_color_type();
    let layout = layout(color, depth);
    limits::check_size(width, height)?;
    limits::check_decoded(width, height, layout.bytes())?;
    let mut sheet = Sheet::new(width, height, layout);
    reader.next_frame(sheet.decoded()).map_err(fault)?;
    reader.finish().map_err(fault)?;
    Ok(Decoded { sheet, orientation: orientation(reader.info()), notes: notes(reader.info(), bytes) })
}

/// Gives the layout after palettes and small samples were expanded.
fn layout(color: ColorType, depth: BitDepth) -> Layout {
    match (color, depth == BitDepth::Sixteen) {
        (ColorType::Grayscale, false) => Layout::Grey,
        (ColorType::Grayscale, true) => Layout::Grey16,
        (ColorType::GrayscaleAlpha, false) => Layout::GreyAlpha,
        (ColorType::GrayscaleAlpha, true) => Layout::GreyAlpha16,
        (ColorType::Rgb | ColorType::Indexed, false) => Layout::Rgb,
        (ColorType::Rgb | ColorType::Indexed, true) => Layout::Rgb16,
        (ColorType::Rgba, false) => Layout::Rgba,
        (ColorType::Rgba, true) => Layout::Rgba16,
    }
}

fn orientation(info: &Info<'_>) -> Orientation {
    let exif = info.exif_metadata.as_deref();
    exif.and_then(Orientation::from_exif_chunk).unwrap_or(Orientation::NoTransforms)
}

fn notes(info: &Info<'_>, bytes: &[u8]) -> Vec<Note> {
    let frames = info.animation_control.map_or(1, |control| control.num_frames);
    let animation = (frames > 1).then_some(Note::FirstFrame { frames });
    let has_profile =
        chunks::png(bytes).take_while(|chunk| chunk.name != b"IDAT").any(|chunk| chunk.name == b"iCCP");
    animation.into_iter().chain(has_profile.then_some(Note::ProfileNotApplied)).collect()
}

fn fault(error: DecodingError) -> PictureFault {
    match error {
        DecodingError::IoError(error) => damage::from_io(&error),
        DecodingError::LimitsExceeded => damage::too_much_memory(),
        DecodingError::Format(error) => damage::from_text(&error.to_string()),
        DecodingError::Parameter(error) => damage::from_text(&error.to_string()),
    }
}
