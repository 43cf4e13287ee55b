//! Lists of paints: what is read, what is refused and where, and what is written.

use proptest::prelude::*;
use squarewright::fault::Error;
use squarewright::paint::{Format, Opacity, Paint, Price, Stock, Tint};

use super::rgb;

fn refused(text: &[u8], format: Format, decimal: char) -> String {
    let error = Stock::read(text, format, decimal).expect_err("a bad list");
    assert!(matches!(error, Error::Stock(_)), "{error:?}");
    format!("{} {error}", error.code())
}

fn csv(text: &str) -> String {
    refused(text.as_bytes(), Format::Csv, '.')
}

fn full() -> Stock {
    let tint = Some(Tint { colour: rgb("#7f8fd6"), share: 0.1, white: rgb("#f4f3ee") });
    let price = |amount| Some(Price { amount, currency: "EUR".into() });
    Stock::new(vec![
        Paint {
            owned: false,
            ml: Some(59.0),
            price: price(4.5),
            tint,
            ..Paint::new("blue; deep, \"dark\"", rgb("#2b3a93"))
        },
        Paint { opacity: Some(Opacity::Half), strength: Some(0.6), ..Paint::new("=black", rgb("#262626")) },
    ])
    .expect("a stock")
}

#[test]
fn what_is_written_is_read_back_the_same() {
    for format in [Format::Toml, Format::Csv] {
        for stock in [full(), Stock::new(Stock::basic().paints().to_vec()).unwrap()] {
            let text = stock.to_text(format);
            assert_eq!(Stock::read(text.as_bytes(), format, '.').unwrap(), stock, "{text}");
        }
    }
    let palette = Stock::basic().to_text(Format::Gpl);
    let read = Stock::read(palette.as_bytes(), Format::Gpl, '.').unwrap();
    assert_eq!(read.paints(), Stock::basic().paints());
}

#[test]
fn a_table_is_read_with_either_sign_and_in_every_encoding_of_unicode() {
    let text = "name;colour;ml;price;owned\r\nrot;#b3202b;59;4,50 €;ja\r\n".replace("ja", "yes");
    let wide = |unit: fn(u16) -> [u8; 2], mark: u16| -> Vec<u8> {
        [mark].into_iter().chain(text.encode_utf16()).flat_map(unit).collect()
    };
    let marked = [b"\xef\xbb\xbf", text.as_bytes()].concat();
    for bytes in
        [text.clone().into_bytes(), marked, wide(u16::to_le_bytes, 0xfeff), wide(u16::to_be_bytes, 0xfeff)]
    {
        let stock = Stock::read(&bytes, Format::Csv, ',').unwrap();
        let price = stock.paints()[0].price.clone().expect("a price");
        assert_eq!((price.amount.to_string().as_str(), price.currency.as_str()), ("4.5", "€"));
    }
}

#[test]
fn a_wrong_column_is_named_with_its_row() {
    assert!(csv("red,#b3202b\n").starts_with("STOCK-COLUMN row 1: there is no header"));
    assert_eq!(csv("name,owned\nred,yes\n"), "STOCK-COLUMN row 1: there is no column colour");
    assert!(csv("name,colours\nred,#b3202b\n").contains("did you mean colour?"));
    assert!(csv("name,colour,name\n").starts_with("STOCK-COLUMN row 1, column \"name\""));
    assert!(csv("name,colour\nred,#b3202b,7\n").starts_with("STOCK-COLUMN row 2: 3 fields"));
    assert!(csv("name,colour\n,#b3202b\n").starts_with("STOCK-COLUMN row 2, column name"));
    assert_eq!(csv("name,colour\n"), "STOCK-EMPTY has no paints");
}

#[test]
fn a_second_paint_of_one_name_is_named_with_both_rows() {
    let got = csv("name,colour\nred,#b3202b\nblue,#2b3a93\n RED ,#ff0000\n");
    assert_eq!(got, "STOCK-DUPLICATE row 4, column name: the name \"RED\" stands in row 2 already");
}

#[test]
fn what_is_no_colour_is_named_with_its_row_and_column() {
    for bad in ["#GG0000", "300", "", "red"] {
        let got = csv(&format!("name,colour\nred,#b3202b\nblue,{bad}\n"));
        assert!(got.starts_with("STOCK-COLOUR row 3, column colour"), "{got}");
    }
    let got = refused(b"[[paint]]\nname = \"red\"\ncolour = 300\n", Format::Toml, '.');
    assert!(got.starts_with("STOCK-COLOUR paint 1, column colour"), "{got}");
}

#[test]
fn a_price_follows_the_declared_sign_and_one_currency() {
    let list = |price: &str| format!("name;colour;price\nred;#b3202b;{price}\n");
    assert!(csv(&list("4,50")).starts_with("STOCK-PRICE row 2, column price"));
    assert!(refused(list("4.50").as_bytes(), Format::Csv, ',').starts_with("STOCK-PRICE"));
    assert!(csv(&list("-1")).starts_with("STOCK-PRICE"));
    assert!(csv(&list("cheap")).starts_with("STOCK-PRICE"));
    let mixed = "name,colour,price,currency\nred,#b3202b,4.50,EUR\nblue,#2b3a93,5.00,USD\n";
    assert!(
        csv(mixed).starts_with("STOCK-PRICE row 3, column price: the price is in \"USD\""),
        "{}",
        csv(mixed)
    );
    assert!(csv("name,colour,price,currency\nred,#b3202b,4.50 $,EUR\n").starts_with("STOCK-PRICE row 2"));
}

