//! The pieces of a chapter: paragraphs, lists, facts and tables.

use super::write::Html;
use crate::colour::Rgb;
use crate::sheet::{Chapter, Entry, Told};

/// A list that neighbouring pieces belong to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum List {
    Ticks,
    Numbers,
    Dots,
    Cautions,
}

impl List {
    fn of(told: &Told) -> Option<Self> {
        match told {
            Told::Ticked(_) => Some(Self::Ticks),
            Told::Item { sign, .. } if sign == "!" => Some(Self::Cautions),
            Told::Item { sign, .. } if number(sign).is_some() => Some(Self::Numbers),
            Told::Item { .. } => Some(Self::Dots),
            _ => None,
        }
    }

    fn tag(self) -> (&'static str, &'static str) {
        match self {
            Self::Ticks => ("ul", "ticks"),
            Self::Numbers => ("ol", "numbers"),
            Self::Dots => ("ul", "dots"),
            Self::Cautions => ("ul", "care"),
        }
    }
}

/// Reads a sign such as `12.`.
fn number(sign: &str) -> Option<u32> {
    sign.strip_suffix('.')?.parse().ok()
}

/// Writes a chapter; `id` begins the ids of its parts.
pub(super) fn blocks(html: &mut Html, id: &str, chapter: &Chapter) {
    let mut tables = 0;
    for part in chapter.told.chunk_by(|_, next| !matches!(next, Told::Heading(_))) {
        let heading = match &part[0] {
            Told::Heading(words) => words,
            _ => &chapter.title,
        };
        if *heading != chapter.title {
            html.element("h3", &[], heading);
        }
        let several = part.iter().filter(|told| matches!(told, Told::Table { .. })).count() > 1;
        let mut before = None;
        for run in part.chunk_by(|one, next| List::of(one).is_some() && List::of(one) == List::of(next)) {
            match (&run[0], List::of(&run[0])) {
                (_, Some(kind)) => list(html, kind, run),
                (Told::Table { heads, rows }, _) => {
                    tables += 1;
                    let caption = before.filter(|_| several).map(first_sentence);
                    let class = caption.map_or("again", |_| "own");
                    let caption = (class, caption.unwrap_or(heading));
                    table(html, (&format!("{id}-table-{tables}"), caption), heads, rows);
                }
                (told, _) => plain(html, told),
            }
            before = match &run[0] {
                Told::Paragraph(words) => Some(words),
                _ => None,
            };
        }
    }
}

/// Gives the words up to the first full stop that ends a sentence.
fn first_sentence(words: &String) -> &str {
    words.split_once(". ").map_or(&**words, |(first, _)| first)
}

fn plain(html: &mut Html, told: &Told) {
    match told {
        Told::Paragraph(words) => html.element("p", &[], words),
        Told::Note(words) => html.element("p", &[("class", "note")], words),
        Told::Facts(facts) => {
            html.open("dl", &[]);
            for (label, value) in facts {
                html.open("div", &[]);
                html.element("dt", &[], label);
                html.element("dd", &[], value);
                html.close("div");
            }
            html.close("dl");
        }
        // Headings, lists and tables are written where they are found.
        Told::Heading(_) | Told::Item { .. } | Told::Ticked(_) | Told::Table { .. } => {}
    }
}

fn list(html: &mut Html, kind: List, run: &[Told]) {
    let (tag, class) = kind.tag();
    html.open(tag, &[("class", class)]);
    for told in run {
        match told {
            Told::Item { sign, words } => match number(sign) {
                Some(number) => html.element("li", &[("value", &number.to_string())], words),
                None => html.element("li", &[], words),
            },
            Told::Ticked(words) => html.element("li", &[], words),
            _ => {}
        }
    }
    html.close(tag);
}

/// What fits a column of a narrow table, in letters.
const SHORT: usize = 16;

/// Writes a table in a box that scrolls by itself, by keyboard too, when it is wider than the window.
fn table(
    html: &mut Html,
    (id, caption): (&str, (&str, &str)),
    heads: &[(String, bool)],
    rows: &[Vec<Entry>],
) {
    // Long lists of few short columns stand in several stacks.
    let is_short = |entry: &Entry| match entry {
        Entry::Words(words) | Entry::Strong(words) => words.chars().count() <= SHORT,
        _ => true,
    };
    let is_narrow = heads.len() < 4 && rows.len() > 20 && rows.iter().flatten().all(is_short);
    let class = if is_narrow { "scroll narrow" } else { "scroll" };
    html.open("div", &[("class", class), ("role", "group"), ("tabindex", "0"), ("aria-labelledby", id)]);
    html.open("table", &[]);
    html.element("caption", &[("id", id), ("class", caption.0)], caption.1);
    html.open("thead", &[]);
    html.open("tr", &[]);
    for (head, right) in heads {
        match (&**head, *right) {
            ("", _) => html.element("td", &[], ""),
            (head, true) => html.element("th", &[("scope", "col"), ("class", "right")], head),
            (head, false) => html.element("th", &[("scope", "col")], head),
        }
    }
    html.close("tr");
    html.close("thead");
    html.open("tbody", &[]);
    for row in rows {
        html.open("tr", &[]);
        let named = row.iter().position(
            |entry| matches!(entry, Entry::Words(words) | Entry::Strong(words) if !words.is_empty()),
        );
        for (place, entry) in row.iter().enumerate() {
            let right = heads.get(place).is_some_and(|(_, right)| *right);
            cell(html, entry, named == Some(place), right);
        }
        html.close("tr");
    }
    html.close("tbody");
    html.close("table");
    html.close("div");
}

/// Writes one cell; the first that has words names its row.
fn cell(html: &mut Html, entry: &Entry, names_row: bool, right: bool) {
    let (tag, scope) = if names_row { ("th", Some(("scope", "row"))) } else { ("td", None) };
    let right = right.then_some(("class", "right"));
    let attributes: Vec<(&str, &str)> = scope.into_iter().chain(right).collect();
    match entry {
        Entry::Words(words) | Entry::Strong(words) => html.element(tag, &attributes, words),
        Entry::Swatch(colour) | Entry::Sign(_, colour) => {
            html.open(tag, &attributes);
            swatch(html, *colour);
            html.close(tag);
        }
        Entry::Box | Entry::Tick => {
            let class = if *entry == Entry::Tick { "tick" } else { "box" };
            html.open(tag, &attributes);
            html.element("span", &[("class", class)], "");
            html.close(tag);
        }
    }
}

/// Draws a colour: a drawing keeps it on paper, where backgrounds may be left out.
fn swatch(html: &mut Html, colour: Rgb) {
    let code = colour.to_string();
    html.open("svg", &[("class", "swatch"), ("viewBox", "0 0 2 1"), ("role", "img"), ("aria-label", &code)]);
    html.element("rect", &[("width", "2"), ("height", "1"), ("fill", &code)], "");
    html.close("svg");
}
