//! The report: one page for the screen and for paper, with nothing outside it and no script.
//!
//! What it says is what the sheets of the book say. Its policy allows nothing but its own style, by its hash, and
//! pictures inside it (W3C, Content Security Policy Level 3).

mod block;
mod wall;
mod write;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use self::block::blocks;
pub use self::wall::wall_html;
use self::write::Html;
use super::png::{page_png, sized_png};
use crate::plan::{Ending, Plan};
use crate::sheet::{Chapter, Press, chapters, marked, preview};

/// The style, word for word as it stands in the page.
const STYLE: &str = include_str!("../../../assets/report.css");
/// Its SHA-256 in base 64; the tests reckon it anew.
const STYLE_HASH: &str = "sha256-8FBiFUtUlGyBYd0uStqdKo+sxyeFrXZE+6IAVJBnSh0=";
/// The longer side of a picture, in pixels.
const PICTURE: f64 = 960.0;

/// Writes the report of a plan as one HTML page.
pub fn report_html(press: &Press, plan: &Plan) -> String {
    let plan = &press.measured(plan);
    let mut chapters = chapters(press, plan);
    // The cover of a book has the facts of a report.
    if let Some(cover) = chapters.iter_mut().find(|chapter| chapter.title == press.say("cover.title")) {
        press.say("report.facts").clone_into(&mut cover.title);
    }
    let mut html = Html::new();
    html.raw("<!DOCTYPE html>\n");
    html.open("html", &[("lang", &press.language.to_string())]);
    head(&mut html, &press.fill("report.title", &[("name", &plan.name())]));
    begin(&mut html, press, plan.name(), &chapters);
    pictures(&mut html, press, plan);
    for (number, chapter) in chapters.iter().enumerate() {
        section(&mut html, number, chapter);
    }
    end(&mut html, press);
    html.finish()
}

/// Begins the body: the name, the contents, and the main part.
fn begin(html: &mut Html, press: &Press, name: &str, chapters: &[Chapter]) {
    html.open("body", &[]);
    html.element("a", &[("class", "skip"), ("href", "#plan")], press.say("report.skip"));
    html.open("header", &[]);
    html.open("h1", &[]);
    html.element("bdi", &[], name);
    html.close("h1");
    html.close("header");
    contents(html, press, chapters);
    html.open("main", &[("id", "plan")]);
}

/// Ends the main part and the page.
fn end(html: &mut Html, press: &Press) {
    html.close("main");
    html.open("footer", &[]);
    html.element("p", &[], press.say("report.foot"));
    html.element("p", &[], press.say("safety.defer"));
    html.close("footer");
    html.close("body");
    html.close("html");
}

fn head(html: &mut Html, title: &str) {
    let policy = format!(
        "default-src 'none'; img-src data:; style-src '{STYLE_HASH}'; base-uri 'none'; form-action 'none'"
    );
    html.open("head", &[]);
    html.void("meta", &[("charset", "utf-8")]);
    html.void("meta", &[("http-equiv", "Content-Security-Policy"), ("content", &policy)]);
    html.void("meta", &[("name", "viewport"), ("content", "width=device-width, initial-scale=1")]);
    html.void("meta", &[("name", "color-scheme"), ("content", "light dark")]);
    html.element("title", &[], title);
    // The hash is that of the text between the tags.
    html.raw("<style>");
    html.raw(STYLE);
    html.raw("</style>\n");
    html.close("head");
}

fn contents(html: &mut Html, press: &Press, chapters: &[Chapter]) {
    html.open("nav", &[("aria-label", press.say("report.contents"))]);
    html.open("ul", &[]);
    for (number, chapter) in chapters.iter().enumerate() {
        html.open("li", &[]);
        html.element("a", &[("href", &format!("#part-{}", number + 1))], &chapter.title);
        html.close("li");
    }
    html.close("ul");
    html.close("nav");
}

fn pictures(html: &mut Html, press: &Press, plan: &Plan) {
    let (fit, tally) = (plan.fit(), plan.tally());
    let colours: Vec<String> = tally.iter().map(|tally| format!("{} {}", tally.code, tally.name)).collect();
    let alt = press.fill(
        "report.alt",
        &[
            ("columns", &fit.columns),
            ("rows", &fit.rows),
            ("width", &fit.ruler.text(fit.width())),
            ("height", &fit.ruler.text(fit.height())),
            ("count", &tally.len()),
            ("colours", &colours.join(", ")),
            // Last, so that a name cannot ask for other words to be filled in.
            ("name", &plan.name()),
        ],
    );
    html.open("div", &[("class", "pictures")]);
    picture(html, &sized_png(&preview(plan), PICTURE), &alt, press.say("report.preview"));
    let spots = plan.weak_spots();
    if plan.making().ending == Ending::CutOut && !spots.worst_first().is_empty() {
        let alt = press.tell("report.spots-alt", spots.worst_first().len(), &[("name", &plan.name())]);
        picture(html, &page_png(&marked(plan.grid(), spots), PICTURE), &alt, press.say("report.spots"));
    }
    html.close("div");
}

fn picture(html: &mut Html, png: &[u8], alt: &str, caption: &str) {
    html.open("figure", &[]);
    let source = format!("data:image/png;base64,{}", STANDARD.encode(png));
    html.void("img", &[("src", &source), ("alt", alt)]);
    html.element("figcaption", &[], caption);
    html.close("figure");
}

fn section(html: &mut Html, number: usize, chapter: &Chapter) {
    let id = format!("part-{}", number + 1);
    let head = format!("{id}-head");
    html.open("section", &[("id", &id), ("aria-labelledby", &head)]);
    html.element("h2", &[("id", &head)], &chapter.title);
    blocks(html, &id, chapter);
    html.close("section");
}
