//! What the frame header of a JPEG states (ITU-T T.81, annex B.2.2), and how its blocks lie (annex A.2).

use super::segment::Segment;

/// A frame header.
#[derive(Debug)]
pub(super) struct Frame {
    pub(super) coding: u8,
    pub(super) bits: u8,
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) parts: Vec<Part>,
}

/// A component as the frame header names it.
#[derive(Debug)]
pub(super) struct Part {
    pub(super) name: u8,
    pub(super) across: u32,
    pub(super) down: u32,
    pub(super) quantisation: u8,
}

impl Frame {
    /// Reads precision, height, width, and three bytes for each component (T.81, figure B.3).
    pub(super) fn read(segment: &Segment<'_>) -> Option<Self> {
        let (&[bits, y1, y0, x1, x0, count], parts) = segment.body.split_first_chunk::<6>()?;
        let parts = parts.get(..usize::from(count) * 3)?;
        let part = |&[name, sampling, quantisation]: &[u8; 3]| {
            let (across, down) = (u32::from(sampling >> 4), u32::from(sampling & 15));
            Part { name, across, down, quantisation }
        };
        Some(Self {
            coding: segment.marker,
            bits,
            width: u16::from_be_bytes([x1, x0]).into(),
            height: u16::from_be_bytes([y1, y0]).into(),
            parts: parts.as_chunks().0.iter().map(part).collect(),
        })
    }

    pub(super) fn is_progressive(&self) -> bool {
        self.coding == 0xC2
    }

    /// Says whether there are columns, and the sampling factors are within the standard's 1 to 4.
    pub(super) fn is_possible(&self) -> bool {
        let within = |factor| (1..=4).contains(&factor);
        self.width > 0
            && !self.parts.is_empty()
            && self.parts.iter().all(|part| within(part.across) && within(part.down))
    }

    /// Gives the units of all components together: how many across and how many down.
    pub(super) fn units(&self) -> (u32, u32) {
        let (across, down) = self.most();
        (self.width.div_ceil(8 * across), self.height.div_ceil(8 * down))
    }

    /// Gives the blocks of one component that hold pixels: how many across and how many down.
    pub(super) fn blocks(&self, part: usize) -> (u32, u32) {
        let (across, down) = self.most();
        let part = &self.parts[part];
        let samples = |side: u32, own: u32, most: u32| (side * own).div_ceil(most);
        let width = samples(self.width, part.across, across);
        (width.div_ceil(8), samples(self.height, part.down, down).div_ceil(8))
    }

    /// Gives the rows of pixels that a row of units covers, of one component or of all.
    pub(super) fn rows_of_unit(&self, part: Option<usize>) -> u32 {
        let (_, most) = self.most();
        part.map_or(8 * most, |part| 8 * most / self.parts[part].down)
    }

    fn most(&self) -> (u32, u32) {
        let most = |factor: fn(&Part) -> u32| self.parts.iter().map(factor).max().unwrap_or(1);
        (most(|part| part.across), most(|part| part.down))
    }
}
