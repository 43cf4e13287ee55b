//! Reads the packed pixels of a JPEG bit by bit (ITU-T T.81, annex F.2.2.5).

/// The bits end before the pixels do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Exhausted;

/// A reader of the bits between two restart markers.
#[derive(Debug)]
pub(super) struct Bits<'a> {
    bytes: &'a [u8],
    at: usize,
    /// The next bits, the first of them on top.
    held: u64,
    count: u32,
}

impl<'a> Bits<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0, held: 0, count: 0 }
    }

    /// Gives the next 32 bits, the first on top, zeros where there are no more.
    pub(super) fn peek(&mut self) -> u32 {
        if self.count < 32 {
            self.fill();
        }
        (self.held >> 32) as u32
    }

    /// Passes `count` bits, at most 32, that were looked at before.
    pub(super) fn pass(&mut self, count: u32) -> Result<(), Exhausted> {
        if count > self.count {
            return Err(Exhausted);
        }
        self.held <<= count;
        self.count -= count;
        Ok(())
    }

    /// Takes up to 16 bits as a number.
    pub(super) fn take(&mut self, count: u32) -> Result<u32, Exhausted> {
        let number = if count == 0 { 0 } else { self.peek() >> (32 - count) };
        self.pass(count)?;
        Ok(number)
    }

    /// Gives the place of the next bit, near enough to tell neighbours from strangers.
    pub(super) fn place(&self) -> usize {
        self.at * 8 - self.count as usize
    }

    /// Says whether nothing but the padding of the last byte is left before the next marker.
    pub(super) fn is_spent(&self) -> bool {
        self.count < 8 && self.next_byte().is_none()
    }

    /// Moves behind the next restart marker and gives its number, 0 to 7.
    pub(super) fn restart(&mut self) -> Option<u8> {
        (self.held, self.count) = (0, 0);
        while let Some((_, next)) = self.next_byte() {
            self.at = next;
        }
        let at = self.at + self.bytes.get(self.at..)?.iter().position(|&byte| byte != 0xFF)?;
        self.at = at + 1;
        Some(self.bytes[at] & 7)
    }

    fn fill(&mut self) {
        if let Some(word) = self.bytes.get(self.at..).and_then(<[u8]>::first_chunk::<4>)
            && let word = u32::from_be_bytes(*word)
            && !has_marker(word)
        {
            self.held |= u64::from(word) << (32 - self.count);
            self.count += 32;
            self.at += 4;
            return;
        }
        while self.count <= 56
            && let Some((byte, next)) = self.next_byte()
        {
            self.held |= u64::from(byte) << (56 - self.count);
            self.count += 8;
            self.at = next;
        }
    }

    /// Gives the next byte and the place behind it; nothing at a marker.
    fn next_byte(&self) -> Option<(u8, usize)> {
        match (*self.bytes.get(self.at)?, self.bytes.get(self.at + 1)) {
            (0xFF, Some(0)) => Some((0xFF, self.at + 2)),
            (0xFF, _) => None,
            (byte, _) => Some((byte, self.at + 1)),
        }
    }
}

/// Says whether one of the four bytes is 0xFF.
fn has_marker(word: u32) -> bool {
    let zeros = !word;
    zeros.wrapping_sub(0x0101_0101) & word & 0x8080_8080 != 0
}
