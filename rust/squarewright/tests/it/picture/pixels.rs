//! Good pictures have the right pixels, whatever they are packed in.

use squarewright::fault::Unwatched;
use squarewright::picture::{Format, Note, Picture, decode};

use super::make::{self, SIX};
use super::{code, read};

fn six() -> Picture {
    Picture::from_rgba(3, 2, make::six_rgba()).expect("six pixels")
}

/// Gives a row of PNG pixels as they are read.
fn row(bytes: &[u8]) -> Vec<[u8; 4]> {
    read(bytes).row(0).as_chunks().0.to_vec()
}

#[test]
fn the_lossless_formats_agree_on_every_pixel() {
    for bytes in [make::six_png(), make::six_bmp(), make::six_webp()] {
        let picture = read(&bytes);
        assert_eq!((picture.width(), picture.pixels()), (3, six().pixels()), "{:02X?}", &bytes[..4]);
    }
}

#[test]
fn a_bmp_may_begin_with_its_top_row() {
    let rows = [[0, 0, 255, 0], [0, 255, 0, 0]].concat();
    let picture = read(&make::bmp((1, -2), 24, 0, &[], &rows));
    assert_eq!(picture.pixels(), [255, 0, 0, 255, 0, 255, 0, 255]);
}

#[test]
fn a_gif_is_read_with_its_transparent_colour() {
    let picture = read(&make::gif((2, 2), &make::FOUR, &[([0, 0, 2, 2], &[0, 1, 2, 3])]));
    assert_eq!(picture.pixel(0, 0)[3], 0);
    assert_eq!(picture.pixels()[4..], [255, 0, 0, 255, 0, 255, 0, 255, 0, 0, 255, 255]);
    assert_eq!(picture.notes(), []);
}

#[test]
fn a_frame_that_leaves_its_canvas_is_clipped() {
    let picture = read(&make::gif((2, 2), &make::FOUR, &[([1, 1, 2, 2], &[1, 2, 3, 1])]));
    let clear = [0; 4];
    assert_eq!(picture.pixels(), [clear, clear, clear, [255, 0, 0, 255]].concat());
}

#[test]
fn every_16_bit_sample_is_rounded_to_the_nearest_of_8_bits() {
    let samples: Vec<u8> = (0..=u16::MAX).flat_map(u16::to_be_bytes).collect();
    let picture = read(&make::png((256, 256), 16, make::GREY, &samples, &[]));
    for (sample, pixel) in (0..=65_535_u32).zip(picture.pixels().chunks_exact(4)) {
        // twice the exact value, plus one half twice, halved
        let nearest = u8::try_from((sample * 255 * 2 + 65_535) / (2 * 65_535)).unwrap();
        assert_eq!(pixel, [nearest, nearest, nearest, 255], "{sample}");
    }
}

#[test]
fn deep_samples_keep_their_places() {
    let samples: Vec<u8> =
        [0x1111_u16, 0x5555, 0xAAAA, 0xEEEE].iter().flat_map(|v| v.to_be_bytes()).collect();
    assert_eq!(row(&make::png((1, 1), 16, make::RGBA, &samples, &[])), [[0x11, 0x55, 0xAA, 0xEE]]);
    assert_eq!(row(&make::png((1, 1), 16, make::RGB, &samples[..6], &[])), [[0x11, 0x55, 0xAA, 255]]);
    assert_eq!(row(&make::png((1, 1), 16, make::GREY_ALPHA, &samples[..4], &[])), [[0x11, 0x11, 0x11, 0x55]]);
}

#[test]
fn a_picture_longer_than_one_stretch_of_work_keeps_its_order() {
    let (width, height) = (97_u32, 83_u32);
    let grey = |index: u32| u8::try_from(index * 7 % 251).unwrap();
    let samples: Vec<u8> = (0..width * height).map(grey).collect();
    for (color, copies) in [(make::GREY, 1), (make::RGB, 3)] {
        let rows: Vec<u8> = samples.iter().flat_map(|&sample| vec![sample; copies]).collect();
        let picture = read(&make::png((width, height), 8, color, &rows, &[]));
        let read: Vec<u8> = picture.pixels().chunks_exact(4).map(|pixel| pixel[2]).collect();
        assert!(read == samples, "colour type {color}");
    }
    let deep: Vec<u8> = samples.iter().flat_map(|&sample| vec![sample; 8]).collect();
    let picture = read(&make::png((width, height), 16, make::RGBA, &deep, &[]));
    assert!(picture.pixels().iter().eq(samples.iter().flat_map(|sample| [sample; 4])));
}

