//! Any text as a plan; what is read is written, and gives the same text from then on.
#![no_main]

use libfuzzer_sys::fuzz_target;
use squarewright::plan::Plan;
use squarewright_fuzz::{check, watch_our_own};

fuzz_target!(init: watch_our_own(), |text: &str| {
    match Plan::from_json(text) {
        Ok(plan) => {
            let written = plan.to_json();
            let again = Plan::from_json(&written).expect("what was written is read");
            assert_eq!(again.to_json(), written);
        }
        Err(error) => check(&error),
    }
});
