//! Says in plain words what a decoder found wrong.

use std::error::Error;
use std::io::{self, ErrorKind};

use image::ImageError;

use super::limits;
use crate::fault::PictureFault;

/// Telling words of decoders, and what they mean to the reader; the first that fits counts.
const MEANINGS: [(&str, &str); 14] = [
    ("crc", "a checksum does not match"),
    ("palette", "its colour table is missing or wrong"),
    ("color table", "its colour table is missing or wrong"),
    ("bit depth", "its header states an impossible kind of pixel"),
    ("color type", "its header states an impossible kind of pixel"),
    ("channel", "its header states an impossible kind of pixel"),
    ("filter", "a row of pixels is packed in an unknown way"),
    ("idat", "the pixels are missing"),
    ("image data", "the pixels are missing"),
    ("width", "its header states an impossible size"),
    ("height", "its header states an impossible size"),
    ("dimension", "its header states an impossible size"),
    ("huffman", "its packed pixels make no sense"),
    ("corrupt", "its packed pixels make no sense"),
];

/// Gives the fault behind an error of the `image` crate.
pub(super) fn from_image(error: &ImageError) -> PictureFault {
    match error {
        ImageError::IoError(error) => from_io(error),
        ImageError::Limits(_) => too_much_memory(),
        ImageError::Unsupported(_) => PictureFault::Format("a picture packed in a rare way"),
        // the only wrong argument that these calls can make is to ask for a frame where there is none
        ImageError::Parameter(_) => PictureFault::Damaged("it holds no picture".into()),
        error => source_io(error).map_or_else(|| from_words(&error.to_string()), from_io),
    }
}

/// Gives the fault behind a failed read: bytes that end too soon, or a place that does not exist.
pub(super) fn from_io(error: &io::Error) -> PictureFault {
    match error.kind() {
        ErrorKind::UnexpectedEof => PictureFault::Truncated { percent: None },
        _ => from_text(&error.to_string()),
    }
}

/// Gives the fault behind an error that is known by its words alone: GIF has an end of file of its own.
fn from_words(words: &str) -> PictureFault {
    if words.to_lowercase().contains("unexpected end of file") {
        PictureFault::Truncated { percent: None }
    } else {
        from_text(words)
    }
}

/// Gives the fault behind the words of a decoder.
pub(super) fn from_text(words: &str) -> PictureFault {
    let words = words.to_lowercase();
    let meaning = MEANINGS.iter().find(|(word, _)| words.contains(word));
    PictureFault::Damaged(meaning.map_or("its content makes no sense", |&(_, meaning)| meaning).into())
}

/// Gives the fault for a picture that wants more memory than its size explains.
pub(super) fn too_much_memory() -> PictureFault {
    PictureFault::TooBig {
        what: "its content needs more memory than allowed".into(),
        limit: format!("{} MiB unpacked", limits::DECODED_BYTES >> 20),
    }
}

/// Finds the failed read that an error was caused by.
fn source_io(error: &ImageError) -> Option<&io::Error> {
    let mut cause = error.source();
    while let Some(error) = cause {
        if let Some(error) = error.downcast_ref::<io::Error>() {
            return Some(error);
        }
        cause = error.source();
    }
    None
}
