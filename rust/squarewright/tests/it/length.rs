//! Lengths: exact by definition (1 in = 25.4 mm, ISO 80000-3 from memory).

use proptest::prelude::*;
use squarewright::length::{Length, Ratio, Ruler, parse};

#[test]
fn the_same_length_written_differently_is_the_same() {
    for text in ["3/16 in", "0.1875 in", "3/16\"", "0,1875 in", "4.7625 mm", "3/16 inch", "0 ft 3/16 in"] {
        assert_eq!(Length::parse(text, "length").unwrap(), Length::inches(3, 16), "{text}");
    }
    assert_eq!(Length::parse("1 ft 6 1/2 in", "length").unwrap(), Length::inches(37, 2));
    assert_eq!(Length::parse("1 in", "length").unwrap(), Length::parse("25.4 mm", "length").unwrap());
}

#[test]
fn what_is_no_length_is_refused() {
    for text in [
        "8",
        "",
        "in",
        "1/0 in",
        "nan mm",
        "inf in",
        "1,000 mm",
        "1 2 in",
        "3/2/1 in",
        "5 furlongs",
        "1e3 mm",
    ] {
        assert_eq!(parse(text, "pitch").unwrap_err().code(), "SIZE-BAD", "{text}");
    }
}

proptest! {
    #[test]
    fn what_is_printed_reads_back_the_same(top in -1_000_000_i128..1_000_000_000, bottom in 1_i128..1000) {
        let ratio = Ratio::new(top, bottom);
        let bounded = ratio.denominator() * 3_657_600 <= 1_000_000 || ratio.denominator() < 1_000;
        prop_assume!(bounded);
        prop_assert_eq!(parse(&ratio.to_string(), "length").unwrap(), ratio);
    }
}

#[test]
fn a_ruler_writes_the_nearest_line_or_the_next_one() {
    let metric = Ruler::parse("1 mm").unwrap();
    assert_eq!(
        (metric.near(Length::inches(1, 4)), metric.above(Length::inches(1, 4))),
        ("6 mm".into(), "7 mm".into())
    );
    let inch = Ruler::default();
    assert_eq!(
        (inch.near(Length::inches(1, 4)), inch.above(Length::inches(1, 4))),
        ("1/4 in".into(), "1/4 in".into())
    );
    assert_eq!(inch.above(Length::hundredths_mm(500)), "1/4 in");
}
