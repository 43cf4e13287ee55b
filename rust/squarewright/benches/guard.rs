//! What safe reading costs: a good photo through `picture::decode` against the bare decoder.
//!
//! Both in one run, turn by turn; the figures are the least of all turns, which other work on the machine
//! disturbs least. Fails when the guard costs more than it may. The guard works on two cores: on one the ratio
//! is near 1.5.
#![allow(clippy::print_stdout, reason = "its figures are its purpose")]

use std::hint::black_box;
use std::io::Cursor;
use std::process::ExitCode;
use std::time::{Duration, Instant};

use image::codecs::jpeg::{JpegDecoder, JpegEncoder};
use image::{DynamicImage, ExtendedColorType};
use squarewright::fault::Unwatched;
use squarewright::picture::decode;

/// Twelve megapixels, as phones take them.
const WIDTH: u32 = 4000;
const HEIGHT: u32 = 3000;

/// How often each is run.
const TURNS: usize = 20;

/// How many times the bare decoding the guarded one may take.
const LIMIT: f64 = 1.25;

fn main() -> ExitCode {
    let photo = photo();
    let (mut guarded, mut bare) = (Vec::new(), Vec::new());
    for _ in 0..TURNS {
        guarded.push(time(|| decode(&photo, &Unwatched).expect("a good picture").pixels().len()));
        bare.push(time(|| bare_pixels(&photo).into_bytes().len()));
    }
    let (guarded, bare) = (least(&guarded), least(&bare));
    let ratio = guarded.as_secs_f64() / bare.as_secs_f64();
    println!("a JPEG of {WIDTH} × {HEIGHT} pixels, {} kB", photo.len() / 1000);
    println!("bare {bare:.1?}, guarded {guarded:.1?}: {ratio:.2} times, of {LIMIT} allowed");
    if ratio <= LIMIT { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Reads without any of our checks and leaves the pixels as they come.
fn bare_pixels(bytes: &[u8]) -> DynamicImage {
    let decoder = JpegDecoder::new(Cursor::new(bytes)).expect("a header");
    DynamicImage::from_decoder(decoder).expect("a good picture")
}

fn time(work: impl FnOnce() -> usize) -> Duration {
    let start = Instant::now();
    black_box(work());
    start.elapsed()
}

fn least(times: &[Duration]) -> Duration {
    times.iter().copied().min().expect("at least one turn")
}

/// Paints soft shades with edges and grain, packed as a camera would: about two bits a pixel.
fn photo() -> Vec<u8> {
    let mut pixels = Vec::with_capacity(WIDTH as usize * HEIGHT as usize * 3);
    let mut chance = 1_u32;
    for y in 0..HEIGHT {
        for x in 0..WIDTH {
            chance ^= chance << 13;
            chance ^= chance >> 17;
            chance ^= chance << 5;
            let grain = [chance % 25, chance >> 8 & 15, chance >> 16 & 15];
            let leaf = if (x / 97 + y / 61) % 5 == 0 { 40 } else { 0 };
            pixels.extend(
                [
                    x * 150 / WIDTH + grain[0],
                    y * 150 / HEIGHT + leaf + grain[0] + grain[1],
                    90 + leaf + grain[0] + grain[2],
                ]
                .map(level),
            );
        }
    }
    let mut bytes = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut bytes, 85);
    encoder.encode(&pixels, WIDTH, HEIGHT, ExtendedColorType::Rgb8).expect("an encoded picture");
    bytes
}

fn level(value: u32) -> u8 {
    u8::try_from(value).expect("below 256")
}
