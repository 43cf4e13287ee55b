//! Pages as SVG in real units: millimetres outside, points inside.

use std::fmt::Write;

use super::number::{mm, pt};
use crate::fault::Result;
use crate::plan::Plan;
use crate::sheet::{Draw, Font, Page, Path, drawing, nesting};
use crate::wall::Nesting;

/// Writes the full-size template as SVG in real units.
pub fn template_svg(plan: &Plan) -> String {
    svg(&drawing(plan))
}

/// Writes the panels of a nesting as SVG, made smaller.
///
/// # Errors
/// None in practice: as [`nesting`].
pub fn nesting_svg(nested: &Nesting) -> Result<String> {
    nesting(nested).map(|page| svg(&page))
}

fn svg(page: &Page) -> String {
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" viewBox=\"0 0 {} {}\">\n\
         <title>{}</title>\n",
        mm(page.width),
        mm(page.height),
        pt(page.width),
        pt(page.height),
        escaped(&page.title)
    );
    for draw in &page.draws {
        element(&mut text, draw);
    }
    text.push_str("</svg>\n");
    text
}

fn element(text: &mut String, draw: &Draw) {
    // Writing to a String cannot fail.
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
            pt(*width),
            data(path)
        ),
        Draw::Text(words) => writeln!(
            text,
            "<text x=\"{}\" y=\"{}\" font-family=\"DejaVu Sans\" font-size=\"{}\"{} fill=\"{}\">{}</text>",
            pt(words.at.x),
            pt(words.at.y),
            pt(words.size),
            if words.font == Font::Bold { " font-weight=\"bold\"" } else { "" },
            words.rgb,
            escaped(&words.words)
        ),
        Draw::Layer(name) => writeln!(text, "<g id=\"{name}\">"),
        Draw::EndLayer => writeln!(text, "</g>"),
    };
}

fn data(path: &Path) -> String {
    let mut data = String::new();
    for line in &path.0 {
        for (index, place) in line.places.iter().enumerate() {
            let letter = if index == 0 { 'M' } else { 'L' };
            let _ = write!(data, "{letter}{} {}", pt(place.x), pt(place.y));
        }
        if line.closed {
            data.push('Z');
        }
    }
    data
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
