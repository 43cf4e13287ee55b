//! Any bytes as a picture file: whole, then what is left of them.
#![no_main]

use libfuzzer_sys::fuzz_target;
use squarewright::fault::Unwatched;
use squarewright::picture::{decode, rescue};
use squarewright_fuzz::{check, watch_our_own};

fuzz_target!(init: watch_our_own(), |data: &[u8]| {
    for read in [decode, rescue] {
        match read(data, &Unwatched) {
            Ok(picture) => {
                let pixels = u64::from(picture.width()) * u64::from(picture.height());
                assert!(pixels > 0 && picture.pixels().len() as u64 == pixels * 4);
            }
            Err(error) => check(&error),
        }
    }
});
