//! Says what bytes are, by what is in them and never by a name.

use super::{Format, ora, text};
use crate::fault::{Disguise, PictureFault};

const PNG: &[u8] = b"\x89PNG\r\n\x1A\n";
const JPEG: &[u8] = b"\xFF\xD8\xFF";

/// Beginnings of the pictures that are read, to tell a stump of one from a stranger.
const BEGINNINGS: [&[u8]; 6] = [PNG, JPEG, b"GIF87a", b"GIF89a", b"BM", b"RIFF"];

/// Beginnings of the formats that have a name worth telling, but are not read.
const FORMATS: [(&[u8], &str); 14] = [
    (b"II*\0", "a TIFF picture"),
    (b"MM\0*", "a TIFF picture"),
    (b"II+\0", "a TIFF picture"),
    (b"MM\0+", "a TIFF picture"),
    (b"8BPS", "an editor document (PSD)"),
    (b"gimp xcf", "an editor document (XCF)"),
    (b"\xFF\x0A", "a JPEG XL picture"),
    (b"\0\0\0\x0CJXL \r\n\x87\n", "a JPEG XL picture"),
    (b"\0\0\0\x0CjP  \r\n\x87\n", "a JPEG 2000 picture"),
    (b"\0\0\x01\0", "an icon file"),
    (b"v/1\x01", "an OpenEXR picture"),
    (b"#?RADIANCE", "a Radiance HDR picture"),
    (b"DDS ", "a DDS texture"),
    (b"qoif", "a QOI picture"),
];

/// Beginnings of packed files.
const ARCHIVES: [&[u8]; 9] = [
    b"PK\x03\x04",
    b"PK\x05\x06",
    b"PK\x07\x08",
    b"\x1F\x8B",
    b"7z\xBC\xAF\x27\x1C",
    b"Rar!\x1A\x07",
    b"\xFD7zXZ\0",
    b"\x28\xB5\x2F\xFD",
    b"BZh",
];

/// Says which kind of picture the bytes are, or what they are instead.
pub(super) fn sniff(bytes: &[u8]) -> Result<Format, PictureFault> {
    if bytes.is_empty() {
        return Err(PictureFault::Empty);
    }
    if let Some(format) = format(bytes) {
        return Ok(format);
    }
    Err(stranger(bytes))
}

fn format(bytes: &[u8]) -> Option<Format> {
    match bytes {
        _ if bytes.starts_with(PNG) => Some(Format::Png),
        _ if bytes.starts_with(JPEG) => Some(Format::Jpeg),
        [b'G', b'I', b'F', b'8', b'7' | b'9', b'a', ..] => Some(Format::Gif),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some(Format::Webp),
        // two letters are no proof: a text may begin with them too
        [b'B', b'M', _, ..] if text::head(bytes).is_none() => Some(Format::Bmp),
        _ if mimetype(bytes).is_some_and(|kind| kind.starts_with(b"image/openraster")) => Some(Format::Ora),
        _ => None,
    }
}

/// Says what bytes are that are no picture that is read.
fn stranger(bytes: &[u8]) -> PictureFault {
    if is_stump(bytes) {
        return PictureFault::Truncated { percent: None };
    }
    if bytes.starts_with(b"\x89PNG") {
        return PictureFault::Damaged("its line ends were changed on the way".into());
    }
    if let Some(name) = unread(bytes) {
        return PictureFault::Format(name);
    }
    if bytes.starts_with(b"%PDF-") {
        return PictureFault::NotPicture(Disguise::Pdf);
    }
    if mimetype(bytes).is_some() && ora::has_stack(bytes) {
        return PictureFault::Damaged("it says that it is no OpenRaster document".into());
    }
    if ARCHIVES.iter().any(|beginning| bytes.starts_with(beginning)) || is_tar(bytes) {
        return PictureFault::NotPicture(Disguise::Archive);
    }
    text::head(bytes).map_or(PictureFault::NotPicture(Disguise::Unknown), |head| text::classify(&head))
}

/// Says whether the bytes end before they can be told apart; a single byte always does.
fn is_stump(bytes: &[u8]) -> bool {
    bytes.len() == 1
        || BEGINNINGS.iter().any(|beginning| beginning.starts_with(bytes))
        || (bytes.starts_with(b"RIFF") && bytes.len() < 12)
}

fn unread(bytes: &[u8]) -> Option<&'static str> {
    let named = FORMATS.iter().find(|(beginning, _)| bytes.starts_with(beginning));
    named.map(|&(_, name)| name).or_else(|| boxed(bytes)).or_else(|| zipped(bytes)).or_else(|| anymap(bytes))
}

/// Tells the pictures that share the box format of ISO/IEC 14496-12 by their brands.
fn boxed(bytes: &[u8]) -> Option<&'static str> {
    if bytes.get(4..8)? != b"ftyp" {
        return None;
    }
    let length = u32::from_be_bytes(*bytes.first_chunk()?) as usize;
    // the main brand, a version that is no brand, and the brands that also fit; no file needs 64 of them
    let brands = bytes.get(8..length.min(bytes.len()).min(256))?;
    let has = |names: &[&[u8]]| brands.chunks_exact(4).any(|brand| names.contains(&brand));
    if has(&[b"avif", b"avis"]) {
        Some("an AVIF picture")
    } else if has(&[b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"]) {
        Some("a phone picture (HEIC)")
    } else {
        None
    }
}

/// Tells the editor documents that are zip archives with their kind as the first entry.
fn zipped(bytes: &[u8]) -> Option<&'static str> {
    let kind = mimetype(bytes)?;
    let is_kra = kind.starts_with(b"application/x-kra") || kind.starts_with(b"application/x-krita");
    is_kra.then_some("an editor document (KRA)")
}

/// Gives what follows the name `mimetype` of the first entry of a zip archive, stored as it is.
fn mimetype(bytes: &[u8]) -> Option<&[u8]> {
    bytes.strip_prefix(b"PK\x03\x04")?.get(26..)?.strip_prefix(b"mimetype")
}

fn anymap(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [b'P', b'1'..=b'6', b'\n' | b'\r' | b' ' | b'\t', b'0'..=b'9' | b'#', ..] => Some("a Netpbm picture"),
        _ => None,
    }
}

fn is_tar(bytes: &[u8]) -> bool {
    bytes.get(257..262) == Some(b"ustar")
}
