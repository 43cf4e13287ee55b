//! Damage within packed pixels is seen, and what is left of a picture can be had (ITU-T T.81, ISO/IEC 15948).

use squarewright::fault::{Error, PictureFault, Unwatched};
use squarewright::picture::{Note, Picture, decode, rescue};

use super::chance::Chance;
use super::make::{self, SIX};
use super::{code, read, words};

const SIDE: u32 = 256;

/// Makes a JPEG of soft noise in stripes of its own brightness: some ten thousand bytes.
fn striped_jpeg() -> Vec<u8> {
    let mut chance = Chance(11);
    let pixels = (0..SIDE * SIDE).flat_map(|place| {
        let stripe = u8::try_from(place / SIDE).expect("fewer than 256 rows") / 16 * 12;
        [stripe + chance.byte() % 32, stripe + chance.byte() % 24, 200 - stripe / 2]
    });
    make::jpeg(SIDE, SIDE, &pixels.collect::<Vec<u8>>())
}

fn pixels_start(jpeg: &[u8]) -> usize {
    let scan = jpeg.windows(2).position(|pair| pair == [0xFF, 0xDA]).expect("a scan");
    scan + 14
}

fn notes(bytes: &[u8]) -> Result<Vec<Note>, Error> {
    decode(bytes, &Unwatched).map(|picture| picture.notes().to_vec())
}

#[test]
fn a_good_jpeg_has_no_damage() {
    for bytes in [striped_jpeg(), make::noisy_jpeg(), make::grey_jpeg(false), make::grey_jpeg(true)] {
        assert_eq!(read(&bytes).notes(), []);
    }
}

#[test]
fn forty_zeros_amid_the_pixels_are_noted() {
    let bytes = striped_jpeg();
    let (start, mut seen, mut tried) = (pixels_start(&bytes), 0, 0);
    for place in (start..bytes.len() - 42).step_by(97) {
        let mut bytes = bytes.clone();
        bytes[place..place + 40].fill(0);
        tried += 1;
        seen += u32::from(notes(&bytes) == Ok(vec![Note::Damaged]));
    }
    // codes may fall into step again after as many blocks as there were: then nothing gives the damage away
    assert!(tried > 200 && seen * 100 >= tried * 95, "{seen} of {tried}");
}

#[test]
fn bytes_left_out_or_put_in_are_noted() {
    let bytes = striped_jpeg();
    let start = pixels_start(&bytes);
    let without = [&bytes[..start + 900], &bytes[start + 1300..]].concat();
    let with = [&bytes[..start + 900], &bytes[start + 100..start + 700], &bytes[start + 900..]].concat();
    assert_eq!(notes(&without), Ok(vec![Note::Damaged]));
    assert_eq!(notes(&with), Ok(vec![Note::Damaged]));
}

#[test]
fn half_a_jpeg_says_how_much_of_it_there_is() {
    let bytes = striped_jpeg();
    let half = &bytes[..bytes.len() / 2];
    let Err(Error::Picture(PictureFault::Truncated { percent: Some(percent) })) = decode(half, &Unwatched)
    else {
        panic!("half a picture was taken");
    };
    assert!((30..=60).contains(&percent), "{percent} %");
    assert_eq!(words(half), format!("stops after {percent} % of its rows"));
    // with an end marker it is no better
    assert_eq!(code(&[half, &[0xFF, 0xD9]].concat()), "PIC-TRUNCATED");
}

#[test]
fn what_is_there_of_half_a_jpeg_is_as_in_the_whole() {
    let bytes = striped_jpeg();
    let whole = read(&bytes);
    for cut in [bytes.len() / 3, bytes.len() / 2, bytes.len() - 900] {
        let part = rescue(&bytes[..cut], &Unwatched).expect("a part");
        let [Note::Cut { percent }] = part.notes() else { panic!("{:?}", part.notes()) };
        let rows = SIDE * u32::from(*percent) / 100;
        // the last row of blocks is smoothed with what is missing below
        for y in 0..rows.saturating_sub(1) {
            assert_eq!(part.row(y), whole.row(y), "row {y} of {rows}, cut at {cut}");
        }
        assert!(part.row(SIDE - 1).iter().all(|&byte| byte == 0));
    }
}

