//! Surveys a JPEG before it is unpacked: how it was compressed, what goes with it, and whether it ends.

use std::fmt;
use std::sync::Arc;

use image::metadata::Orientation;

use super::frame::Frame;
use super::segment::{Close, EXIF, PROFILE, QUANTISATION, SCAN, Segment, Segments};
use super::unpack::unpack_apart;
use crate::fault::PictureFault;
use crate::picture::limits;

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
    /// The file itself.
    pub(super) packed: Packed,
}

impl JpegFacts {
    /// Unpacks brightness and the two colours as they are stored, three bytes a pixel, before turning: where
    /// red, green and blue were cut off at black or full, these were not. None when they are not stored apart.
    pub fn unpacked_apart(&self) -> Option<Vec<u8>> {
        unpack_apart(&self.packed.0)
    }
}

/// The bytes of a file, told by their number alone. They are no part of what a picture equals: what follows its
/// end does not matter.
#[derive(Clone)]
pub(super) struct Packed(Arc<[u8]>);

impl PartialEq for Packed {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Packed {}

impl fmt::Debug for Packed {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} bytes", self.0.len())
    }
}

/// Natural index of each place in the zigzag order (T.81, figure A.6).
const ZIGZAG: [usize; 64] = [
    0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7,
    14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59, 52, 45, 38, 31, 39,
    46, 53, 60, 61, 54, 47, 55, 62, 63,
];

/// What stands before the pixels of the first picture in the file.
#[derive(Debug, Default)]
pub(super) struct Survey<'a> {
    frame: Option<Frame>,
    tables: [Option<[u16; 64]>; 4],
    /// The table of each component, once its pixels begin: a later table may reuse the number.
    settled: Vec<Option<[u16; 64]>>,
    exif: Option<&'a [u8]>,
    /// The parts of a colour profile with their numbers.
    profile: Vec<(u8, &'a [u8])>,
    is_broken: bool,
    has_end: bool,
}

/// Walks from the start marker to the end marker.
pub(super) fn survey(bytes: &[u8]) -> Survey<'_> {
    let mut survey = Survey::default();
    let mut segments = Segments::new(bytes);
    for segment in &mut segments {
        survey.take(&segment);
    }
    survey.is_broken |= segments.close() == Close::Broken;
    survey.has_end = segments.close() == Close::Marked;
    survey
}

impl<'a> Survey<'a> {
    fn take(&mut self, segment: &Segment<'a>) {
        let body = segment.body;
        match segment.marker {
            SCAN => self.settle(),
            QUANTISATION => self.take_tables(body),
            EXIF if self.exif.is_none() => self.exif = body.strip_prefix(b"Exif\0\0"),
            // a number and the count of all parts go before each part (ICC.1, annex B.4)
            PROFILE => {
                let part = body.strip_prefix(b"ICC_PROFILE\0").filter(|_| self.profile.len() < 255);
                if let Some([number, _, part @ ..]) = part {
                    self.profile.push((*number, part));
                }
            }
            _ if segment.is_frame() && self.frame.is_none() => {
                self.frame = Frame::read(segment);
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

    fn settle(&mut self) {
        let Some(frame) = &self.frame else { return };
        self.settled.resize(frame.parts.len(), None);
        for (part, settled) in frame.parts.iter().zip(&mut self.settled) {
            *settled = settled.or(self.tables.get(usize::from(part.quantisation)).copied().flatten());
        }
    }

    /// Gives the stated width and height.
    pub(super) fn size(&self) -> Option<(u32, u32)> {
        self.frame.as_ref().map(|frame| (frame.width, frame.height))
    }

    /// Refuses kinds of compression that are not read.
    pub(super) fn check(&self) -> Result<(), PictureFault> {
        if self.is_broken {
            return Err(PictureFault::Damaged("a part of it states an impossible length".into()));
        }
        match &self.frame {
            Some(frame) if frame.coding > 0xC2 => Err(PictureFault::Format("a JPEG of a rare kind")),
            Some(frame) if frame.bits != 8 => {
                Err(PictureFault::Format("a JPEG with more than 8 bits a sample"))
            }
            Some(frame) if !matches!(frame.parts.len(), 1 | 3 | 4) => {
                Err(PictureFault::Format("a JPEG of a rare kind"))
            }
            Some(_) => Ok(()),
            None if self.has_end => Err(PictureFault::Damaged("it holds no picture".into())),
            None => Err(PictureFault::Truncated { percent: None }),
        }
    }

    /// Says whether the end marker is there.
    pub(super) fn has_end(&self) -> bool {
        self.has_end
    }

    /// Says whether the pixels are inks: four components.
    pub(super) fn has_inks(&self) -> bool {
        self.frame.as_ref().is_some_and(|frame| frame.parts.len() == 4)
    }

    /// Gives the way the camera was held.
    pub(super) fn orientation(&self) -> Orientation {
        self.exif.and_then(Orientation::from_exif_chunk).unwrap_or(Orientation::NoTransforms)
    }

    /// Puts the parts of the colour profile together, or one byte more than is allowed of them.
    pub(super) fn profile(&self) -> Option<Vec<u8>> {
        let mut parts = self.profile.clone();
        parts.sort_by_key(|&(number, _)| number);
        let bytes = parts.iter().flat_map(|(_, part)| part.iter().copied());
        (!parts.is_empty()).then(|| bytes.take(limits::PROFILE_BYTES + 1).collect())
    }

    /// Gives the facts, when every component has its table.
    pub(super) fn into_facts(self, bytes: &[u8]) -> Option<JpegFacts> {
        let turned = self.orientation() != Orientation::NoTransforms;
        let frame = self.frame?;
        let progressive = frame.is_progressive();
        let sampling = |factor| u8::try_from(factor).unwrap_or(u8::MAX);
        let parts = frame.parts.iter().zip(self.settled);
        let components = parts.map(|(part, quantisation)| {
            let sampling = (sampling(part.across), sampling(part.down));
            Some(JpegComponent { quantisation: quantisation?, sampling })
        });
        let components = components.collect::<Option<Vec<_>>>().filter(|parts| !parts.is_empty())?;
        Some(JpegFacts { components, progressive, turned, packed: Packed(bytes.into()) })
    }
}
