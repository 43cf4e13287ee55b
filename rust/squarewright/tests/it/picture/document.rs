//! Of an `OpenRaster` document the merged picture is read, and nothing else is touched.

use std::time::{Duration, Instant};

use miniz_oxide::deflate::compress_to_vec;
use squarewright::picture::Format;

use super::make;
use super::{code, read, words};

const KIND: (&str, &[u8], u16) = ("mimetype", b"image/openraster", 0);

/// Packs entries into a zip archive (PKWARE APPNOTE, 4.3), each with its way of packing: 0 stored, 8 deflated.
fn zip(entries: &[(&str, &[u8], u16)]) -> Vec<u8> {
    let (mut bytes, mut list) = (Vec::new(), Vec::new());
    for &(name, content, method) in entries {
        let packed = if method == 8 { compress_to_vec(content, 6) } else { content.to_vec() };
        let four = |number: usize| u32::try_from(number).expect("a short input").to_le_bytes();
        let sizes = [four(packed.len()), four(content.len())].concat();
        let two = |number: usize| u16::try_from(number).expect("a short input").to_le_bytes();
        // the checksum stays 0: the picture inside has its own
        let head = [&two(20)[..], &two(0), &method.to_le_bytes(), &[0; 8]];
        let head = [&head.concat()[..], &sizes, &two(name.len()), &two(0)].concat();
        let start = four(bytes.len());
        bytes.extend([&b"PK\x03\x04"[..], &head, name.as_bytes(), &packed].concat());
        list.extend([&b"PK\x01\x02\x14\0"[..], &head, &[0; 10], &start, name.as_bytes()].concat());
    }
    let count = u16::try_from(entries.len()).expect("few entries").to_le_bytes();
    let numbers = [list.len(), bytes.len()].map(|number| u32::try_from(number).expect("short").to_le_bytes());
    [bytes, list, b"PK\x05\x06\0\0\0\0".to_vec(), [count, count].concat(), numbers.concat(), vec![0; 2]]
        .concat()
}

fn document(merged: &[u8], method: u16) -> Vec<u8> {
    zip(&[KIND, ("stack.xml", b"<image/>", 8), ("mergedimage.png", merged, method)])
}

#[test]
fn the_merged_picture_is_read_stored_or_packed() {
    for method in [0, 8] {
        let picture = read(&document(&make::six_png(), method));
        assert_eq!((picture.pixels(), picture.notes()), (&make::six_rgba()[..], &[][..]));
        assert_eq!(picture.format(), Some(Format::Ora));
    }
}

#[test]
fn a_document_without_a_merged_picture_is_damaged() {
    assert_eq!(words(&zip(&[KIND])), "is damaged: it has no merged picture");
    assert_eq!(words(&document(b"", 0)), "is damaged: its merged picture is empty");
    assert_eq!(words(&document(&make::six_bmp(), 8)), "is damaged: its merged picture is no PNG");
    assert_eq!(code(&document(b"a text", 8)), "PIC-NOT-PICTURE");
    assert_eq!(
        words(&document(&make::six_png(), 99)),
        "is damaged: its merged picture is packed in an unknown way"
    );
}

#[test]
fn a_part_that_would_leave_the_document_spoils_it() {
    let merged = make::six_png();
    for name in ["../heron.png", "data/../../x", "/etc/x", "C:\\x", "data\\..\\x"] {
        let bytes = zip(&[KIND, ("mergedimage.png", &merged, 8), (name, b"x", 0)]);
        assert_eq!(words(&bytes), "is damaged: it names a part outside itself", "{name}");
    }
    assert_eq!(read(&zip(&[KIND, ("data/a..b.png", b"x", 0), ("mergedimage.png", &merged, 8)])).width(), 3);
}

#[test]
fn a_document_of_another_kind_is_an_archive() {
    let bytes = zip(&[("mimetype", b"image/other", 0), ("mergedimage.png", &make::six_png(), 8)]);
    assert_eq!(words(&bytes), "is an archive, not a picture");
    let misnamed = zip(&[("mimetype", b"image/other", 0), ("stack.xml", b"<image/>", 8)]);
    assert_eq!(words(&misnamed), "is damaged: it says that it is no OpenRaster document");
}

#[test]
fn a_huge_merged_picture_is_refused_unpacked() {
    let header = make::header(16_000, 16_000, 8, make::RGBA, 0);
    let huge = document(&make::png_of(&[header, make::data(&[0; 99]), make::end()]), 8);
    let zeros = document(&vec![0; 300 << 20], 8);
    for bytes in [huge, zeros] {
        let start = Instant::now();
        assert_eq!(code(&bytes), "PIC-TOO-BIG");
        assert!(start.elapsed() < Duration::from_millis(200));
    }
}

#[test]
fn a_size_that_lies_does_not_help_a_bomb() {
    let mut bytes = document(&vec![0; 300 << 20], 8);
    let size = (300_u32 << 20).to_le_bytes();
    while let Some(place) = bytes.windows(4).position(|four| four == size) {
        bytes[place..place + 4].copy_from_slice(&[9, 0, 0, 0]);
    }
    assert_eq!(words(&bytes), "is damaged: its merged picture cannot be unpacked");
}

#[test]
fn a_document_cut_at_any_place_is_refused() {
    let bytes = document(&make::six_png(), 8);
    // behind the statement of its kind
    for length in 54..bytes.len() {
        assert!(["PIC-TRUNCATED", "PIC-DAMAGED"].contains(&code(&bytes[..length])), "{length}");
    }
}
