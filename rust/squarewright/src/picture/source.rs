//! Bytes that a decoder reads from, with a watcher that may call a halt.

use std::cell::Cell;
use std::io::{self, BufRead, Cursor, Read, Seek, SeekFrom};

use crate::fault::Watch;

/// Bytes handed out between two looks at the watcher.
const STRIDE: u64 = 64 << 10;

/// Reads bytes, tells the watcher how far it has come and stops when asked to.
pub(super) struct Source<'a> {
    bytes: Cursor<&'a [u8]>,
    due: u64,
    watch: &'a dyn Watch,
    stopped: &'a Cell<bool>,
}

impl<'a> Source<'a> {
    /// Starts at the front; `stopped` becomes true when the watcher asks to stop.
    pub(super) fn new(bytes: &'a [u8], watch: &'a dyn Watch, stopped: &'a Cell<bool>) -> Self {
        Self { bytes: Cursor::new(bytes), due: 0, watch, stopped }
    }

    /// Asks the watcher once per stride: decoders that read byte by byte would otherwise ask all the time.
    fn look(&mut self) -> io::Result<()> {
        let at = self.bytes.position();
        if at < self.due {
            return Ok(());
        }
        self.due = at + STRIDE;
        let whole = self.bytes.get_ref().len().max(1);
        if self.watch.tick((at as f32 / whole as f32).min(1.0)).is_break() {
            self.stopped.set(true);
            // not `Interrupted`, which readers take as a reason to try again
            return Err(io::Error::other("stopped"));
        }
        Ok(())
    }
}

impl Read for Source<'_> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let read = self.fill_buf()?.read(out)?;
        self.consume(read);
        Ok(read)
    }
}

impl BufRead for Source<'_> {
    #[expect(clippy::cast_possible_truncation, reason = "a stride fits in any usize")]
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        self.look()?;
        let rest = self.bytes.fill_buf()?;
        Ok(&rest[..rest.len().min(STRIDE as usize)])
    }

    fn consume(&mut self, amount: usize) {
        self.bytes.consume(amount);
    }
}

impl Seek for Source<'_> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let at = self.bytes.seek(to)?;
        // going back must not silence the watcher until the old place is reached again
        self.due = self.due.min(at + STRIDE);
        Ok(at)
    }
}
