//! What is told about a panic: nothing on standard error, its place in the exception.

use std::any::Any;
use std::cell::Cell;
use std::panic;

use pyo3::prelude::*;

use crate::watch::{guard, run};

thread_local! {
    /// Where the last panic of this thread began.
    static PLACE: Cell<Option<String>> = const { Cell::new(None) };
}

/// Keeps panics off standard error: decoders that meet nonsense panic in the course of things.
///
/// The hook belongs to this library alone, as it has a standard library of its own.
pub(crate) fn hush() {
    panic::set_hook(Box::new(|info| {
        let place = info.location().map(|place| {
            let file = place.file().rsplit(['/', '\\']).next().unwrap_or_default();
            format!("{file}, line {}", place.line())
        });
        PLACE.set(place);
    }));
}

/// Says what a panic of this thread said, and where.
pub(crate) fn words(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(ToString::to_string);
    let text = text.or_else(|| panic.downcast_ref::<String>().cloned());
    let place = PLACE.take().map_or_else(String::new, |place| format!(" ({place})"));
    format!("{}{place}", text.as_deref().unwrap_or("no words for it"))
}

/// Panic on purpose, so that tests can see what becomes of it.
#[pyfunction]
#[pyo3(name = "_panic")]
pub(crate) fn panic_on_purpose(py: Python<'_>, on_worker: bool) -> PyResult<()> {
    if on_worker { run(py, None, None, |_| panic!("on purpose")) } else { guard(|| panic!("on purpose")) }
}
