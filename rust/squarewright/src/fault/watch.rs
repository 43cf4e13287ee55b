//! Watching long work: progress out, a wish to stop in.

use std::ops::ControlFlow;

use super::{Error, Result};

/// Follows long work and may ask it to stop.
pub trait Watch: Sync {
    /// Takes the share of the work that is done, 0 to 1, and says whether to go on.
    fn tick(&self, done: f32) -> ControlFlow<()>;

    /// Ticks, and turns a wish to stop into [`Error::Stopped`].
    ///
    /// # Errors
    /// [`Error::Stopped`] when the watcher asks to stop.
    fn check(&self, done: f32) -> Result<()> {
        if self.tick(done).is_break() { Err(Error::Stopped) } else { Ok(()) }
    }
}

/// The watcher that never stops anything.
#[derive(Debug, Clone, Copy, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn tick(&self, _done: f32) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }
}

/// A part of longer work: what is done of it is told as its share of the whole.
#[derive(Clone, Copy)]
pub struct Part<'a> {
    whole: &'a dyn Watch,
    from: f32,
    to: f32,
}

impl<'a> Part<'a> {
    /// Watches the part between two shares of the whole.
    pub fn new(whole: &'a dyn Watch, from: f32, to: f32) -> Self {
        Self { whole, from, to }
    }
}

impl std::fmt::Debug for Part<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Part").field("from", &self.from).field("to", &self.to).finish_non_exhaustive()
    }
}

impl Watch for Part<'_> {
    fn tick(&self, done: f32) -> ControlFlow<()> {
        self.whole.tick(self.from + (self.to - self.from) * done.clamp(0.0, 1.0))
    }
}
