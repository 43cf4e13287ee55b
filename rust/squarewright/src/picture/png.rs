//! Decodes PNG (ISO/IEC 15948).
//!
//! The `png` crate is called without the `image` crate in between, which would unpack a colour profile of
//! any size and stop reading before the end of the file.

use std::io::{BufRead, Seek};

use image::metadata::Orientation;
use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;
use png::{BitDepth, ColorType, Decoder, DecodingError, Info, Reader, Transformations};

use super::decode::{Care, Decoded};
use super::note::Note;
use super::source::Source;
use super::spread::{Layout, Sheet};
use super::{chunks, damage, limits};
use crate::fault::PictureFault;

/// Decodes the still picture; `bytes` are those that `source` reads.
pub(super) fn decode(source: Source<'_>, bytes: &[u8], care: Care) -> Result<Decoded, PictureFault> {
    let mut decoder = Decoder::new_with_limits(source, png::Limits { bytes: limits::FILE_BYTES });
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_ignore_text_chunk(true);
    let is_indexed = decoder.read_header_info().map_err(fault)?.color_type == ColorType::Indexed;
    // palettes are looked up here, where a wrong number does not go unseen
    decoder.set_transformations(if is_indexed { Transformations::IDENTITY } else { Transformations::EXPAND });
    let mut reader = decoder.read_info().map_err(fault)?;
    let (width, height) = reader.info().size();
    limits::check_size(width, height)?;
    let mut notes = Vec::new();
    let (sheet, rows) = if is_indexed {
        let (sheet, rows, has_strangers) = listed(&mut reader, care)?;
        notes.extend(has_strangers.then_some(Note::UnlistedColours));
        (sheet, rows)
    } else {
        direct(&mut reader, care)?
    };
    notes.extend(close(&mut reader, rows, care)?);
    notes.extend(remarks(reader.info()));
    let orientation = orientation(reader.info());
    Ok(Decoded { sheet, rows, orientation, profile: profile(bytes), notes, jpeg: None })
}

/// Reads pixels that state their own colour.
fn direct<R: BufRead + Seek>(reader: &mut Reader<R>, care: Care) -> Result<(Sheet, u32), PictureFault> {
    let (width, height) = reader.info().size();
    let (color, depth) = reader.output_color_type();
    let layout = layout(color, depth);
    limits::check_decoded(width, height, layout.bytes())?;
    let mut sheet = Sheet::new(width, height, layout);
    let rows = fill(reader, sheet.decoded(), care)?;
    Ok((sheet, rows))
}

/// Reads pixels that are numbers of a palette, and says whether some numbers are beyond its end.
fn listed<R: BufRead + Seek>(reader: &mut Reader<R>, care: Care) -> Result<(Sheet, u32, bool), PictureFault> {
    let (width, height) = reader.info().size();
    let Some(palette) = reader.info().palette.clone() else {
        return Err(PictureFault::Damaged("its colour table is missing or wrong".into()));
    };
    let opacities = reader.info().trns.clone().unwrap_or_default();
    let mut colours = [[0, 0, 0, u8::MAX]; 256];
    for (index, (colour, listed)) in colours.iter_mut().zip(palette.as_chunks::<3>().0).enumerate() {
        let [red, green, blue] = *listed;
        *colour = [red, green, blue, opacities.get(index).copied().unwrap_or(u8::MAX)];
    }
    let line = reader.info().raw_row_length() - 1;
    let mut packed = vec![0; line * height as usize];
    let rows = fill(reader, &mut packed, care)?;
    let bits = reader.info().bit_depth as usize;
    let mut sheet = Sheet::new(width, height, Layout::Rgba);
    let mut most = 0;
    let out = sheet.decoded().as_chunks_mut::<4>().0.chunks_exact_mut(width as usize);
    for (out, packed) in out.zip(packed.chunks_exact(line)) {
        for (x, pixel) in out.iter_mut().enumerate() {
            let byte = packed[x * bits / 8];
            let index = byte >> (8 - bits - x * bits % 8) & (u8::MAX >> (8 - bits));
            most = most.max(index);
            *pixel = colours[usize::from(index)];
        }
    }
    Ok((sheet, rows, usize::from(most) >= palette.len() / 3))
}

/// Fills a buffer with rows and says how many of them there are; fewer than all only when a rest is enough.
fn fill<R: BufRead + Seek>(
    reader: &mut Reader<R>,
    buffer: &mut [u8],
    care: Care,
) -> Result<u32, PictureFault> {
    let height = reader.info().height;
    if reader.info().interlaced {
        return reader.next_frame(buffer).map(|_| height).map_err(fault);
    }
    for (done, row) in (0..height).zip(buffer.chunks_exact_mut(buffer.len() / height as usize)) {
        match reader.read_row(row) {
            Ok(_) => {}
            Err(_) if care == Care::Rest && done > 0 => return Ok(done),
            Err(error) => return Err(fault_after(error, done, height)),
        }
    }
    Ok(height)
}

/// Reads to the end of the file and says what is missing, where that is allowed.
fn close<R: BufRead + Seek>(
    reader: &mut Reader<R>,
    rows: u32,
    care: Care,
) -> Result<Option<Note>, PictureFault> {
    let height = reader.info().height;
    if rows < height {
        return Ok(Some(Note::Cut { percent: percent(rows, height) }));
    }
    match reader.finish() {
        Ok(()) => Ok(None),
        Err(_) if care == Care::Rest => Ok(Some(Note::NoEnd)),
        Err(error) => Err(fault(error)),
    }
}

fn percent(rows: u32, height: u32) -> u8 {
    u8::try_from(u64::from(rows) * 100 / u64::from(height)).unwrap_or(u8::MAX)
}

/// Gives the layout after small samples were expanded.
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

fn remarks(info: &Info<'_>) -> impl Iterator<Item = Note> {
    let frames = info.animation_control.map_or(1, |control| control.num_frames);
    let animation = (frames > 1).then_some(Note::FirstFrame { frames });
    let is_uneven = info.pixel_dims.is_some_and(|density| density.xppu != density.yppu || density.xppu == 0);
    animation.into_iter().chain(is_uneven.then_some(Note::UnevenDensity))
}

/// Unpacks the colour profile (clause 11.3.2.3): a name, a zero, the way of packing, and the packed bytes.
///
/// A profile that cannot be unpacked within the limit comes back empty, which no profile is.
fn profile(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut heads = chunks::png(bytes).take_while(|chunk| chunk.name != b"IDAT");
    let body = heads.find(|chunk| chunk.name == b"iCCP")?.body;
    let end = body.iter().position(|&byte| byte == 0)?;
    let packed = body.get(end + 2..)?;
    Some(decompress_to_vec_zlib_with_limit(packed, limits::PROFILE_BYTES).unwrap_or_default())
}

fn fault(error: DecodingError) -> PictureFault {
    match error {
        DecodingError::IoError(error) => damage::from_io(&error),
        DecodingError::LimitsExceeded => damage::too_much_memory(),
        DecodingError::Format(error) => damage::from_text(&error.to_string()),
        DecodingError::Parameter(error) => damage::from_text(&error.to_string()),
    }
}

/// Adds to a fault how much of the picture there was before it.
fn fault_after(error: DecodingError, rows: u32, height: u32) -> PictureFault {
    match fault(error) {
        PictureFault::Truncated { .. } => PictureFault::Truncated { percent: Some(percent(rows, height)) },
        fault => fault,
    }
}
