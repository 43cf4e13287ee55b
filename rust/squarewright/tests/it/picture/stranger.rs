//! What is no picture is called what it is.

use super::{code, make, words};

fn utf16(text: &str, mark: bool, unit: fn(u16) -> [u8; 2]) -> Vec<u8> {
    let mark = if mark { Some(0xFEFF) } else { None };
    mark.into_iter().chain(text.encode_utf16()).flat_map(unit).collect()
}

#[test]
fn an_empty_file_is_empty() {
    assert_eq!(code(b""), "PIC-EMPTY");
    assert_eq!(words(b""), "is empty (0 bytes)");
}

#[test]
fn a_single_byte_is_a_stump_whatever_it_is() {
    for byte in 0..=u8::MAX {
        assert_eq!(code(&[byte]), "PIC-TRUNCATED", "{byte:02X}");
    }
}

#[test]
fn the_first_bytes_of_a_picture_are_a_stump() {
    for bytes in [&b"\x89PNG"[..], b"GIF", b"GIF89", b"\xFF\xD8", b"BM", b"RIFF", b"RIFF\x10\0\0\0WEB"] {
        assert_eq!(code(bytes), "PIC-TRUNCATED", "{bytes:02X?}");
    }
}

#[test]
fn a_text_is_a_text() {
    let long = "Dear all,\r\n\tthe picture is in the other mail.\r\n".repeat(9000);
    for text in
        ["not a picture", "BMW and others", "Grüße", "\u{FEFF}mark", "GIF of a heron", "{\"a\": 1}", &long]
    {
        assert_eq!(words(text.as_bytes()), "is a text file, not a picture", "{text:.20}");
        assert_eq!(code(text.as_bytes()), "PIC-NOT-PICTURE");
    }
    // Latin-1: the bytes above 127 are no UTF-8
    assert_eq!(words(b"Gr\xFC\xDFe aus der Werkstatt"), "is a text file, not a picture");
}

#[test]
fn a_text_of_two_bytes_a_letter_is_a_text() {
    for mark in [true, false] {
        for unit in [u16::to_le_bytes, u16::to_be_bytes] {
            let bytes = utf16("a text from an old editor", mark, unit);
            assert_eq!(words(&bytes), "is a text file, not a picture", "mark {mark}: {bytes:02X?}");
        }
    }
}

#[test]
fn a_saved_error_page_is_a_web_page() {
    for page in [
        "<!DOCTYPE html><html><body>404</body></html>",
        "\r\n<!-- cached -->\n<HTML lang=\"en\">",
        "<?xml version=\"1.0\"?><!DOCTYPE html PUBLIC \"x\"><html><svg></svg></html>",
        "<head><title>Sign in</title>",
        "\u{FEFF}<!doctype HTML>",
    ] {
        assert_eq!(words(page.as_bytes()), "is a web page, not a picture", "{page}");
    }
}

#[test]
fn a_pointer_is_a_pointer() {
    let pointer = "version https://git-lfs.github.com/spec/v1\noid sha256:4d7a\nsize 12345\n";
    assert_eq!(words(pointer.as_bytes()), "is a pointer to a file that was not fetched, not a picture");
}

#[test]
fn documents_and_archives_are_named() {
    let mut tape = vec![0; 512];
    tape[257..262].copy_from_slice(b"ustar");
    assert_eq!(words(b"%PDF-1.7\n%\xE2\xE3\xCF\xD3"), "is a PDF, not a picture");
    for bytes in
        [&b"PK\x03\x04\x14\0\x06\0word/document.xml"[..], b"\x1F\x8B\x08\0", b"Rar!\x1A\x07\x01\0", &tape]
    {
        assert_eq!(words(bytes), "is an archive, not a picture", "{bytes:02X?}");
    }
}

#[test]
fn a_drawing_of_shapes_is_a_vector_drawing() {
    let utf16 = utf16("<?xml version=\"1.0\"?><svg/>", true, u16::to_le_bytes);
    for bytes in [
        &b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script>alert(1)</script></svg>"[..],
        b"\xEF\xBB\xBF<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- made by hand > -->\n<svg>",
        b"<?xml version=\"1.0\"?><!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \"svg11.dtd\"><svg>",
        b"<?xml version=\"1.0\"?><!DOCTYPE s:svg [<!ENTITY a \"<html\">]><s:svg>",
        b"<!-- <html> --><SVG>",
        b"  <svg:svg>",
        b"%!PS-Adobe-3.0 EPSF-3.0\n",
        &utf16,
    ] {
        assert_eq!(code(bytes), "PIC-VECTOR", "{}", String::from_utf8_lossy(bytes));
    }
}

#[test]
fn formats_that_are_not_read_are_named() {
    let zip = |kind: &str| [b"PK\x03\x04", &[0; 26][..], b"mimetype", kind.as_bytes()].concat();
    let brand = |main: &[u8; 4], also: &[u8; 4]| [b"\0\0\0\x14ftyp", &main[..], &[0; 4], also].concat();
    for (bytes, name) in [
        (brand(b"heic", b"mif1"), "a phone picture (HEIC)"),
        (brand(b"mif1", b"heic"), "a phone picture (HEIC)"),
        (brand(b"avif", b"mif1"), "an AVIF picture"),
        (brand(b"mif1", b"avif"), "an AVIF picture"),
        (b"8BPS\0\x01".to_vec(), "an editor document (PSD)"),
        (b"gimp xcf v011\0".to_vec(), "an editor document (XCF)"),
        (zip("application/x-krita"), "an editor document (KRA)"),
        (b"II*\0\x08\0\0\0".to_vec(), "a TIFF picture"),
        (b"MM\0*\0\0\0\x08".to_vec(), "a TIFF picture"),
        (b"P6\n3 2\n255\n".to_vec(), "a Netpbm picture"),
    ] {
        assert_eq!(code(&bytes), "PIC-FORMAT", "{name}");
        assert_eq!(words(&bytes), format!("is {name}, a format that is not read"));
    }
}

#[test]
fn zeros_and_sounds_are_of_unknown_kind() {
    for bytes in [&[0; 1000][..], b"RIFF\x24\0\0\0WAVEfmt \x10\0", b"\x7FELF\x02\x01\x01\0"] {
        assert_eq!(words(bytes), "is a file of unknown kind, not a picture", "{:02X?}", &bytes[..4]);
    }
}

#[test]
fn a_png_sent_as_text_is_damaged_and_says_so() {
    let bytes = [b"\x89PNG\n\x1A\n".to_vec(), make::six_png()[8..].to_vec()].concat();
    assert_eq!(words(&bytes), "is damaged: its line ends were changed on the way");
}
