//! Message catalogues: files in the PO format of gettext, read by key.
//!
//! A message has its key as `msgctxt`, its English words as `msgid` (and `msgid_plural`), and the words of the
//! language as `msgstr`. The format is that of the GNU gettext manual, chapter "The Format of PO Files"; comments
//! and obsolete messages are passed over. Catalogues are looked up by key and not by English words, which no
//! well-kept crate does.

use std::collections::BTreeMap;

/// The words under each key: one form, or one for each kind of count.
pub(super) type Catalogue = BTreeMap<String, Vec<String>>;

/// Reads the English words.
pub(super) fn source(text: &str) -> Catalogue {
    read(text, |keyword| keyword.starts_with("msgid"))
}

/// Reads what is translated.
pub(super) fn translated(text: &str) -> Catalogue {
    let mut words = read(text, |keyword| keyword.starts_with("msgstr"));
    words.retain(|_, forms| !forms.iter().any(String::is_empty));
    words
}

fn read(text: &str, wanted: fn(&str) -> bool) -> Catalogue {
    let of = |message: Vec<(&str, String)>| {
        let (mut key, mut forms) = (None, Vec::new());
        for (keyword, words) in message {
            match keyword {
                "msgctxt" => key = Some(words),
                _ if wanted(keyword) => forms.push(words),
                _ => {}
            }
        }
        // The head of a file has no key.
        Some((key?, forms))
    };
    messages(text).into_iter().filter_map(of).collect()
}

/// Parts a file into messages, each a list of keywords with their words.
fn messages(text: &str) -> Vec<Vec<(&str, String)>> {
    let mut messages: Vec<Vec<(&str, String)>> = Vec::new();
    let lines = text.lines().map(str::trim).filter(|line| !line.starts_with('#'));
    for (keyword, quoted) in lines.filter_map(|line| Some(line.split_at(line.find('"')?))) {
        let (keyword, words) = (keyword.trim(), unquoted(quoted));
        let last = messages.last_mut().and_then(|message| message.last_mut());
        match (keyword, last) {
            ("", Some((_, before))) => before.push_str(&words),
            ("msgid", Some(("msgctxt", _))) => push(&mut messages, keyword, words),
            ("msgctxt" | "msgid", _) => messages.push(vec![(keyword, words)]),
            _ => push(&mut messages, keyword, words),
        }
    }
    messages
}

fn push<'a>(messages: &mut [Vec<(&'a str, String)>], keyword: &'a str, words: String) {
    if let Some(message) = messages.last_mut() {
        message.push((keyword, words));
    }
}

/// Takes the marks off a quoted string.
fn unquoted(quoted: &str) -> String {
    let inside = quoted.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(quoted);
    let mut words = String::new();
    let mut letters = inside.chars();
    while let Some(letter) = letters.next() {
        match (letter, letter == '\\') {
            (_, false) => words.push(letter),
            _ => match letters.next() {
                Some('n') => words.push('\n'),
                Some('t') => words.push('\t'),
                escaped => words.extend(escaped),
            },
        }
    }
    words
}
