//! Recognises text, and tells drawings, web pages and pointers among texts.

use crate::fault::{Disguise, PictureFault};

/// Bytes that are looked at: a licence before a drawing fits, a whole novel need not.
const HEAD: usize = 16 << 10;

/// Gives the beginning of a text in lower case, or nothing when the bytes are no text.
pub(super) fn head(bytes: &[u8]) -> Option<String> {
    let head = &bytes[..bytes.len().min(HEAD)];
    let text = match head {
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes),
        [0xEF, 0xBB, 0xBF, rest @ ..] => String::from_utf8_lossy(rest).into_owned(),
        // a Latin letter of UTF-16 without its mark has one zero byte, on the same side each time
        [a, 0, b, 0, ..] if *a.min(b) > 0 => utf16(head, u16::from_le_bytes),
        [0, a, 0, b, ..] if *a.min(b) > 0 => utf16(head, u16::from_be_bytes),
        _ => String::from_utf8_lossy(head).into_owned(),
    };
    is_text(&text).then(|| text.to_lowercase())
}

/// Says what a text is that was given for a picture.
pub(super) fn classify(head: &str) -> PictureFault {
    let start = after_prologue(head);
    if head.starts_with("version https://git-lfs") {
        PictureFault::NotPicture(Disguise::Pointer)
    } else if is_drawing(start) {
        PictureFault::Vector
    } else if is_page(start) || head.contains("<html") {
        PictureFault::NotPicture(Disguise::WebPage)
    } else {
        PictureFault::NotPicture(Disguise::Text)
    }
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> String {
    let units = bytes.as_chunks::<2>().0.iter().map(|&pair| unit(pair));
    char::decode_utf16(units).map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)).collect()
}

/// Says whether there are no control codes and few letters that could not be made out.
fn is_text(text: &str) -> bool {
    let is_control = |letter: char| letter.is_control() && !"\t\n\r\x0C\x1B".contains(letter);
    let strange = text.chars().filter(|&letter| letter == char::REPLACEMENT_CHARACTER).count();
    !text.is_empty() && !text.chars().any(is_control) && strange * 4 <= text.chars().count()
}

/// Skips what may stand before the first element of a marked-up text.
fn after_prologue(text: &str) -> &str {
    let mut rest = text.trim_start_matches('\u{FEFF}').trim_start();
    loop {
        let end = match rest {
            _ if rest.starts_with("<?") => "?>",
            _ if rest.starts_with("<!--") => "-->",
            _ => return rest,
        };
        let Some((_, after)) = rest.split_once(end) else { return rest };
        rest = after.trim_start();
    }
}

/// Recognises SVG by its root element or document type, with or without a name space, and PostScript.
fn is_drawing(start: &str) -> bool {
    let named = start.strip_prefix("<!doctype").map(str::trim_start).or_else(|| start.strip_prefix('<'));
    let name =
        named.and_then(|rest| rest.split(|letter: char| !letter.is_alphanumeric() && letter != ':').next());
    start.starts_with("%!ps") || name.is_some_and(|name| name == "svg" || name.ends_with(":svg"))
}

fn is_page(start: &str) -> bool {
    ["<!doctype html", "<head", "<body", "<script", "<title"].iter().any(|tag| start.starts_with(tag))
}
