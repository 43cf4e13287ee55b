//! The sheets of a small figure as readable text, one snapshot a kind: what changes on a page shows in a diff.

use std::fmt::Write;

use squarewright::fault::Unwatched;
use squarewright::grid::Grid;
use squarewright::length::{Length, Place};
use squarewright::palette::Palette;
use squarewright::panel::{Fitting, Panel};
use squarewright::plan::{Door, Making, Plan, Source};
use squarewright::sheet::{Draw, Page, Pages, Path, Press, book, drawing};

/// A bud of two colours on a bent stem; two of its cells meet only at a corner.
const BUD: [&str; 6] = [".aab", "aab.", ".b..", "..c.", ".c..", ".cc."];

fn bud() -> Plan {
    let colours = ["#e88ab0", "#b03a6e", "#2f7a3c"];
    let colours = colours.map(|colour| colour.parse().expect("a colour")).to_vec();
    let palette = Palette::new(colours).expect("a palette");
    let cell = |letter| "abc".find(letter).map(|index| u8::try_from(index).expect("one of three"));
    let cells = BUD.iter().flat_map(|row| row.chars().map(cell)).collect();
    let grid = Grid::new(BUD.len(), 4, cells, palette).expect("a grid");
    let side = Length::inches(3, 1);
    let panel =
        Panel::new(side, side).expect("a panel").with_thickness(Length::inches(1, 4)).expect("a panel");
    let source = Source { name: "bud".into(), door: Door::Given };
    Plan::new(source, grid, panel, &Fitting::default(), Making::default()).expect("a plan")
}

/// Writes a page line by line, in points to a hundredth.
fn told(page: &Page) -> String {
    let pt = |length: Length| format!("{:.2}", length.pt());
    let mut text = format!("{} · {} × {}\n", page.title, pt(page.width), pt(page.height));
    let at = |place: &Place| format!("{} {}", pt(place.x), pt(place.y));
    let along = |path: &Path| {
        let line = |line: &squarewright::sheet::Line| {
            let places: Vec<String> = line.places.iter().map(at).collect();
            places.join(", ") + if line.closed { " closed" } else { "" }
        };
        path.0.iter().map(line).collect::<Vec<_>>().join(" | ")
    };
    for draw in &page.draws {
        let line = match draw {
            Draw::Fill { path, rgb } => format!("fill {rgb}: {}", along(path)),
            Draw::Stroke { path, width, rgb } => format!("line {rgb} {}: {}", pt(*width), along(path)),
            Draw::Text(text) => {
                format!("{:?} {} {} at {}: {}", text.font, pt(text.size), text.rgb, at(&text.at), text.words)
            }
            Draw::Layer(name) => format!("layer {name}"),
            Draw::EndLayer => "end of layer".into(),
        };
        writeln!(text, "{line}").expect("a String takes all");
    }
    text
}

fn pages(kind: &str) -> String {
    let press = Press { pages: Pages::named(&[kind]).expect("a kind of sheet"), ..Press::default() };
    let pages = book(&press, &bud(), &Unwatched).expect("pages");
    pages.iter().map(told).collect::<Vec<_>>().join("\n")
}

#[test]
fn sheets_of_a_bud_are_as_they_were() {
    for kind in ["cover", "weak spots", "marks", "chart", "counting", "template", "gluing", "card", "hanging"]
    {
        insta::assert_snapshot!(kind.replace(' ', "-"), pages(kind));
    }
}

#[test]
fn the_drawing_of_a_bud_is_as_it_was() {
    insta::assert_snapshot!("drawing", told(&drawing(&bud())));
}
