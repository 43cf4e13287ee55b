//! Pictures that are cut short, damaged or too big are refused, each for its own reason.

use std::ops::ControlFlow;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use squarewright::fault::{Error, Watch};
use squarewright::picture::decode;

use super::make::{self, SIX};
use super::{code, read, words};

/// Checks that bytes are refused as too big, before there was time to fill memory.
fn assert_too_big(bytes: &[u8], what: &str) {
    let start = Instant::now();
    let words = words(bytes);
    let taken = start.elapsed();
    assert_eq!(words, format!("is too big: {what}"));
    assert_eq!(code(bytes), "PIC-TOO-BIG");
    assert!(taken < Duration::from_millis(50), "{taken:?} for {what}");
}

const LIMIT: &str = "and the limit is 100 megapixels, 32768 pixels a side";

fn header_only(width: u32, height: u32, depth: u8, color: u8) -> Vec<u8> {
    make::png_of(&[make::header(width, height, depth, color, 0), make::data(&[0; 99]), make::end()])
}

#[test]
fn a_png_cut_at_any_place_is_cut_short() {
    let bytes = make::six_png();
    for length in 1..bytes.len() {
        assert_eq!(code(&bytes[..length]), "PIC-TRUNCATED", "{length} of {}", bytes.len());
    }
}

#[test]
fn a_bmp_cut_at_any_place_is_cut_short() {
    let bytes = make::six_bmp();
    // the last three bytes pad a row
    for length in (1..bytes.len() - 3).filter(|&length| length != 3) {
        assert_eq!(code(&bytes[..length]), "PIC-TRUNCATED", "{length} of {}", bytes.len());
    }
    assert_eq!(words(&bytes[..3]), "is a text file, not a picture", "three letters are a text");
}

#[test]
fn a_webp_cut_at_any_place_is_cut_short() {
    let bytes = make::six_webp();
    for length in 1..bytes.len() {
        assert_eq!(code(&bytes[..length]), "PIC-TRUNCATED", "{length} of {}", bytes.len());
    }
}

#[test]
fn a_webp_may_leave_out_the_padding_at_its_end() {
    let tags = make::riff_chunk(*b"XMP ", b"odd");
    let bytes = make::riff(&[make::extended(0x04), make::six_webp()[12..].to_vec(), tags]);
    assert_eq!(read(&bytes[..bytes.len() - 1]), read(&bytes));
    assert_eq!(code(&bytes[..bytes.len() - 2]), "PIC-TRUNCATED");
}

#[test]
fn a_jpeg_cut_at_any_place_is_cut_short() {
    for bytes in [make::grey_jpeg(false), make::grey_jpeg(true), make::noisy_jpeg()] {
        for length in 1..bytes.len() {
            assert_eq!(code(&bytes[..length]), "PIC-TRUNCATED", "{length} of {}", bytes.len());
        }
    }
}

#[test]
fn an_end_marker_inside_a_thumbnail_is_not_the_end() {
    let thumbnail = [b"Exif\0\0".to_vec(), make::exif(1), make::grey_jpeg(false)].concat();
    let bytes = make::with_segment(&make::noisy_jpeg(), 0xE1, &thumbnail);
    assert_eq!(read(&bytes).width(), 64);
    assert_eq!(code(&bytes[..bytes.len() / 2]), "PIC-TRUNCATED");
    assert_eq!(code(&bytes[..bytes.len() - 2]), "PIC-TRUNCATED");
}

#[test]
fn a_second_picture_after_the_end_does_not_stand_in_for_the_first() {
    let first = make::noisy_jpeg();
    let with_gain_map = [&first[..], &make::grey_jpeg(false)].concat();
    assert_eq!(read(&with_gain_map), read(&first));
}

#[test]
fn a_gif_cut_in_its_first_frame_is_cut_short() {
    let bytes = make::gif((2, 2), &make::FOUR, &[([0, 0, 2, 2], &[1, 2, 3, 1])]);
    // the last four bytes are the end code, the empty block and the trailer
    for length in 1..bytes.len() - 4 {
        assert_eq!(code(&bytes[..length]), "PIC-TRUNCATED", "{length} of {}", bytes.len());
    }
}

#[test]
fn a_gif_without_colours_is_damaged_and_one_without_frames_ends_too_soon() {
    let colourless = make::gif((2, 2), &[], &[([0, 0, 2, 2], &[1, 2, 3, 1])]);
    assert_eq!(words(&colourless), "is damaged: its colour table is missing or wrong");
    assert_eq!(code(&make::gif((2, 2), &make::FOUR, &[])), "PIC-TRUNCATED");
}

