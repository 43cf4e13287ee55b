//! Takes the merged picture out of an `OpenRaster` document: a zip archive with `mergedimage.png` in it.
//!
//! Nothing is ever written to disk, and names inside the archive are looked at, not followed.

use miniz_oxide::inflate::decompress_to_vec_with_limit;
use rawzip::{CompressionMethod, ZipArchive, ZipSliceArchive, ZipSliceEntry};

use super::limits;
use crate::fault::PictureFault;

const MERGED: &[u8] = b"mergedimage.png";

/// Entries that are looked at: a document has a few for each layer.
const ENTRIES: usize = 10_000;

/// Gives the bytes of the merged picture, a PNG.
pub(super) fn merged(bytes: &[u8]) -> Result<Vec<u8>, PictureFault> {
    let archive = ZipArchive::from_slice(bytes).map_err(|_| PictureFault::Truncated { percent: None })?;
    let entry = find(&archive)?;
    let png = unpacked(&entry)?;
    if png.is_empty() { Err(damaged("its merged picture is empty")) } else { Ok(png) }
}

/// Says whether an archive holds a stack of layers, as `OpenRaster` documents do.
pub(super) fn has_stack(bytes: &[u8]) -> bool {
    let Ok(archive) = ZipArchive::from_slice(bytes) else { return false };
    let mut entries = archive.entries();
    (0..ENTRIES)
        .map_while(|_| entries.next_entry().ok().flatten())
        .any(|entry| entry.file_path().as_ref() == b"stack.xml")
}

struct Found<'a> {
    entry: ZipSliceEntry<'a>,
    method: CompressionMethod,
    stated: u64,
}

/// Finds the merged picture; a document that names a place outside itself is refused whole.
fn find<'a>(archive: &'a ZipSliceArchive<&[u8]>) -> Result<Found<'a>, PictureFault> {
    let mut found = None;
    let mut entries = archive.entries();
    for _ in 0..ENTRIES {
        let entry = entries.next_entry().map_err(|_| damaged("its list of parts makes no sense"))?;
        let Some(entry) = entry else {
            return found.ok_or_else(|| damaged("it has no merged picture"));
        };
        let path = entry.file_path();
        if is_outside(path.as_ref()) {
            return Err(damaged("it names a part outside itself"));
        }
        if path.as_ref() == MERGED && found.is_none() {
            let (method, stated) = (entry.compression_method(), entry.uncompressed_size_hint());
            let entry = archive.get_entry(entry.wayfinder());
            let entry = entry.map_err(|_| PictureFault::Truncated { percent: None })?;
            found = Some(Found { entry, method, stated });
        }
    }
    Err(damaged("it has too many parts"))
}

fn unpacked(found: &Found<'_>) -> Result<Vec<u8>, PictureFault> {
    let stated = usize::try_from(found.stated).unwrap_or(usize::MAX);
    limits::check_file(stated)?;
    let packed = found.entry.data();
    match found.method {
        CompressionMethod::STORE => Ok(packed.to_vec()),
        CompressionMethod::DEFLATE => decompress_to_vec_with_limit(packed, limits::FILE_BYTES)
            .map_err(|_| damaged("its merged picture cannot be unpacked")),
        _ => Err(damaged("its merged picture is packed in an unknown way")),
    }
}

/// Says whether a name would leave the folder that it is unpacked into.
fn is_outside(name: &[u8]) -> bool {
    let is_drive = name.get(1) == Some(&b':');
    name.starts_with(b"/") || is_drive || name.split(|byte| b"/\\".contains(byte)).any(|part| part == b"..")
}

fn damaged(why: &str) -> PictureFault {
    PictureFault::Damaged(why.into())
}