#[test]
fn an_amount_that_cannot_be_is_named() {
    for (column, value) in
        [("ml", "0"), ("ml", "-59"), ("ml", "nan"), ("ml", "some"), ("strength", "0"), ("strength", "inf")]
    {
        let got = csv(&format!("name,colour,{column}\nred,#b3202b,{value}\n"));
        assert!(got.starts_with(&format!("STOCK-AMOUNT row 2, column {column}")), "{got}");
    }
    let share = "name,colour,tint,share\nwhite,#f4f3ee,,\nblue,#2b3a93,#7f8fd6,1.5\n";
    assert!(csv(share).starts_with("STOCK-AMOUNT row 3, column share"), "{}", csv(share));
    let alone = "name,colour,tint,share\nblue,#2b3a93,#7f8fd6,\n";
    assert!(csv(alone).starts_with("STOCK-COLUMN row 2, column share"));
    let no_white = "name,colour,tint,share\nblue,#2b3a93,#7f8fd6,0.1\n";
    assert!(csv(no_white).starts_with("STOCK-COLOUR row 2, column white"));
    assert!(csv("name,colour,owned\nred,#b3202b,maybe\n").starts_with("STOCK-WORD row 2, column owned"));
}

#[test]
fn what_is_too_big_or_no_text_is_refused() {
    let rows: String =
        (0..10_000).fold("name,colour\n".into(), |rows, place| rows + &format!("p{place},#b3202b\n"));
    assert!(csv(&rows).starts_with("STOCK-TOO-BIG"));
    let cell = format!("name,colour\n{},#b3202b\n", "x".repeat(10 << 20));
    assert!(csv(&cell).starts_with("STOCK-TOO-BIG"));
    assert!(csv("name,colour\nr\0d,#b3202b\n").starts_with("STOCK-ENCODING row 2: a NUL"));
    assert!(refused(b"name,colour\nr\xe9d,#b3202b\n", Format::Csv, '.').starts_with("STOCK-ENCODING row 2"));
    assert!(refused(b"\xff\xfen\0a", Format::Csv, '.').starts_with("STOCK-ENCODING"));
}

#[test]
fn a_palette_that_breaks_its_format_is_refused_with_the_line() {
    let palette = |text: &str| refused(text.as_bytes(), Format::Gpl, '.');
    assert!(palette("Palette\n1 2 3 red\n").starts_with("GPL-BAD line 1"));
    assert!(palette("GIMP Palette\nName: x\nColumns: 999\n1 2 3 red\n").starts_with("GPL-BAD line 3"));
    assert!(palette("GIMP Palette\n#\n1 2 256 red\n").starts_with("GPL-BAD line 3: \"256\""));
    assert!(palette("GIMP Palette\n1 2\n").starts_with("GPL-BAD line 2"));
    assert!(palette("GIMP Palette\n1 2 3 red\n4 5 6 red\n").starts_with("STOCK-DUPLICATE line 3"));
}

#[test]
fn the_old_form_of_a_palette_is_read() {
    let stock =
        Stock::read(b"GIMP Palette\n# old\n179  32  43 red\n 43 58 147\tUntitled\n", Format::Gpl, '.')
            .unwrap();
    assert_eq!(stock.paints()[0].colour, rgb("#b3202b"));
    assert_eq!(stock.paints()[1].name, "#2b3a93");
    assert_eq!(stock.notes().len(), 1);
}

#[test]
fn broken_toml_is_refused_with_its_line() {
    let toml = |text: &str| refused(text.as_bytes(), Format::Toml, '.');
    assert!(
        toml("[[paint]]\nname = \n").starts_with("STOCK-SYNTAX row 2"),
        "{}",
        toml("[[paint]]\nname = \n")
    );
    assert!(toml("[[paint]]\nname = \"a\"\nname = \"b\"\n").starts_with("STOCK-SYNTAX row 3"));
    assert!(toml("[[paint]]\nname = \"a\"\ncolurs = \"#fff\"\n").contains("did you mean colour?"));
    assert!(toml("paints = 3\n").starts_with("STOCK-COLUMN the file"));
    assert!(
        toml(&format!("paint = {}{}\n", "[".repeat(10_000), "]".repeat(10_000))).starts_with("STOCK-SYNTAX")
    );
}

#[test]
fn the_format_is_told_by_the_ending_or_the_text() {
    assert_eq!(Format::of("paints.TOML", b""), Format::Toml);
    assert_eq!(Format::of("paints.gpl", b"nonsense"), Format::Gpl);
    assert_eq!(Format::of("paints.txt", b"GIMP Palette\n"), Format::Gpl);
    assert_eq!(Format::of("paints", b"[[paint]]\n"), Format::Toml);
    assert_eq!(Format::of("paints", b"name,colour\n"), Format::Csv);
}

proptest! {
    #[test]
    fn any_bytes_are_a_stock_or_a_plain_error(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        for format in [Format::Toml, Format::Csv, Format::Gpl] {
            if let Err(error) = Stock::read(&bytes, format, '.') {
                prop_assert!(!error.hint().is_empty());
            }
        }
    }

    #[test]
    fn any_name_survives_writing_and_reading(name in "[ -~äöü€=+'@]{1,12}") {
        prop_assume!(!name.trim().is_empty());
        let stock = Stock::new(vec![Paint::new(name.trim(), rgb("#b3202b"))]).unwrap();
        for format in [Format::Toml, Format::Csv] {
            prop_assert_eq!(&Stock::read(stock.to_text(format).as_bytes(), format, '.').unwrap(), &stock);
        }
    }
}
