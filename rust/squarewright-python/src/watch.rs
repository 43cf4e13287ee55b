//! Long work on a thread of its own, so that Ctrl-C and progress are seen while it runs.

use std::ops::ControlFlow;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use pyo3::prelude::*;
use squarewright::fault::{Result, Watch};

use crate::failure::{Failure, internal};
use crate::panic;

/// How often the calling thread looks up.
const BEAT: Duration = Duration::from_millis(20);

/// What the two threads tell each other.
#[derive(Debug, Default)]
struct Signal {
    stop: AtomicBool,
    done: AtomicU32,
}

impl Watch for Signal {
    fn tick(&self, done: f32) -> ControlFlow<()> {
        // Of numbers from 0 on, the larger has the larger bits; what is done stays done.
        self.done.fetch_max(done.to_bits(), Ordering::Relaxed);
        if self.stop.load(Ordering::Relaxed) { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }
}

/// Runs `work` on another thread; `progress` is called with the share that is done.
///
/// On Ctrl-C, or when `progress` raises, the work is told to stop and the exception goes to the caller at
/// once: the work owns its data and its result is dropped.
pub(crate) fn run<T: Send + 'static>(
    py: Python<'_>,
    name: Option<&str>,
    progress: Option<&Bound<'_, PyAny>>,
    work: impl FnOnce(&dyn Watch) -> Result<T> + Send + 'static,
) -> PyResult<T> {
    let signal = Arc::new(Signal::default());
    let (sender, mut receiver) = channel();
    let worker = Arc::clone(&signal);
    thread::Builder::new().name("squarewright".into()).spawn(move || {
        let result = catch_unwind(AssertUnwindSafe(|| work(&*worker))).map_err(|panic| panic::words(&*panic));
        // The caller may have gone after Ctrl-C.
        let _ = sender.send(result);
    })?;
    loop {
        let waiting = &mut receiver;
        match py.detach(move || waiting.recv_timeout(BEAT)) {
            Ok(Ok(result)) => {
                let value = result.map_err(|error| Failure::named(error, name))?;
                tell(progress, 1.0)?;
                return Ok(value);
            }
            Ok(Err(words)) => return Err(internal(&words)),
            Err(RecvTimeoutError::Disconnected) => return Err(internal("a worker vanished")),
            Err(RecvTimeoutError::Timeout) => {}
        }
        let done = f32::from_bits(signal.done.load(Ordering::Relaxed));
        let begun = progress.filter(|_| done > 0.0);
        if let Err(error) = py.check_signals().and_then(|()| tell(begun, done)) {
            signal.stop.store(true, Ordering::Relaxed);
            return Err(error);
        }
    }
}

pub(crate) fn tell(progress: Option<&Bound<'_, PyAny>>, done: f32) -> PyResult<()> {
    progress.map_or(Ok(()), |progress| progress.call1((done,)).map(drop))
}

/// Runs short work and turns a panic into an exception.
pub(crate) fn guard<T>(work: impl FnOnce() -> Result<T>) -> PyResult<T> {
    match catch_unwind(AssertUnwindSafe(work)) {
        Ok(result) => Ok(result.map_err(Failure::from)?),
        Err(panic) => Err(internal(&panic::words(&*panic))),
    }
}
