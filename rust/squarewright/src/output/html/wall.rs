//! The page of a wall: what its book says, and where the books of its figures are.

use super::write::Html;
use super::{begin, end, head, picture, section};
use crate::fault::{Result, Watch};
use crate::output::wall_png;
use crate::sheet::{Press, wall_chapters};
use crate::wall::WallPlan;

/// Writes a wall as one HTML page. For each figure in its order `links` has the addresses of its files, as they are
/// written in a link, each with the name that is shown.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop.
pub fn wall_html(
    press: &Press,
    wall: &WallPlan,
    links: &[Vec<(String, String)>],
    watch: &dyn Watch,
) -> Result<String> {
    let chapters = wall_chapters(press, wall, watch)?;
    let mut html = Html::new();
    html.raw("<!DOCTYPE html>\n");
    html.open("html", &[("lang", &press.language.to_string())]);
    head(&mut html, &press.fill("report.title", &[("name", &wall.name())]));
    begin(&mut html, press, wall.name(), &chapters);
    pictures(&mut html, press, wall);
    if links.iter().any(|files| !files.is_empty()) {
        books(&mut html, press, wall, links);
    }
    for (number, chapter) in chapters.iter().enumerate() {
        section(&mut html, number, chapter);
    }
    end(&mut html, press);
    Ok(html.finish())
}

fn pictures(html: &mut Html, press: &Press, wall: &WallPlan) {
    let Some(png) = wall_png(wall) else { return };
    let names: Vec<&str> = wall.figures().iter().map(|each| &*each.name).collect();
    let alt = press.fill("wall-page.alt", &[("name", &wall.name()), ("figures", &names.join(", "))]);
    html.open("div", &[("class", "pictures")]);
    picture(html, &png, &alt, &press.fill("wall-page.seen", &[("from", &press.distance(wall.sight()))]));
    html.close("div");
}

/// Lists the files of the figures.
fn books(html: &mut Html, press: &Press, wall: &WallPlan, links: &[Vec<(String, String)>]) {
    html.open("section", &[("aria-labelledby", "books")]);
    html.element("h2", &[("id", "books")], press.say("wall-page.books"));
    html.open("ul", &[]);
    for (each, files) in wall.figures().iter().zip(links) {
        html.open("li", &[]);
        html.element("bdi", &[], &each.name);
        for (address, shown) in files {
            html.raw(" · ");
            html.element("a", &[("href", address)], &format!("{} {shown}", each.name));
        }
        html.close("li");
    }
    html.close("ul");
    html.close("section");
}