#[test]
fn grey_of_few_bits_spans_black_to_white() {
    let greys = |bytes: &[u8]| row(bytes).iter().map(|pixel| pixel[0]).collect::<Vec<_>>();
    assert_eq!(greys(&make::png((4, 1), 1, make::GREY, &[0b0110_0000], &[])), [0, 255, 255, 0]);
    assert_eq!(greys(&make::png((4, 1), 2, make::GREY, &[0b0001_1011], &[])), [0, 85, 170, 255]);
    assert_eq!(greys(&make::png((2, 1), 4, make::GREY, &[0x1F], &[])), [17, 255]);
    assert_eq!(row(&make::png((1, 1), 8, make::GREY_ALPHA, &[9, 70], &[])), [[9, 9, 9, 70]]);
}

#[test]
fn a_palette_is_read_at_every_depth_and_keeps_its_opacities() {
    let between = [make::chunk(*b"PLTE", &make::FOUR), make::chunk(*b"tRNS", &[0, 128])];
    let expected = [[255, 0, 0, 128], [0, 0, 0, 0]];
    for (depth, packed) in [(1, vec![0b1000_0000]), (2, vec![0b0100_0000]), (4, vec![0x10]), (8, vec![1, 0])]
    {
        assert_eq!(
            row(&make::png((2, 1), depth, make::INDEXED, &packed, &between)),
            expected,
            "{depth} bits"
        );
    }
    let opaque = row(&make::png((1, 1), 8, make::INDEXED, &[3], &between));
    assert_eq!(opaque, [[0, 0, 255, 255]]);
}

#[test]
fn a_key_colour_is_transparent_and_its_neighbours_are_not() {
    let grey = make::png((2, 1), 8, make::GREY, &[7, 8], &[make::chunk(*b"tRNS", &[0, 7])]);
    assert_eq!(row(&grey), [[7, 7, 7, 0], [8, 8, 8, 255]]);
    let rgb =
        make::png((2, 1), 8, make::RGB, &[1, 2, 3, 1, 2, 4], &[make::chunk(*b"tRNS", &[0, 1, 0, 2, 0, 3])]);
    assert_eq!(row(&rgb), [[1, 2, 3, 0], [1, 2, 4, 255]]);
}

#[test]
fn an_interlaced_png_is_put_together() {
    // first column and row, then the steps across and down, of the seven passes (ISO/IEC 15948, clause 8.2)
    let passes: [[u8; 4]; 7] =
        [[0, 0, 8, 8], [4, 0, 8, 8], [0, 4, 4, 8], [2, 0, 4, 4], [0, 2, 2, 4], [1, 0, 2, 2], [0, 1, 1, 2]];
    let mut rows = Vec::new();
    for [left, top, across, down] in passes {
        for y in (top..8).step_by(down.into()) {
            rows.push(0);
            rows.extend((left..8).step_by(across.into()).map(|x| y * 8 + x));
        }
    }
    let bytes = make::png_of(&[make::header(8, 8, 8, make::GREY, 1), make::data(&rows), make::end()]);
    let greys: Vec<u8> = read(&bytes).pixels().chunks_exact(4).map(|pixel| pixel[0]).collect();
    assert_eq!(greys, (0..64).collect::<Vec<u8>>());
}

#[test]
fn a_jpeg_of_one_grey_is_exact_in_either_order() {
    for progressive in [false, true] {
        let picture = read(&make::grey_jpeg(progressive));
        assert_eq!((picture.width(), picture.height()), (16, 16));
        assert!(picture.pixels().chunks_exact(4).all(|pixel| pixel == [178, 178, 178, 255]));
        let facts = picture.jpeg().unwrap();
        assert_eq!(facts.progressive, progressive);
        assert_eq!(facts.components.len(), 1);
        assert_eq!(facts.components[0].quantisation, [8; 64]);
    }
}

