//! Walks over the marker segments of a JPEG (ITU-T T.81, annex B).

use memchr::memchr;

pub(super) const END: u8 = 0xD9;
pub(super) const SCAN: u8 = 0xDA;
pub(super) const QUANTISATION: u8 = 0xDB;
pub(super) const HUFFMAN: u8 = 0xC4;
pub(super) const RESTART: u8 = 0xDD;
pub(super) const EXIF: u8 = 0xE1;
pub(super) const PROFILE: u8 = 0xE2;

/// A marker with its parameters, and the packed pixels behind it where a scan begins.
#[derive(Debug)]
pub(super) struct Segment<'a> {
    pub(super) marker: u8,
    pub(super) body: &'a [u8],
    pub(super) packed: &'a [u8],
}

impl Segment<'_> {
    /// Says whether it states a frame: 0xC4, 0xC8 and 0xCC are within the range and state something else.
    pub(super) fn is_frame(&self) -> bool {
        (0xC0..=0xCF).contains(&self.marker) && ![HUFFMAN, 0xC8, 0xCC].contains(&self.marker)
    }
}

/// How the walk ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Close {
    /// At the end marker.
    Marked,
    /// At the last byte.
    Missing,
    /// At a segment that states an impossible length.
    Broken,
}

/// The segments from the start marker to the end marker of the first picture in the file.
#[derive(Debug)]
pub(super) struct Segments<'a> {
    rest: &'a [u8],
    close: Option<Close>,
}

impl<'a> Segments<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self { rest: bytes.get(2..).unwrap_or_default(), close: None }
    }

    /// Says how the walk ended, once it has.
    pub(super) fn close(&self) -> Close {
        self.close.unwrap_or(Close::Missing)
    }

    fn step(&mut self) -> Result<Segment<'a>, Close> {
        let at = next_marker(self.rest).ok_or(Close::Missing)?;
        let (marker, after) = (self.rest[at], &self.rest[at + 1..]);
        if marker == END {
            return Err(Close::Marked);
        }
        let length = usize::from(u16::from_be_bytes(*after.first_chunk().ok_or(Close::Missing)?));
        if length < 2 {
            return Err(Close::Broken);
        }
        let body = after.get(2..length).ok_or(Close::Missing)?;
        self.rest = &after[length..];
        let packed = if marker == SCAN { self.take_packed() } else { &[] };
        Ok(Segment { marker, body, packed })
    }

    /// Takes the bytes up to the next marker.
    fn take_packed(&mut self) -> &'a [u8] {
        // the code follows 0xFF, perhaps several of them
        let end = next_marker(self.rest).map_or(self.rest.len(), |code| code - 1);
        let (packed, rest) = self.rest.split_at(end);
        self.rest = rest;
        packed
    }
}

impl<'a> Iterator for Segments<'a> {
    type Item = Segment<'a>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.close.is_some() {
            return None;
        }
        self.step().map_err(|close| self.close = Some(close)).ok()
    }
}

/// Finds the code of the next marker that is more than part of the packed pixels.
///
/// Within those 0xFF is followed by 0 or is a restart marker; 0xFF may be repeated before a marker.
fn next_marker(bytes: &[u8]) -> Option<usize> {
    let mut at = 0;
    loop {
        at += memchr(0xFF, bytes.get(at..)?)? + 1;
        match *bytes.get(at)? {
            0xFF => {}
            0 | 1 | 0xD0..=0xD8 => at += 1,
            _ => return Some(at),
        }
    }
}
