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