#[test]
fn divisors_are_told_in_natural_order_for_each_component() {
    // the first steps of the zigzag are right, down left, down, up right (ITU-T T.81, figure A.6)
    let zigzag: Vec<u8> = (1..=64).collect();
    let deep: Vec<u8> = (0..64_u16).flat_map(|step| (1000 + step).to_be_bytes()).collect();
    let tables = make::segment(0xDB, &[&[0], &zigzag[..], &[0x11], &deep].concat());
    let bytes = make::noisy_jpeg();
    let scan = bytes.windows(2).position(|pair| pair == [0xFF, 0xDA]).unwrap();
    let facts = read(&[&bytes[..scan], &tables, &bytes[scan..]].concat()).jpeg().unwrap().clone();
    assert_eq!(facts.components.len(), 3);
    let (first, second) = (&facts.components[0].quantisation, &facts.components[1].quantisation);
    assert_eq!(
        [first[0], first[1], first[8], first[16], first[9], first[2], first[63]],
        [1, 2, 3, 4, 5, 6, 64]
    );
    assert_eq!([second[0], second[1], second[8], second[63]], [1000, 1001, 1002, 1063]);
    assert_eq!(facts.components[2].sampling, (1, 1));
}

#[test]
fn only_a_jpeg_has_facts_of_a_jpeg() {
    for bytes in [make::six_png(), make::six_bmp(), make::six_webp()] {
        assert_eq!(read(&bytes).jpeg(), None);
    }
}

#[test]
fn what_follows_the_end_does_not_matter() {
    for bytes in [make::six_png(), make::six_bmp(), make::six_webp(), make::grey_jpeg(true)] {
        let longer = [&bytes[..], b"junk \xFF\xD8\xFF\xD9 and a second picture ", &bytes].concat();
        assert_eq!(read(&longer), read(&bytes), "{:02X?}", &bytes[..4]);
    }
}

#[test]
fn an_animation_gives_its_first_frame_and_a_note() {
    let first: make::Frame<'_> = ([0, 0, 2, 1], &[1, 2]);
    let gif = read(&make::gif((2, 1), &make::FOUR, &[first, ([0, 0, 2, 1], &[3, 3]), first]));
    assert_eq!(gif.pixels(), [255, 0, 0, 255, 0, 255, 0, 255]);
    assert_eq!(gif.notes(), [Note::FirstFrame { frames: 3 }]);
    assert_eq!(gif.notes()[0].to_string(), "it is an animation of 3 frames: the first is used");
    let control = make::chunk(*b"acTL", &[0, 0, 0, 2, 0, 0, 0, 0]);
    let png = read(&make::png((3, 2), 8, make::RGB, &SIX.concat(), &[control]));
    assert_eq!((png.pixels(), png.notes()), (&make::six_rgba()[..], &[Note::FirstFrame { frames: 2 }][..]));
    let still = make::six_webp()[12..].to_vec();
    // place, size less one, time and flags
    let frame =
        make::riff_chunk(*b"ANMF", &[&[0, 0, 0, 0, 0, 0, 2, 0, 0, 1, 0, 0, 9, 0, 0, 2][..], &still].concat());
    let control = make::riff_chunk(*b"ANIM", &[0; 6]);
    let webp = read(&make::riff(&[make::extended(0x02), control, frame.clone(), frame]));
    assert_eq!((webp.pixels(), webp.notes()), (&make::six_rgba()[..], &[Note::FirstFrame { frames: 2 }][..]));
}

#[test]
fn an_unlisted_number_in_a_palette_is_black_and_noted() {
    let palette = make::chunk(*b"PLTE", &make::FOUR[..6]);
    for (depth, row) in [(8, vec![1, 2, 0]), (2, vec![0b0110_0000])] {
        let picture = read(&make::png((3, 1), depth, make::INDEXED, &row, std::slice::from_ref(&palette)));
        assert_eq!(picture.pixels(), [255, 0, 0, 255, 0, 0, 0, 255, 0, 0, 0, 255], "{depth} bits");
        assert_eq!(picture.notes(), [Note::UnlistedColours], "{depth} bits");
    }
    let listed = read(&make::png((2, 1), 8, make::INDEXED, &[1, 0], &[palette]));
    assert_eq!(listed.notes(), []);
}

