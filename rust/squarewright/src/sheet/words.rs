//! The message catalogue: every printed string stands in `assets/words.en.txt` under its key.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::text::KEPT;

static ENGLISH: LazyLock<BTreeMap<&'static str, &'static str>> = LazyLock::new(|| {
    let lines = include_str!("../../assets/words.en.txt").lines();
    lines.filter(|line| !line.starts_with('#')).filter_map(|line| line.split_once(" = ")).collect()
});

/// Gives the words under a key.
///
/// # Panics
/// When the catalogue lacks the key; the tests draw every page.
pub(crate) fn say(key: &str) -> &'static str {
    ENGLISH.get(key).unwrap_or_else(|| panic!("the catalogue has no {key:?}"))
}

/// Keeps a length such as `4 1/4 in` on one line.
pub(super) fn kept(length: &str) -> String {
    length.replace(' ', KEPT)
}

/// Counts things in words: `{what}.one` for one of them, `{what}.many` for any other number.
pub(super) fn counted(what: &str, count: usize) -> String {
    kept(&match count {
        1 => say(&format!("{what}.one")).to_owned(),
        _ => fill(&format!("{what}.many"), &[("count", &count)]),
    })
}

/// Gives the words under a key with each `{name}` filled in.
pub(crate) fn fill(key: &str, values: &[(&str, &dyn std::fmt::Display)]) -> String {
    values.iter().fold(say(key).to_owned(), |text, (name, value)| {
        text.replace(&format!("{{{name}}}"), &value.to_string())
    })
}