#[test]
fn a_damaged_png_says_what_is_wrong() {
    let good = make::six_png();
    let flipped = |place: usize| {
        let mut bytes = good.clone();
        bytes[place] ^= 1;
        bytes
    };
    let data = good.windows(4).position(|name| name == b"IDAT").unwrap();
    let rows = [&[0], &SIX.concat()[..9], &[9], &SIX.concat()[9..]].concat();
    let header = || make::header(3, 2, 8, make::RGB, 0);
    for (bytes, why) in [
        (flipped(data + 8), "a checksum does not match"),
        (flipped(29), "a checksum does not match"),
        (make::png_of(&[header(), make::end()]), "the pixels are missing"),
        (make::png_of(&[header(), make::data(&rows[..10]), make::end()]), "the pixels are missing"),
        (
            make::png_of(&[header(), make::data(&rows), make::end()]),
            "a row of pixels is packed in an unknown way",
        ),
        (make::png((2, 1), 8, make::INDEXED, &[0, 1], &[]), "its colour table is missing or wrong"),
        (make::png((3, 1), 7, make::GREY, &[0; 3], &[]), "its header states an impossible kind of pixel"),
        (make::png((3, 1), 8, 5, &[0; 3], &[]), "its header states an impossible kind of pixel"),
    ] {
        assert_eq!(words(&bytes), format!("is damaged: {why}"));
        assert_eq!(code(&bytes), "PIC-DAMAGED");
    }
}

#[test]
fn a_damaged_bmp_is_refused() {
    let negative = make::bmp((-3, 2), 24, 0, &[], &[0; 24]);
    assert_eq!(words(&negative), "is damaged: its header states an impossible size");
    // a stretch of 200 pixels in rows of 4, with and without the bytes for it (run-length code of BMP)
    let stretch = [vec![0, 200], vec![1; 300]].concat();
    assert_eq!(code(&make::bmp((4, 2), 8, 1, &[0; 16], &stretch)), "PIC-DAMAGED");
    assert_eq!(code(&make::bmp((4, 2), 8, 1, &[0; 16], &stretch[..5])), "PIC-TRUNCATED");
    assert_eq!(code(&make::bmp((3, 2), 5, 0, &[], &[0; 24])), "PIC-DAMAGED");
}

#[test]
fn zeros_amid_a_jpeg_never_make_a_picture_of_another_size() {
    let bytes = make::noisy_jpeg();
    let mut refused = 0;
    for start in (20..bytes.len() - 60).step_by(40) {
        let mut bytes = bytes.clone();
        bytes[start..start + 40].fill(0);
        match decode(&bytes, &squarewright::fault::Unwatched) {
            Ok(picture) => assert_eq!((picture.width(), picture.height()), (64, 64)),
            Err(error) => {
                refused += 1;
                assert!(["PIC-DAMAGED", "PIC-TRUNCATED"].contains(&error.code()), "{start}: {error}");
            }
        }
    }
    assert!(refused > 0, "zeros over the tables must be noticed");
}

#[test]
fn a_picture_of_no_width_or_height_has_no_pixels() {
    let jpeg = |height: u8, width: u8| {
        let frame = make::segment(0xC0, &[8, 0, height, 0, width, 1, 1, 0x11, 0]);
        [vec![0xFF, 0xD8], frame, vec![0xFF, 0xD9]].concat()
    };
    for bytes in [
        header_only(0, 5, 8, make::RGB),
        header_only(5, 0, 8, make::RGB),
        make::gif((0, 0), &make::FOUR, &[]),
        make::gif((0, 2), &make::FOUR, &[([0, 0, 1, 1], &[1])]),
        make::bmp((0, 5), 24, 0, &[], &[]),
        jpeg(0, 0),
        jpeg(0, 9),
    ] {
        assert_eq!(words(&bytes), "has no pixels", "{bytes:02X?}");
        assert_eq!(code(&bytes), "PIC-EMPTY");
    }
}

