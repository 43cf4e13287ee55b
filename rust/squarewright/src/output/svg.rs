//! Pages as SVG 1.1 in real units: a unit of the drawing is a millimetre, so its scale is 1 both ways exactly.

use std::fmt::Write;

use super::number::mm;
use crate::fault::Result;
use crate::plan::Plan;
use crate::sheet::{Draw, Font, Page, Path, Press, Text, drawing, nesting};
use crate::wall::Nesting;

/// Writes the whole figure at full size as SVG: a group with an `id` and a title for each kind of line.
pub fn template_svg(press: &Press, plan: &Plan) -> String {
    let about = press.tell("drawing.about", plan.fit().pieces.len(), &[]);
    svg(press, &drawing(plan), &about)
}

/// Writes the panels of a nesting as SVG, made smaller.
///
/// # Errors
/// None in practice: as [`nesting`].
pub fn nesting_svg(nested: &Nesting) -> Result<String> {
    nesting(nested).map(|page| svg(&Press::default(), &page, &page.title))
}

fn svg(press: &Press, page: &Page, about: &str) -> String {
    let (width, height) = (mm(page.width), mm(page.height));
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\">\n<title>{}</title>\n<desc>{}</desc>\n",
        escaped(&page.title),
        escaped(about)
    );
    for draws in page.draws.chunk_by(set_alike) {
        match &draws[0] {
            Draw::Text(first) => words(&mut text, first, draws),
            _ => draws.iter().for_each(|draw| element(press, &mut text, draw)),
        }
    }
    text.push_str("</svg>\n");
    text
}

/// Tells whether two marks are text in the same type, which is then stated once for both.
fn set_alike(one: &Draw, other: &Draw) -> bool {
    match (one, other) {
        (Draw::Text(one), Draw::Text(other)) => {
            (one.size, one.font, one.rgb) == (other.size, other.font, other.rgb)
        }
        _ => false,
    }
}

fn words(text: &mut String, first: &Text, draws: &[Draw]) {
    let weight = if first.font == Font::Bold { " font-weight=\"bold\"" } else { "" };
    let (size, rgb) = (mm(first.size), first.rgb);
    // Writing to a String cannot fail.
    let _ = writeln!(
        text,
        "<g font-family=\"DejaVu Sans, sans-serif\" font-size=\"{size}\"{weight} fill=\"{rgb}\">"
    );
    for draw in draws {
        if let Draw::Text(Text { at, words, .. }) = draw {
            let _ = writeln!(text, "<text x=\"{}\" y=\"{}\">{}</text>", mm(at.x), mm(at.y), escaped(words));
        }
    }
    text.push_str("</g>\n");
}

fn element(press: &Press, text: &mut String, draw: &Draw) {
    let _ = match draw {
        Draw::Fill { path, rgb } => {
            writeln!(
                text,
                "<path fill=\"{rgb}\" fill-rule=\"evenodd\" shape-rendering=\"crispEdges\" d=\"{}\"/>",
                data(path)
            )
        }
        Draw::Stroke { path, width, rgb } => writeln!(
            text,
            "<path fill=\"none\" stroke=\"{rgb}\" stroke-width=\"{}\" stroke-linecap=\"square\" d=\"{}\"/>",
            mm(*width),
            data(path)
        ),
        Draw::Layer(name) => {
            let title = press.say(&format!("layer.{name}"));
            writeln!(text, "<g id=\"{name}\">\n<title>{}</title>", escaped(title))
        }
        Draw::EndLayer => writeln!(text, "</g>"),
        Draw::Text(_) => Ok(()),
    };
}

fn data(path: &Path) -> String {
    let mut data = String::new();
    for line in &path.0 {
        for (index, place) in line.places.iter().enumerate() {
            let letter = if index == 0 { 'M' } else { 'L' };
            let _ = write!(data, "{letter}{} {}", mm(place.x), mm(place.y));
        }
        if line.closed {
            data.push('Z');
        }
    }
    data
}

/// Writes text as it may stand between tags and in quoted attributes, in XML 1.0 and in HTML alike.
pub(super) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            // XML 1.0, section 2.2, has no place for these.
            '\u{fffe}' | '\u{ffff}' => safe.push('\u{fffd}'),
            letter if letter.is_control() => safe.push(' '),
            letter => safe.push(letter),
        }
    }
    safe
}
