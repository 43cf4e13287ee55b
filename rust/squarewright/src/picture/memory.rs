//! Memory for pixels.
//!
//! A system hands out memory page by page, when it is first written to: for 12 megapixels 12,000 times, which
//! takes a sixth of the time in which a JPEG becomes cells. Linux has pages 512 times as large for whoever asks.

use std::fmt;
use std::ops::{Deref, DerefMut};

#[cfg(target_os = "linux")]
use memmap2::{Advice, MmapMut};

/// From so many bytes on large pages are asked for; smaller memory comes back from one picture to the next.
#[cfg(target_os = "linux")]
const LARGE: usize = 1 << 24;

/// The bytes of pixels.
pub(super) enum Memory {
    /// As any other memory.
    Plain(Vec<u8>),
    /// In large pages, where the system has them.
    #[cfg(target_os = "linux")]
    Large(MmapMut),
}

impl Memory {
    /// Takes memory that holds zeros.
    pub(super) fn zeroed(length: usize) -> Self {
        #[cfg(target_os = "linux")]
        if length >= LARGE
            && let Ok(memory) = MmapMut::map_anon(length)
        {
            // A system without large pages refuses, and the memory is as good as any.
            let _ = memory.advise(Advice::HugePage);
            return Self::Large(memory);
        }
        Self::Plain(vec![0; length])
    }

    /// Keeps the first bytes of plain memory alone; large pages are as long as they are.
    pub(super) fn cut(&mut self, length: usize) {
        match self {
            Self::Plain(bytes) => {
                bytes.truncate(length);
                bytes.shrink_to_fit();
            }
            #[cfg(target_os = "linux")]
            Self::Large(_) => {}
        }
    }
}

impl From<Vec<u8>> for Memory {
    fn from(bytes: Vec<u8>) -> Self {
        Self::Plain(bytes)
    }
}

impl Deref for Memory {
    type Target = [u8];

    fn deref(&self) -> &[u8] {
        match self {
            Self::Plain(bytes) => bytes,
            #[cfg(target_os = "linux")]
            Self::Large(memory) => memory,
        }
    }
}

impl DerefMut for Memory {
    fn deref_mut(&mut self) -> &mut [u8] {
        match self {
            Self::Plain(bytes) => bytes,
            #[cfg(target_os = "linux")]
            Self::Large(memory) => memory,
        }
    }
}

impl Clone for Memory {
    fn clone(&self) -> Self {
        let mut copy = Self::zeroed(self.len());
        copy.copy_from_slice(self);
        copy
    }
}

impl PartialEq for Memory {
    fn eq(&self, other: &Self) -> bool {
        **self == **other
    }
}

impl fmt::Debug for Memory {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} bytes", self.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn memory_of_any_size_holds_zeros_and_then_what_is_written() {
        for length in [0, 5, 1 << 12, (1 << 24) - 1, 1 << 24, (1 << 24) + 4097] {
            let mut memory = Memory::zeroed(length);
            assert!(memory.len() == length && memory.iter().all(|&byte| byte == 0), "{length} bytes");
            let bytes: Vec<u8> = (0..length).map(|place| place.to_le_bytes()[0] ^ 7).collect();
            memory.copy_from_slice(&bytes);
            assert!(memory == bytes.clone().into(), "{length} bytes");
            let copy = memory.clone();
            memory.fill(0);
            assert!(*copy == *bytes, "{length} bytes, copied");
        }
    }
}