#[test]
fn a_png_that_is_too_big_is_refused_from_its_header() {
    let most = (1 << 31) - 1;
    let big = |width, height, depth, color| header_only(width, height, depth, color);
    assert_too_big(
        &big(60_000, 60_000, 1, make::GREY),
        &format!("60000 × 60000 pixels (3600 megapixels), {LIMIT}"),
    );
    assert_too_big(
        &big(16_000, 16_000, 8, make::RGBA),
        &format!("16000 × 16000 pixels (256 megapixels), {LIMIT}"),
    );
    assert_too_big(
        &big(20_000, 20_000, 8, make::RGB),
        &format!("20000 × 20000 pixels (400 megapixels), {LIMIT}"),
    );
    assert_too_big(&big(40_000, 1, 8, make::RGB), &format!("40000 × 1 pixels (0.1 megapixels), {LIMIT}"));
    assert_too_big(
        &big(10_001, 10_000, 8, make::RGB),
        &format!("10001 × 10000 pixels (100.1 megapixels), {LIMIT}"),
    );
    let pixels = format!("{most} × {most} pixels (4611686014132.5 megapixels), {LIMIT}");
    assert_too_big(&big(most, most, 8, make::RGBA), &pixels);
}

#[test]
fn the_other_formats_are_refused_from_their_headers_too() {
    let frame = make::segment(0xC0, &[8, 0xFF, 0xDC, 0xFF, 0xDC, 3, 1, 0x22, 0, 2, 0x11, 1, 3, 0x11, 1]);
    let jpeg = [vec![0xFF, 0xD8], frame].concat();
    assert_too_big(&jpeg, &format!("65500 × 65500 pixels (4290.3 megapixels), {LIMIT}"));
    let gif = make::gif((65_535, 65_535), &make::FOUR, &[([0, 0, 1, 1], &[1])]);
    assert_too_big(&gif, &format!("65535 × 65535 pixels (4294.9 megapixels), {LIMIT}"));
    let bmp = make::bmp((i32::MAX, i32::MIN), 24, 0, &[], &[]);
    assert_too_big(&bmp, &format!("2147483647 × 2147483648 pixels (4611686016280 megapixels), {LIMIT}"));
    let canvas = make::riff_chunk(*b"VP8X", &[0, 0, 0, 0, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF]);
    let webp = make::riff(&[canvas]);
    assert_too_big(&webp, &format!("16777216 × 16777216 pixels (281474976.8 megapixels), {LIMIT}"));
}

#[test]
fn a_picture_within_the_pixels_but_not_the_memory_is_refused() {
    let bytes = header_only(10_000, 10_000, 16, make::RGBA);
    assert_too_big(&bytes, "10000 × 10000 pixels, 763 MiB unpacked, and the limit is 512 MiB unpacked");
}

#[test]
fn a_frame_far_larger_than_its_canvas_is_refused() {
    let bytes = make::gif((2, 2), &make::FOUR, &[([0, 0, 65_535, 65_535], &[1, 2])]);
    let start = Instant::now();
    assert_eq!(code(&bytes), "PIC-TOO-BIG");
    assert!(start.elapsed() < Duration::from_millis(50));
}

#[test]
fn a_file_of_too_many_bytes_is_refused_unread() {
    assert_too_big(&vec![0; (256 << 20) + 1], "a file of 257 MiB, and the limit is 256 MiB");
}

/// Counts how often it is asked and stops at the last allowed time.
struct Patience {
    allowed: usize,
    asked: AtomicUsize,
}

impl Watch for Patience {
    fn tick(&self, done: f32) -> ControlFlow<()> {
        assert!((0.0..=1.0).contains(&done), "{done} done");
        let asked = self.asked.fetch_add(1, Ordering::Relaxed);
        if asked < self.allowed { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
    }
}

#[test]
fn every_decoder_stops_when_asked_to() {
    let gif = make::gif((2, 2), &make::FOUR, &[([0, 0, 2, 2], &[1, 2, 3, 1])]);
    for bytes in [make::six_png(), make::six_bmp(), make::six_webp(), make::noisy_jpeg(), gif] {
        let patience = Patience { allowed: 0, asked: AtomicUsize::new(0) };
        assert_eq!(decode(&bytes, &patience), Err(Error::Stopped), "{:02X?}", &bytes[..4]);
    }
}

#[test]
fn a_long_read_asks_again_and_again_and_stops_in_the_middle() {
    let bytes = make::bmp((500, 500), 24, 0, &[], &vec![9; 500 * 500 * 3]);
    let patient = Patience { allowed: usize::MAX, asked: AtomicUsize::new(0) };
    assert_eq!(decode(&bytes, &patient).unwrap().width(), 500);
    let asked = patient.asked.load(Ordering::Relaxed);
    assert!((8..200).contains(&asked), "asked {asked} times for 750 kB");
    let patience = Patience { allowed: 5, asked: AtomicUsize::new(0) };
    assert_eq!(decode(&bytes, &patience), Err(Error::Stopped));
    assert_eq!(patience.asked.load(Ordering::Relaxed), 6);
}
