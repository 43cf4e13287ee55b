//! What representations are made of: keywords that are not as usual, counts of things.

/// A keyword and its value, as Python writes it.
pub(crate) type Word = (&'static str, String);

/// Gives the class with the keywords whose values are not the usual ones.
pub(crate) fn changed(class: &str, own: Vec<Word>, usual: &[Word]) -> String {
    let words: Vec<String> = own
        .into_iter()
        .filter(|word| !usual.contains(word))
        .map(|(keyword, value)| format!("{keyword}={value}"))
        .collect();
    format!("{class}({})", words.join(", "))
}

/// Writes a text as Python does.
pub(crate) fn text(value: impl std::fmt::Display) -> String {
    format!("'{value}'")
}

/// Writes one of several words as it is asked for: that of its variant.
pub(crate) fn choice(value: impl std::fmt::Debug) -> String {
    format!("'{value:?}'").to_lowercase()
}

/// Counts things: "2 figures".
pub(crate) fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}
