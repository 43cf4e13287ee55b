//! Walks over a JPEG (ITU-T T.81, annex B): how it was compressed, and whether it ends.
//!
//! Decoders paint what is missing grey and say nothing, so the end is looked for here.

use image::metadata::Orientation;

use super::note::Note;
use crate::fault::PictureFault;

/// How one colour component was compressed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JpegComponent {
    /// Divisors of the 64 frequencies, in natural order: row by row, across first.
    pub quantisation: [u16; 64],
    /// Samples across and down, relative to the other components.
    pub sampling: (u8, u8),
}

/// How a JPEG was compressed, as stored in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JpegFacts {
    /// The components: brightness first, then two of colour; one alone in a grey picture.
    pub components: Vec<JpegComponent>,
    /// Whether the picture is stored coarse to fine.
    pub progressive: bool,
    /// Whether the pixels were turned or mirrored after decoding, so that the 8 × 8 blocks no longer begin
    /// at the top left.
    pub turned: bool,
}

/// Natural index of each place in the zigzag order (T.81, figure A.6).
const ZIGZAG: [usize; 64] = [
    0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7,
    14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59, 52, 45, 38, 31, 39,
    46, 53, 60, 61, 54, 47, 55, 62, 63,
];

const END: u8 = 0xD9;
const SCAN: u8 = 0xDA;
const TABLES: u8 = 0xDB;
const EXIF: u8 = 0xE1;
const PROFILE: u8 = 0xE2;

/// What a walk over the first picture in the file has found.
#[derive(Debug, Default)]
pub(super) struct Survey<'a> {
    frame: Option<Frame>,
    tables: [Option<[u16; 64]>; 4],
    exif: Option<&'a [u8]>,
    has_profile: bool,
    has_end: bool,
    is_broken: bool,
}

/// The frame header.
#[derive(Debug)]
struct Frame {
    coding: u8,
    bits: u8,
    width: u32,
    height: u32,
    components: Vec<Part>,
}

/// A component as the frame header names it.
#[derive(Debug)]
struct Part {
    sampling: (u8, u8),
    table: usize,
    quantisation: Option<[u16; 64]>,
}

/// Walks from the start marker to the end marker.
pub(super) fn survey(bytes: &[u8]) -> Survey<'_> {
    let mut survey = Survey::default();
    let mut rest = bytes.get(2..).unwrap_or_default();
    while let Some((marker, after)) = next_marker(rest) {
        if marker == END {
            survey.has_end = true;
            break;
        }
        let Some((length, _)) = after.split_first_chunk::<2>() else { break };
        let length = usize::from(u16::from_be_bytes(*length));
        if length < 2 {
            survey.is_broken = true;
            break;
        }
        let Some(body) = after.get(2..length) else { break };
        survey.take(marker, body);
        rest = &after[length..];
    }
    survey
}

/// Finds the next marker that is more than part of compressed data.
///
/// Within compressed data 0xFF is followed by 0 or is a restart marker; 0xFF may be repeated before a marker.
fn next_marker(mut bytes: &[u8]) -> Option<(u8, &[u8])> {
    loop {
        let at = bytes.iter().position(|&byte| byte == 0xFF)?;
        bytes = &bytes[at + 1..];
        match *bytes.first()? {
            0xFF => {}
            0 | 1 | 0xD0..=0xD8 => bytes = &bytes[1..],
            marker => return Some((marker, &bytes[1..])),
        }
    }
}

impl<'a> Survey<'a> {
    fn take(&mut self, marker: u8, body: &'a [u8]) {
        match marker {
            SCAN => self.settle(),
            TABLES => self.take_tables(body),
            EXIF if self.exif.is_none() => self.exif = body.strip_prefix(b"Exif\0\0"),
            PROFILE => self.has_profile |= body.starts_with(b"ICC_PROFILE\0"),
            // 0xC4, 0xC8 and 0xCC are within the range but state no frame
            0xC0..=0xCF if ![0xC4, 0xC8, 0xCC].contains(&marker) && self.frame.is_none() => {
                self.frame = Frame::read(marker, body);
                self.is_broken |= self.frame.is_none();
            }
            _ => {}
        }
    }

