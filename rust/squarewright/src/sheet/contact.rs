//! The contact sheet: plans of one picture side by side, each as it looks from across the room, with its figures.

use super::draw::{Draw, Page};
use super::page::{HAIR, INK, QUIET, RULE};
use super::press::Press;
use super::steps::span;
use super::text::Style;
use super::view::{Eye, View};
use crate::colour::Rgb;
use crate::length::{Area, Length, Place};
use crate::plan::{Plan, Summary, Weak};

/// The most tiles side by side, and in all.
pub const ABREAST: usize = 6;
/// The most tiles of a sheet.
pub const MOST: usize = 36;
/// A pixel of the sheet: 1/96 in, as CSS has it (CSS Values and Units 4, section 6.2).
const PX: Length = Length::from_units(Length::inches(1, 1).units() / 96);
const PAPER: Rgb = Rgb([0xff, 0xff, 0xff]);
/// Free round the sheet and between its tiles.
const GAP: i64 = 28;
/// The narrowest tile, and where in it the values begin.
const NARROWEST: i64 = 344;
const VALUES: i64 = 96;

/// One combination: what was asked for, and the plan that it gave or why there is none.
#[derive(Debug, Clone)]
pub struct Tile<'a> {
    /// The most columns and colours that were asked for; none for a figure that has its cells already.
    pub asked: Option<(usize, usize)>,
    /// The plan, or what stands in its way.
    pub plan: Result<&'a Plan, &'a str>,
}

/// A sheet of tiles: its marks, and the pictures that lie on it with their left top corners in pixels.
#[derive(Debug)]
pub struct Contact {
    /// The marks; one pixel is 1/96 in.
    pub page: Page,
    /// The pictures.
    pub pictures: Vec<((u32, u32), View)>,
}

/// What stands on a tile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// Its head.
    pub head: String,
    /// What it comes to: a word and its value in each line; one line without a value when there is no plan.
    pub facts: Vec<(String, String)>,
}

/// Says what a tile comes to, as its book says it.
pub fn words(press: &Press, tile: &Tile<'_>) -> Words {
    let plan = match tile.plan {
        Ok(plan) => plan,
        Err(why) => {
            let head =
                tile.asked.map_or_else(|| press.say("contact.none").into(), |counts| asked(press, counts));
            return Words { head, facts: vec![(why.to_owned(), String::new())] };
        }
    };
    let fit = plan.fit();
    let ruler = press.ruler(plan);
    let cell = ruler.text(fit.pitch);
    let head = tile
        .asked
        .map_or_else(|| press.fill("contact.cell-head", &[("pitch", &cell)]), |counts| asked(press, counts));
    let sum = plan.summary();
    let (width, height) = (ruler.text(fit.width()), ruler.text(fit.height()));
    let board = press.fill(
        "contact.panels-are",
        &[
            ("count", &(sum.panels.0 * sum.panels.1)),
            ("width", &ruler.text(fit.panel.width())),
            ("height", &ruler.text(fit.panel.height())),
        ],
    );
    let cells = press
        .fill("cover.cells-are", &[("cells", &sum.cells), ("columns", &sum.columns), ("rows", &sum.rows)]);
    let hours = press.fill(
        "contact.hours-are",
        &[("work", &span(press, sum.minutes.work)), ("wait", &span(press, sum.minutes.wait))],
    );
    let facts = [
        ("cover.cells", cells),
        ("contact.patches", sum.patches.to_string()),
        ("cover.colours", sum.colours.to_string()),
        ("cover.pitch", cell),
        ("contact.size", format!("{width} × {height}")),
        ("cover.panels", board),
        ("contact.paint", paint(press, &sum)),
        ("contact.hours", hours),
        ("contact.weak", weak(press, sum.weak)),
    ];
    let facts = facts.into_iter().map(|(key, value)| (press.say(key).to_owned(), value)).collect();
    Words { head, facts }
}

/// Says from where the pictures are seen, and what they can show.
pub fn remark(press: &Press, eye: Eye) -> String {
    let (feet, metres) = (eye.distance.mm() / 304.8, eye.distance.mm() / 1e3);
    let short = |value: f64| press.number(value, 1);
    let from = [("feet", &short(feet) as &dyn std::fmt::Display), ("metres", &short(metres))];
    let pixel =
        press.fill("contact.pixel", &[("minutes", &press.counted("minutes-of-arc", eye.minutes as usize))]);
    format!("{} {pixel} {}", press.fill("contact.from", &from), press.say("contact.hours-how"))
}

fn asked(press: &Press, (columns, colours): (usize, usize)) -> String {
    press.fill("contact.head", &[("columns", &columns), ("colours", &colours)])
}

fn paint(press: &Press, sum: &Summary) -> String {
    let jars = press.counted("jars", sum.jars);
    match sum.bottles {
        None => press.fill("contact.jars-are", &[("jars", &jars), ("ml", &press.millilitres(sum.colour_ml))]),
        Some(bottles) => {
            let all = press.counted("bottles", bottles.all as usize);
            let key = if bottles.to_buy == 0 { "contact.bottles-owned" } else { "contact.bottles-are" };
            press.fill(key, &[("jars", &jars), ("bottles", &all), ("buy", &bottles.to_buy)])
        }
    }
}