#[test]
fn a_coarse_picture_without_its_fine_part_is_coarse() {
    let bytes = make::grey_jpeg(true);
    let fine = bytes.windows(2).rposition(|pair| pair == [0xFF, 0xDA]).expect("a second scan");
    let coarse = rescue(&bytes[..fine + 10], &Unwatched).expect("a coarse picture");
    assert_eq!(coarse.notes(), [Note::Coarse]);
    let endless = rescue(&bytes[..bytes.len() - 2], &Unwatched).expect("a picture without an end");
    assert_eq!((endless.notes(), endless.pixels()), (&[Note::NoEnd][..], read(&bytes).pixels()));
}

#[test]
fn a_restart_marker_that_comes_too_soon_is_noted() {
    // the four blocks of the grey picture, two to a stretch, with and without the second block
    let good = make::grey_jpeg(false);
    let scan = good.windows(2).position(|pair| pair == [0xFF, 0xDA]).unwrap();
    let every_two = make::segment(0xDD, &[0, 2]);
    let stretches = |first: &[u8]| {
        let rest = [&[0xFF, 0xD0, 0b0000_1111][..], &[0xFF, 0xD9]].concat();
        [&good[..scan], &every_two, &good[scan..scan + 10], first, &rest].concat()
    };
    // 10 110010 0 and 0 0, padded with ones; then the same without the second block but for one bit
    assert_eq!(notes(&stretches(&[0b1011_0010, 0b0001_1111])), Ok(vec![]));
    let short = notes(&stretches(&[0b1011_0010]));
    assert!(matches!(&short, Err(Error::Picture(PictureFault::Truncated { .. }))), "{short:?}");
    assert_eq!(notes(&stretches(&[0b1011_0010, 0b0001_1111, 0x55])), Ok(vec![Note::Damaged]));
}

fn rescued(bytes: &[u8]) -> Picture {
    rescue(bytes, &Unwatched).expect("a rest of a picture")
}

#[test]
fn a_png_without_an_end_can_be_had() {
    let bytes = make::six_png();
    let picture = rescued(&bytes[..bytes.len() - 12]);
    assert_eq!((picture.pixels(), picture.notes()), (&make::six_rgba()[..], &[Note::NoEnd][..]));
}

#[test]
fn the_upper_rows_of_a_cut_png_can_be_had() {
    let mut chance = Chance(5);
    let rows: Vec<u8> = (0..100 * 300).map(|_| chance.byte()).collect();
    let bytes = make::png((100, 100), 8, make::RGB, &rows, &[]);
    let half = &bytes[..bytes.len() / 2];
    let picture = rescued(half);
    let [Note::Cut { percent }] = picture.notes() else { panic!("{:?}", picture.notes()) };
    assert!((40..=50).contains(percent), "{percent} %");
    let there = usize::from(*percent) * 100;
    let expected = rows.as_chunks::<3>().0.iter().map(|&[red, green, blue]| [red, green, blue, 255]);
    let (upper, lower) = picture.pixels().as_chunks::<4>().0.split_at(there);
    assert!(expected.take(there).eq(upper.iter().copied()));
    assert!(lower.iter().all(|&pixel| pixel == [0; 4]));
    assert_eq!(words(half), format!("stops after {percent} % of its rows"));
}

#[test]
fn a_checksum_that_is_wrong_spoils_only_what_follows() {
    let rows: Vec<u8> = SIX.concat().chunks(9).flat_map(|row| [&[0], row].concat()).collect();
    let mut bytes = make::png_of(&[make::header(3, 2, 8, make::RGB, 0), make::data(&rows), make::end()]);
    let place = bytes.len() - 13;
    bytes[place] ^= 1;
    assert_eq!(code(&bytes), "PIC-DAMAGED");
    assert_eq!(rescued(&bytes).notes().len(), 1);
}

#[test]
fn nothing_cannot_be_rescued() {
    for bytes in [&make::six_png()[..40], &make::noisy_jpeg()[..100], b"<html></html>", b""] {
        assert!(rescue(bytes, &Unwatched).is_err(), "{bytes:?}");
    }
}
