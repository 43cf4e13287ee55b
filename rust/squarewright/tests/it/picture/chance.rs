//! Pictures with bytes changed at random, the same each time.

use std::time::{Duration, Instant};

use squarewright::fault::Unwatched;
use squarewright::picture::decode;

use super::make;

/// Xorshift numbers (Marsaglia 2003, doi:10.18637/jss.v008.i14).
pub(super) struct Chance(pub(super) u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    pub(super) fn byte(&mut self) -> u8 {
        self.next().to_le_bytes()[3]
    }

    fn below(&mut self, limit: usize) -> usize {
        usize::try_from(self.next() % limit as u64).expect("below a usize")
    }
}

fn seeds() -> Vec<Vec<u8>> {
    let palette = make::chunk(*b"PLTE", &make::FOUR);
    let frames: [make::Frame<'_>; 2] = [([0, 0, 2, 2], &[0, 1, 2, 3]), ([1, 1, 2, 2], &[3, 2, 1, 0])];
    let tags = make::riff_chunk(*b"EXIF", &make::exif(6));
    vec![
        make::six_png(),
        make::png((4, 2), 2, make::INDEXED, &[0b0001_1011, 0b1110_0100], &[palette]),
        make::png((2, 2), 16, make::RGBA, &[7; 32], &[make::chunk(*b"eXIf", &make::exif(3))]),
        make::six_bmp(),
        make::bmp((4, 2), 8, 1, &[9; 16], &[4, 1, 0, 0, 0, 4, 1, 2, 3, 0, 0, 1]),
        make::gif((2, 2), &make::FOUR, &frames),
        make::grey_jpeg(false),
        make::grey_jpeg(true),
        make::with_segment(&make::noisy_jpeg(), 0xE1, &[b"Exif\0\0".to_vec(), make::exif(6)].concat()),
        make::six_webp(),
        make::riff(&[make::extended(0x08), make::six_webp()[12..].to_vec(), tags]),
    ]
}

/// Decodes and checks that the answer is whole: all pixels, or a fault with a code.
fn check(bytes: &[u8]) -> bool {
    match decode(bytes, &Unwatched) {
        Ok(picture) => {
            let pixels = picture.width() as usize * picture.height() as usize;
            assert!(pixels > 0);
            assert_eq!(picture.pixels().len(), pixels * 4);
            true
        }
        Err(error) => {
            assert!(error.code().starts_with("PIC-"), "{error}");
            assert!(!error.to_string().is_empty() && !error.hint().is_empty());
            false
        }
    }
}

#[test]
fn changed_bytes_give_a_picture_or_a_fault() {
    let mut chance = Chance(20_260_101);
    let (mut good, mut bad) = (0, 0);
    for seed in seeds() {
        assert!(check(&seed), "the unchanged seed is a picture");
        for _ in 0..500 {
            let mut bytes = seed.clone();
            for _ in 0..=chance.below(8) {
                let place = chance.below(bytes.len());
                bytes[place] = chance.byte();
            }
            let start = Instant::now();
            *(if check(&bytes) { &mut good } else { &mut bad }) += 1;
            assert!(start.elapsed() < Duration::from_secs(20), "{bytes:02X?}");
        }
    }
    // both answers must come up, or the test would not reach the decoders
    assert!(good > 200 && bad > 200, "{good} pictures, {bad} faults");
}

#[test]
fn a_cut_at_any_place_gives_a_picture_or_a_fault() {
    for seed in seeds() {
        for length in 0..seed.len() {
            check(&seed[..length]);
        }
    }
}