#[test]
fn pixels_that_are_said_not_to_be_square_are_square_and_noted() {
    let density = |across: u32, down: u32| {
        let body = [&across.to_be_bytes()[..], &down.to_be_bytes(), &[1]].concat();
        read(&make::png((3, 2), 8, make::RGB, &SIX.concat(), &[make::chunk(*b"pHYs", &body)]))
    };
    for (across, down) in [(2835, 2835), (1, 1)] {
        assert_eq!(density(across, down).notes(), [], "{across} × {down}");
    }
    for (across, down) in [(2835, 1417), (0, 2835), (0, 0)] {
        let picture = density(across, down);
        assert_eq!((picture.width(), picture.height()), (3, 2));
        assert_eq!(picture.notes(), [Note::UnevenDensity], "{across} × {down}");
    }
}

#[test]
fn print_colours_are_noted() {
    let tables = make::segment(0xDB, &[&[0], &[8; 64][..]].concat());
    let parts = [1, 0x11, 0, 2, 0x11, 0, 3, 0x11, 0, 4, 0x11, 0];
    let frame = make::segment(0xC0, &[&[8, 0, 8, 0, 8, 4][..], &parts].concat());
    let first = make::segment(0xC4, &[&[0x00, 1], &[0; 15][..], &[0]].concat());
    let others = make::segment(0xC4, &[&[0x10, 1], &[0; 15][..], &[0]].concat());
    // two codes of one bit for each of the four blocks: no difference, nothing more
    let scan = make::segment(0xDA, &[4, 1, 0, 2, 0, 3, 0, 4, 0, 0, 63, 0]);
    let bytes = [vec![0xFF, 0xD8], tables, frame, first, others, scan, vec![0, 0xFF, 0xD9]].concat();
    assert_eq!(read(&bytes).notes(), [Note::PrintColours]);
}

#[test]
fn a_name_with_the_ending_of_another_format_is_noted() {
    let picture = || read(&make::six_png());
    assert_eq!(picture().format(), Some(Format::Png));
    for name in ["heron.png", "heron.PNG", "heron", "heron.v2", ".png", "heron.png.bak"] {
        assert_eq!(picture().called(name).notes(), [], "{name}");
    }
    for name in ["heron.jpg", "heron.JPEG", "heron.png.gif", ".ora"] {
        assert_eq!(picture().called(name).notes(), [Note::Misnamed { format: Format::Png }], "{name}");
    }
}

#[test]
fn a_transparent_picture_is_read_and_known_to_be_blank() {
    assert!(read(&make::png((2, 1), 8, make::RGBA, &[1, 2, 3, 0, 4, 5, 6, 0], &[])).is_blank());
    assert!(!read(&make::png((2, 1), 8, make::RGBA, &[1, 2, 3, 0, 4, 5, 6, 1], &[])).is_blank());
}

#[test]
fn one_pixel_and_the_longest_row_are_pictures() {
    assert_eq!(row(&make::png((1, 1), 8, make::RGB, &[1, 2, 3], &[])), [[1, 2, 3, 255]]);
    assert_eq!(read(&make::png((32_768, 1), 1, make::GREY, &[0; 4096], &[])).width(), 32_768);
    assert_eq!(code(&make::png((32_769, 1), 1, make::GREY, &[0; 4097], &[])), "PIC-TOO-BIG");
}

#[test]
fn pixels_in_memory_must_have_the_stated_shape() {
    assert_eq!(Picture::from_rgb(3, 2, &SIX.concat()).unwrap(), six());
    assert_eq!(six().rows().collect::<Vec<_>>(), [six().row(0), six().row(1)]);
    assert_eq!(six().pixel(1, 1), [250, 240, 230, 255]);
    let short = Picture::from_rgba(2, 2, vec![0; 15]).unwrap_err();
    assert_eq!(short.code(), "PIC-PIXELS");
    assert_eq!(short.to_string(), "has 15 bytes of pixels where 2 × 2 × 4 are stated");
    assert_eq!(Picture::from_rgb(2, 2, &[0; 16]).unwrap_err().code(), "PIC-PIXELS");
    assert_eq!(Picture::from_rgba(0, 2, vec![]).unwrap_err().code(), "PIC-EMPTY");
    assert_eq!(Picture::from_rgb(u32::MAX, u32::MAX, &[]).unwrap_err().code(), "PIC-TOO-BIG");
}

#[test]
fn the_bytes_alone_decide_the_answer() {
    let bytes = make::noisy_jpeg();
    assert_eq!(decode(&bytes, &Unwatched), decode(&bytes, &Unwatched));
}
