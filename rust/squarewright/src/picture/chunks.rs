//! Walks over the chunks of PNG and WebP files and the blocks of GIF files without unpacking them.

/// One labelled piece of a file.
pub(super) struct Chunk<'a> {
    /// The four letters that say what it is.
    pub(super) name: &'a [u8],
    /// Its content, cut short if the file is.
    pub(super) body: &'a [u8],
    /// Whether all of its content is there.
    pub(super) is_whole: bool,
}

/// Walks over the chunks of a PNG (ISO/IEC 15948, clause 5.3): length, name, content, checksum.
pub(super) fn png(bytes: &[u8]) -> impl Iterator<Item = Chunk<'_>> {
    let mut rest = bytes.get(8..).unwrap_or_default();
    std::iter::from_fn(move || {
        let (length, after) = rest.split_first_chunk::<4>()?;
        let (name, after) = after.split_at_checked(4)?;
        let length = u32::from_be_bytes(*length) as usize;
        let body = after.get(..length).unwrap_or(after);
        rest = after.get(length.saturating_add(4)..).unwrap_or_default();
        Some(Chunk { name, body, is_whole: body.len() == length })
    })
}

/// Walks over the chunks of a WebP (RFC 9649, section 2.3): name, length, content, a byte of padding if odd.
pub(super) fn webp(bytes: &[u8]) -> impl Iterator<Item = Chunk<'_>> {
    let mut rest = bytes.get(12..).unwrap_or_default();
    std::iter::from_fn(move || {
        let (name, after) = rest.split_at_checked(4)?;
        let (length, after) = after.split_first_chunk::<4>()?;
        let length = u32::from_le_bytes(*length) as usize;
        let body = after.get(..length).unwrap_or(after);
        rest = after.get(length.saturating_add(length % 2)..).unwrap_or_default();
        Some(Chunk { name, body, is_whole: body.len() == length })
    })
}

/// Counts the pictures in a GIF (`GIF89a` specification, sections 15 to 27), as far as the bytes go.
pub(super) fn gif_frames(bytes: &[u8]) -> u32 {
    let mut frames = 0;
    let mut rest = bytes.get(10..).and_then(|screen| after_table(screen, 3));
    while let Some((&label, after)) = rest.and_then(<[u8]>::split_first) {
        rest = match label {
            // an extension: its kind, then blocks
            0x21 => after.get(1..).and_then(after_blocks),
            // a picture: place and size, perhaps colours, the code size, then blocks
            0x2C => {
                frames += 1;
                after
                    .get(8..)
                    .and_then(|packed| after_table(packed, 1))
                    .and_then(|data| after_blocks(&data[1..]))
            }
            _ => None,
        };
    }
    frames
}

/// Skips `fixed` bytes, the first of which says how long a colour table follows, and that table.
///
/// What is left is not empty.
fn after_table(bytes: &[u8], fixed: usize) -> Option<&[u8]> {
    let packed = *bytes.first()?;
    let table = if packed & 0x80 == 0 { 0 } else { 3 << ((packed & 7) + 1) };
    bytes.get(fixed + table..).filter(|rest| !rest.is_empty())
}

/// Skips blocks that each state their length, up to and including the empty one.
fn after_blocks(mut bytes: &[u8]) -> Option<&[u8]> {
    loop {
        let (&length, after) = bytes.split_first()?;
        bytes = after.get(usize::from(length)..)?;
        if length == 0 {
            return Some(bytes);
        }
    }
}
