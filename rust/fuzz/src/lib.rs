//! What all targets need: a panic of our own code is a finding even where a net would catch it.

pub mod picture;

use std::panic;
use std::process;

use squarewright::fault::Error;

/// Ends the process at the first panic that comes from the core itself.
///
/// Decoders of others may panic: a net in the core turns that into a coded error. The walk through a JPEG and
/// all else behind that net is ours, and would fail unseen.
pub fn watch_our_own() {
    panic::set_hook(Box::new(|panic| {
        let ours = panic.location().is_some_and(|place| place.file().contains("squarewright/src"));
        eprintln!("{panic}");
        if ours {
            process::abort();
        }
    }));
}

/// Checks that an error can be shown: it has a code, a sentence and what to do.
///
/// # Panics
/// When one of them is missing.
pub fn check(error: &Error) {
    assert!(!error.code().is_empty());
    assert!(!error.to_string().is_empty());
    assert!(!error.hint().is_empty());
}
