//! Unpacks the pixels of a JPEG, and judges by a walk through them whether they can be used.

use std::panic::resume_unwind;
use std::thread;

use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::survey::{Survey, survey};
use super::walk::{Arrival, SCANS, walk};
use crate::fault::{PictureFault, Result, Watch};
use crate::picture::decode::{Care, Decoded};
use crate::picture::spread::{Layout, Sheet};
use crate::picture::{Note, damage, limits};

/// Decodes a JPEG; the walk runs beside the decoder, so that it costs no time where there are two cores.
pub(in crate::picture) fn decode(bytes: &[u8], care: Care, watch: &dyn Watch) -> Result<Decoded> {
    let survey = survey(bytes);
    let (width, height) = survey.size().unwrap_or((1, 1));
    limits::check_size(width, height)?;
    survey.check()?;
    if care == Care::Whole && !survey.has_end() {
        let percent = percent(walk(bytes, watch)?.rows, height);
        return Err(PictureFault::Truncated { percent }.into());
    }
    let (arrival, sheet) = thread::scope(|scope| {
        let walker = scope.spawn(|| walk(bytes, watch));
        let sheet = unpack(bytes, width, height);
        (walker.join().unwrap_or_else(|panic| resume_unwind(panic)), sheet)
    });
    let (arrival, sheet) = (arrival?, sheet?);
    let mut notes = judge(arrival, &survey, height, care)?;
    if survey.has_inks() {
        notes.push(Note::PrintColours);
    }
    Ok(Decoded {
        sheet,
        rows: if care == Care::Rest { arrival.rows } else { height },
        orientation: survey.orientation(),
        profile: survey.profile().filter(|_| !survey.has_inks()),
        notes,
        jpeg: survey.into_facts(bytes),
    })
}

fn options() -> DecoderOptions {
    DecoderOptions::default()
        .set_strict_mode(false)
        .set_max_width(limits::SIDE as usize)
        .set_max_height(limits::SIDE as usize)
        .jpeg_set_max_scans(SCANS)
}

/// Unpacks brightness and colour as they are stored, three bytes a pixel, with colour spread over all pixels.
pub(super) fn unpack_apart(bytes: &[u8]) -> Option<Vec<u8>> {
    let options = options().jpeg_set_out_colorspace(ColorSpace::YCbCr);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().ok()?;
    if decoder.input_colorspace() != Some(ColorSpace::YCbCr) {
        return None;
    }
    decoder.decode().ok()
}

fn unpack(bytes: &[u8], width: u32, height: u32) -> Result<Sheet, PictureFault> {
    let options = options();
    let mut headers = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    headers.decode_headers().map_err(|error| fault(&error))?;
    // the way to four channels is there for these alone
    let (space, layout) = match headers.input_colorspace() {
        Some(ColorSpace::YCbCr | ColorSpace::Luma) => (ColorSpace::RGBA, Layout::Rgba),
        _ => (ColorSpace::RGB, Layout::Rgb),
    };
    if headers.dimensions() != Some((width as usize, height as usize)) {
        return Err(PictureFault::Damaged("it states two sizes".into()));
    }
    // how colours are converted is settled when headers are read, so it cannot be asked for afterwards
    let options = options.jpeg_set_out_colorspace(space);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    let mut sheet = Sheet::new(width, height, layout);
    decoder.decode_into(sheet.decoded()).map_err(|error| fault(&error))?;
    Ok(sheet)
}

/// Says what is worth saying about pixels that can be used, or refuses them.
///
/// A few units fewer than there should be are damage: the codes after changed bytes yield more pixels from
/// fewer bits, or fewer from more. When more than a sixteenth is not there, the file was cut.
fn judge(arrival: Arrival, survey: &Survey<'_>, height: u32, care: Care) -> Result<Vec<Note>, PictureFault> {
    let lost = height - arrival.rows;
    let is_cut = !survey.has_end() || lost * 16 > height;
    let percent = percent(arrival.rows, height);
    let note = match (care, percent) {
        _ if !is_cut => (!arrival.is_sound).then_some(Note::Damaged),
        (Care::Whole, _) if arrival.ran_out => return Err(PictureFault::Truncated { percent }),
        (Care::Whole, _) => return Err(PictureFault::Damaged("its packed pixels make no sense".into())),
        (Care::Rest, Some(percent)) => Some(Note::Cut { percent }),
        (Care::Rest, None) if arrival.ran_out => Some(Note::Coarse),
        (Care::Rest, None) => Some(Note::NoEnd),
    };
    Ok(note.into_iter().collect())
}

/// Gives the whole percent of rows that are there, unless all are.
fn percent(rows: u32, height: u32) -> Option<u8> {
    (rows < height).then(|| u8::try_from(u64::from(rows) * 100 / u64::from(height)).unwrap_or(u8::MAX))
}

fn fault(error: &DecodeErrors) -> PictureFault {
    match error {
        DecodeErrors::ExhaustedData => PictureFault::Truncated { percent: None },
        DecodeErrors::Unsupported(_) => PictureFault::Format("a JPEG of a rare kind"),
        error => damage::from_text(&format!("{error:?}")),
    }
}