    /// Takes the tables of one segment: a byte of precision and number, then 64 values in zigzag order.
    fn take_tables(&mut self, mut body: &[u8]) {
        while let Some((&head, values)) = body.split_first() {
            let width = if head >> 4 == 0 { 1 } else { 2 };
            let Some((values, rest)) = values.split_at_checked(64 * width) else { return };
            let mut table = [0; 64];
            for (value, natural) in values.chunks_exact(width).zip(ZIGZAG) {
                table[natural] = value.iter().fold(0, |sum, &byte| sum << 8 | u16::from(byte));
            }
            if let Some(slot) = self.tables.get_mut(usize::from(head & 15)) {
                *slot = Some(table);
            }
            body = rest;
        }
    }

    /// Gives each component its table when compressed data begins: a later table may reuse the number.
    fn settle(&mut self) {
        for part in self.frame.iter_mut().flat_map(|frame| &mut frame.components) {
            if part.quantisation.is_none() {
                part.quantisation = self.tables.get(part.table).copied().flatten();
            }
        }
    }

    /// Gives the stated width and height.
    pub(super) fn size(&self) -> Option<(u32, u32)> {
        self.frame.as_ref().map(|frame| (frame.width, frame.height))
    }

    /// Refuses a picture that does not end, and kinds of compression that are not read.
    pub(super) fn check(&self) -> Result<(), PictureFault> {
        if self.is_broken {
            return Err(PictureFault::Damaged("a part of it states an impossible length".into()));
        }
        match &self.frame {
            Some(frame) if frame.coding > 0xC2 => Err(PictureFault::Format("a JPEG of a rare kind")),
            Some(frame) if frame.bits != 8 => {
                Err(PictureFault::Format("a JPEG with more than 8 bits a sample"))
            }
            _ if !self.has_end => Err(PictureFault::Truncated),
            None => Err(PictureFault::Damaged("it holds no picture".into())),
            Some(_) => Ok(()),
        }
    }

    /// Gives the way the camera was held.
    pub(super) fn orientation(&self) -> Orientation {
        self.exif.and_then(Orientation::from_exif_chunk).unwrap_or(Orientation::NoTransforms)
    }

    /// Gives what is worth saying.
    pub(super) fn notes(&self) -> Vec<Note> {
        if self.has_profile { vec![Note::ProfileNotApplied] } else { Vec::new() }
    }

    /// Gives the facts, when every component has its table.
    pub(super) fn into_facts(self) -> Option<JpegFacts> {
        let turned = self.orientation() != Orientation::NoTransforms;
        let frame = self.frame?;
        let progressive = frame.coding == 0xC2;
        let part =
            |part: Part| Some(JpegComponent { quantisation: part.quantisation?, sampling: part.sampling });
        let components = frame.components.into_iter().map(part).collect::<Option<Vec<_>>>()?;
        Some(JpegFacts { components, progressive, turned })
    }
}

impl Frame {
    /// Reads precision, height, width, and three bytes for each component (T.81, figure B.3).
    fn read(coding: u8, body: &[u8]) -> Option<Self> {
        let (&[bits, y1, y0, x1, x0, count], parts) = body.split_first_chunk::<6>()?;
        let parts = parts.get(..usize::from(count) * 3)?;
        let part = |&[_, sampling, table]: &[u8; 3]| Part {
            sampling: (sampling >> 4, sampling & 15),
            table: usize::from(table),
            quantisation: None,
        };
        Some(Self {
            coding,
            bits,
            width: u16::from_be_bytes([x1, x0]).into(),
            height: u16::from_be_bytes([y1, y0]).into(),
            components: parts.as_chunks().0.iter().map(part).collect(),
        })
    }
}
