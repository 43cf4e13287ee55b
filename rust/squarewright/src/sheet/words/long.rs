//! A language that nobody speaks: English with two letters in five doubled, accents and brackets.
//!
//! Where its words are cut off, a bracket is missing; where they do not fit, neither would those of a real language
//! with longer words. Words grow by 40 %, as short German ones do (common practice).

use super::catalogue::Catalogue;

/// Turns English words into longer ones.
pub(super) fn of(english: &Catalogue) -> Catalogue {
    let longer = |forms: &Vec<String>| forms.iter().map(|words| long(words)).collect();
    english.iter().map(|(key, forms)| (key.clone(), longer(forms))).collect()
}

/// What two letters in five add to a letter, and what makes one more.
const SHARE: (usize, usize) = (2, 5);

fn long(words: &str) -> String {
    let (mut longer, mut inside, mut due) = (String::new(), false, 0);
    let mut has_letters = false;
    for letter in words.chars() {
        inside = letter == '{' || inside && letter != '}';
        if inside || !letter.is_alphabetic() {
            longer.push(letter);
            continue;
        }
        has_letters = true;
        let accented = accented(letter);
        longer.push(accented);
        due += SHARE.0;
        if due >= SHARE.1 {
            due -= SHARE.1;
            longer.push(accented);
        }
    }
    if !has_letters {
        return longer;
    }
    // The space that some words begin with stays outside.
    let start = longer.len() - longer.trim_start().len();
    format!("{}[{}]", &longer[..start], &longer[start..])
}

fn accented(letter: char) -> char {
    const PLAIN: &str = "aeiouyncAEIOUYNC";
    const ACCENTED: &str = "áêïöûýñçÅÉÎØÜÝÑÇ";
    PLAIN.chars().zip(ACCENTED.chars()).find(|(plain, _)| *plain == letter).map_or(letter, |(_, other)| other)
}
