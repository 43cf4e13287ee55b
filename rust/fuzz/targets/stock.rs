//! Any bytes as a list of paints; what is read is written and read again.
#![no_main]

use libfuzzer_sys::fuzz_target;
use squarewright::paint::{Format, Stock};
use squarewright_fuzz::{check, watch_our_own};

fuzz_target!(init: watch_our_own(), |data: &[u8]| {
    let format = Format::of("", data);
    for decimal in ['.', ','] {
        match Stock::read(data, format, decimal) {
            Ok(stock) => {
                let text = stock.to_text(Format::Toml);
                let again = Stock::read(text.as_bytes(), Format::Toml, '.').expect("what was written is read");
                assert_eq!(again.paints(), stock.paints(), "{text}");
            }
            Err(error) => check(&error),
        }
    }
});
