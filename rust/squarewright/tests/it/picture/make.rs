//! Makes picture files byte by byte, so that what is read is not judged by what wrote it.

use miniz_oxide::deflate::compress_to_vec_zlib;

pub(super) const GREY: u8 = 0;
pub(super) const RGB: u8 = 2;
pub(super) const INDEXED: u8 = 3;
pub(super) const GREY_ALPHA: u8 = 4;
pub(super) const RGBA: u8 = 6;

/// Six opaque pixels, three to a row, no two alike.
pub(super) const SIX: [[u8; 3]; 6] =
    [[255, 0, 0], [0, 255, 0], [0, 0, 255], [10, 20, 30], [250, 240, 230], [128, 129, 130]];

/// The same six as four bytes each.
pub(super) fn six_rgba() -> Vec<u8> {
    SIX.iter().flat_map(|&[red, green, blue]| [red, green, blue, 255]).collect()
}

pub(super) fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, &byte| {
        (0..8).fold(sum ^ u32::from(byte), |sum, _| sum >> 1 ^ if sum & 1 == 1 { 0xEDB8_8320 } else { 0 })
    })
}

fn length(bytes: &[u8]) -> u32 {
    u32::try_from(bytes.len()).expect("a short input")
}

pub(super) fn chunk(name: [u8; 4], body: &[u8]) -> Vec<u8> {
    let sum = crc(&[&name[..], body].concat());
    [&length(body).to_be_bytes(), &name[..], body, &sum.to_be_bytes()].concat()
}

pub(super) fn header(width: u32, height: u32, depth: u8, color: u8, interlace: u8) -> Vec<u8> {
    let mut body = [width.to_be_bytes(), height.to_be_bytes()].concat();
    body.extend([depth, color, 0, 0, interlace]);
    chunk(*b"IHDR", &body)
}

pub(super) fn data(rows: &[u8]) -> Vec<u8> {
    chunk(*b"IDAT", &compress_to_vec_zlib(rows, 6))
}

/// Puts chunks behind the signature.
pub(super) fn png_of(chunks: &[Vec<u8>]) -> Vec<u8> {
    [b"\x89PNG\r\n\x1A\n".to_vec(), chunks.concat()].concat()
}

pub(super) fn end() -> Vec<u8> {
    chunk(*b"IEND", b"")
}

/// Makes a PNG from packed rows, each without its filter byte, with chunks between header and pixels.
pub(super) fn png(size: (u32, u32), depth: u8, color: u8, rows: &[u8], between: &[Vec<u8>]) -> Vec<u8> {
    let height = usize::try_from(size.1).expect("a short input");
    let stride = rows.len() / height;
    let filtered: Vec<u8> = rows.chunks(stride).flat_map(|row| [&[0], row].concat()).collect();
    png_of(&[header(size.0, size.1, depth, color, 0), between.concat(), data(&filtered), end()])
}

/// Makes the six pixels as PNG.
pub(super) fn six_png() -> Vec<u8> {
    png((3, 2), 8, RGB, &SIX.concat(), &[])
}

/// Makes the six pixels as BMP: rows from the bottom, blue first, padded to four bytes.
pub(super) fn six_bmp() -> Vec<u8> {
    let mut pixels = Vec::new();
    for row in SIX.chunks(3).rev() {
        pixels.extend(row.iter().flat_map(|&[red, green, blue]| [blue, green, red]));
        pixels.extend([0; 3]);
    }
    bmp((3, 2), 24, 0, &[], &pixels)
}

pub(super) fn bmp(size: (i32, i32), bits: u16, packing: u32, palette: &[u8], pixels: &[u8]) -> Vec<u8> {
    let start = 54 + length(palette);
    let mut bytes = [b"BM".to_vec(), (start + length(pixels)).to_le_bytes().to_vec(), vec![0; 4]].concat();
    bytes.extend([start, 40].iter().flat_map(|number| number.to_le_bytes()));
    bytes.extend([size.0, size.1].iter().flat_map(|number| number.to_le_bytes()));
    bytes.extend([1, bits].iter().flat_map(|number| number.to_le_bytes()));
    let rest = [packing, length(pixels), 2835, 2835, length(palette) / 4, 0];
    bytes.extend(rest.iter().flat_map(|number| number.to_le_bytes()));
    [&bytes, palette, pixels].concat()
}

/// One picture in a GIF: left, top, width, height and palette indices 0 to 3.
pub(super) type Frame<'a> = ([u16; 4], &'a [u8]);

pub(super) const FOUR: [u8; 12] = [0, 0, 0, 255, 0, 0, 0, 255, 0, 0, 0, 255];