fn weak(press: &Press, weak: Weak) -> String {
    let kinds = [
        ("corner-joints", weak.corner_joints),
        ("loose-parts", weak.loose_parts),
        ("thin-parts", weak.thin_parts),
        ("narrow-gaps", weak.narrow_gaps),
        ("small-holes", weak.small_holes),
    ];
    let found: Vec<String> = kinds
        .into_iter()
        .filter(|&(_, count)| count > 0)
        .map(|(what, count)| press.counted(what, count))
        .collect();
    let spots = if found.is_empty() { press.say("contact.no-weak").into() } else { found.join(", ") };
    match weak.severe() {
        0 => spots,
        severe => press.fill("contact.severe", &[("spots", &spots), ("severe", &severe)]),
    }
}

/// Lays the tiles out, so many side by side.
pub fn contact(press: &Press, title: &str, tiles: &[Tile<'_>], abreast: usize, distance: Length) -> Contact {
    let abreast = abreast.clamp(1, ABREAST);
    let plans: Vec<&Plan> = tiles.iter().filter_map(|tile| tile.plan.ok()).collect();
    let eye = Eye::for_all(&plans, distance);
    let views: Vec<Option<View>> =
        tiles.iter().map(|tile| tile.plan.ok().map(|plan| eye.sees(plan))).collect();
    let side = |of: fn(&View) -> u32| views.iter().flatten().map(of).max().map_or(0, i64::from);
    let (width, height) = (side(|view| view.width).max(NARROWEST), side(|view| view.height));
    let mut sheet = Sheet { press, draws: Vec::new(), width: (width + GAP) * count(abreast) + GAP, y: GAP };
    let room = PX * (sheet.width - 2 * GAP);
    sheet.line(Style::Title, GAP, &press.set(Style::Title).shortened(title, room), INK);
    for line in press.set(Style::Table).wrap(&remark(press, eye), room) {
        sheet.line(Style::Table, GAP, &line, QUIET);
    }
    let mut pictures = Vec::new();
    for (row, own) in tiles.chunks(abreast).zip(views.chunks(abreast)) {
        sheet.y += GAP / 2;
        sheet.rule();
        let top = sheet.y + GAP / 2;
        let mut end = top;
        for (place, (tile, view)) in (0..).zip(row.iter().zip(own)) {
            let left = GAP + (width + GAP) * place;
            pictures.extend(view.clone().map(|view| ((pixel(left), pixel(top)), view)));
            sheet.y = top + height + GAP / 2;
            sheet.tile(&words(press, tile), left, width);
            end = end.max(sheet.y);
        }
        sheet.y = end;
    }
    let (width, height) = (PX * sheet.width, PX * (sheet.y + GAP));
    let mut draws = vec![Draw::block(Area::new(Place::default(), width, height), PAPER)];
    draws.append(&mut sheet.draws);
    Contact { page: Page { width, height, title: title.to_owned(), draws }, pictures }
}

/// A sheet in the making, in pixels.
struct Sheet<'a> {
    press: &'a Press,
    draws: Vec<Draw>,
    width: i64,
    y: i64,
}

impl Sheet<'_> {
    fn line(&mut self, style: Style, left: i64, words: &str, rgb: Rgb) {
        let style = self.press.set(style);
        let base = Place::new(PX * left, PX * self.y + style.size);
        self.draws.push(Draw::Text(style.at(base, words, rgb)));
        self.y += style.leading().units() / PX.units() + 1;
    }

    fn rule(&mut self) {
        let (from, to) =
            (Place::new(PX * GAP, PX * self.y), Place::new(PX * (self.width - GAP), PX * self.y));
        self.draws.push(Draw::line(from, to, HAIR, RULE));
    }

    fn tile(&mut self, words: &Words, left: i64, width: i64) {
        for line in self.press.set(Style::Heading).wrap(&words.head, PX * width) {
            self.line(Style::Heading, left, &line, INK);
        }
        let table = self.press.set(Style::Table);
        for (what, value) in &words.facts {
            if value.is_empty() {
                for line in table.wrap(what, PX * width) {
                    self.line(Style::Table, left, &line, INK);
                }
                continue;
            }
            let base = Place::new(PX * left, PX * self.y + table.size);
            self.draws.push(Draw::Text(table.at(base, table.shortened(what, PX * (VALUES - 6)), QUIET)));
            for line in table.wrap(value, PX * (width - VALUES)) {
                self.line(Style::Table, left + VALUES, &line, INK);
            }
        }
    }
}

fn count(number: usize) -> i64 {
    i64::try_from(number).unwrap_or(1)
}

fn pixel(number: i64) -> u32 {
    u32::try_from(number).unwrap_or(0)
}