/// Makes a GIF of four colours in which index 0 is transparent.
pub(super) fn gif(canvas: (u16, u16), palette: &[u8], frames: &[Frame<'_>]) -> Vec<u8> {
    let mut bytes = b"GIF89a".to_vec();
    bytes.extend([canvas.0, canvas.1].iter().flat_map(|side| side.to_le_bytes()));
    bytes.extend([if palette.is_empty() { 0 } else { 0x81 }, 0, 0]);
    bytes.extend(palette);
    for (place, indices) in frames {
        bytes.extend([0x21, 0xF9, 4, 1, 0, 0, 0, 0, 0x2C]);
        bytes.extend(place.iter().flat_map(|number| number.to_le_bytes()));
        let packed = lzw(indices);
        bytes.extend([0, 2, u8::try_from(packed.len()).expect("a short frame")]);
        bytes.extend(packed);
        bytes.push(0);
    }
    bytes.push(0x3B);
    bytes
}

/// Packs indices 0 to 3 in codes of three bits; the table is cleared before a code of four could be due.
fn lzw(indices: &[u8]) -> Vec<u8> {
    let codes = indices.chunks(2).flat_map(|pair| [&[4], pair].concat()).chain([5]);
    let bits: Vec<u8> = codes.flat_map(|code| [code & 1, code >> 1 & 1, code >> 2 & 1]).collect();
    bits.chunks(8).map(|byte| byte.iter().rev().fold(0, |sum, bit| sum << 1 | bit)).collect()
}

pub(super) fn segment(marker: u8, body: &[u8]) -> Vec<u8> {
    let length = u16::try_from(body.len() + 2).expect("a short segment");
    [&[0xFF, marker], &length.to_be_bytes()[..], body].concat()
}

/// Makes a JPEG of 16 × 16 pixels, all of grey 178: four blocks, of which the first states 50 above 128.
///
/// The first Huffman table has the codes 0 (no difference) and 10 (six bits of difference), the second has
/// 0 (end of block); every divisor is 8.
pub(super) fn grey_jpeg(progressive: bool) -> Vec<u8> {
    let tables = segment(0xDB, &[&[0], &[8; 64][..]].concat());
    let frame = segment(if progressive { 0xC2 } else { 0xC0 }, &[8, 0, 16, 0, 16, 1, 1, 0x11, 0]);
    let first = segment(0xC4, &[&[0x00, 1, 1], &[0; 14][..], &[0, 6]].concat());
    let second = segment(0xC4, &[&[0x10, 1, 0], &[0; 14][..], &[0]].concat());
    let scans = if progressive {
        // 10 110010 0 0 0, padded with ones; then 0 0 0 0
        let coarse = [segment(0xDA, &[1, 1, 0, 0, 0, 0]), vec![0b1011_0010, 0b0001_1111]].concat();
        let fine = [segment(0xDA, &[1, 1, 0, 1, 63, 0]), vec![0b0000_1111]].concat();
        [coarse, fine].concat()
    } else {
        // 10 110010 0, then 0 0 for each other block, padded with ones
        [segment(0xDA, &[1, 1, 0, 0, 63, 0]), vec![0b1011_0010, 0b0000_0001]].concat()
    };
    [vec![0xFF, 0xD8], tables, frame, first, second, scans, vec![0xFF, 0xD9]].concat()
}

/// Makes a JPEG of colour noise, 64 × 64, of some thousand bytes.
pub(super) fn noisy_jpeg() -> Vec<u8> {
    let mut chance = super::chance::Chance(7);
    let pixels: Vec<u8> = (0..64 * 64 * 3).map(|_| chance.byte()).collect();
    jpeg(64, 64, &pixels)
}

pub(super) fn jpeg(width: u32, height: u32, rgb: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 90);
    encoder.encode(rgb, width, height, image::ExtendedColorType::Rgb8).expect("an encoded picture");
    bytes
}

/// Puts a segment right behind the start marker.
pub(super) fn with_segment(jpeg: &[u8], marker: u8, body: &[u8]) -> Vec<u8> {
    [&jpeg[..2], &segment(marker, body), &jpeg[2..]].concat()
}

pub(super) fn riff(chunks: &[Vec<u8>]) -> Vec<u8> {
    let body = [b"WEBP".to_vec(), chunks.concat()].concat();
    [b"RIFF".to_vec(), length(&body).to_le_bytes().to_vec(), body].concat()
}

pub(super) fn riff_chunk(name: [u8; 4], body: &[u8]) -> Vec<u8> {
    let padding = vec![0; body.len() % 2];
    [&name[..], &length(body).to_le_bytes(), body, &padding].concat()
}

/// Makes the six pixels as a lossless WebP.
pub(super) fn six_webp() -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = image::codecs::webp::WebPEncoder::new_lossless(&mut bytes);
    encoder.encode(&SIX.concat(), 3, 2, image::ExtendedColorType::Rgb8).expect("an encoded picture");
    bytes
}

/// Makes the first chunk of an extended WebP of 3 × 2 pixels.
pub(super) fn extended(flags: u8) -> Vec<u8> {
    riff_chunk(*b"VP8X", &[flags, 0, 0, 0, 2, 0, 0, 1, 0, 0])
}

/// Makes Exif tags that hold an orientation and nothing else.
pub(super) fn exif(orientation: u16) -> Vec<u8> {
    let mut tags = b"MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01".to_vec();
    tags.extend(orientation.to_be_bytes());
    tags.extend([0; 6]);
    tags
}
