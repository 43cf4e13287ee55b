//! The page system: head and foot, flowing text, tables, all on one grid with one quiet palette.

use super::draw::{Draw, Page};
use super::press::Press;
use super::text::Style;
use super::told::Told;

use crate::colour::Rgb;
use crate::length::{Area, Length, Place};

/// The inks of the book: they differ in grey as well.
pub(super) const INK: Rgb = Rgb([0x1c, 0x1f, 0x24]);
pub(super) const QUIET: Rgb = Rgb([0x5c, 0x62, 0x6b]);
pub(super) const RULE: Rgb = Rgb([0xb4, 0xb9, 0xc0]);
pub(super) const WASH: Rgb = Rgb([0xf1, 0xef, 0xe9]);

pub(super) const HAIR: Length = Length::from_units(Length::PT.units() / 2);
const HEAD: Length = Length::inches(1, 2);
const FOOT: Length = Length::inches(3, 10);
/// Free above a heading, but at the top of a page, and below it.
const ABOVE: Length = Length::from_units(Length::PT.units() * 8);
const BELOW: Length = Length::from_units(Length::PT.units() * 3);

/// What one page shows, before it knows its number.
#[derive(Debug)]
pub(super) struct Leaf {
    pub(super) title: String,
    /// Whether something on it is as large as on the board.
    pub(super) true_size: bool,
    pub(super) draws: Vec<Draw>,
    /// What it says, without its layout.
    pub(super) told: Vec<Told>,
}

impl Leaf {
    pub(super) fn new(title: impl Into<String>) -> Self {
        Self { title: title.into(), true_size: false, draws: Vec::new(), told: Vec::new() }
    }

    pub(super) fn true_size(title: impl Into<String>) -> Self {
        Self { true_size: true, ..Self::new(title) }
    }
}

/// The area between head and foot.
pub(super) fn body(press: &Press) -> Area {
    let safe = press.safe_area();
    Area::new(safe.corner.moved(Length::ZERO, HEAD), safe.width, safe.height - HEAD - FOOT)
}

/// Gives one of the equal parts of an area, so many across and down, counted row by row.
pub(super) fn share(area: Area, (across, down): (usize, usize), place: usize) -> Area {
    let count = |count: usize| i64::try_from(count).unwrap_or(1);
    let width = Length::from_units(area.width.units() / count(across));
    let height = Length::from_units(area.height.units() / count(down));
    let corner = area.corner.moved(width * count(place % across), height * count(place / across));
    Area::new(corner, width, height)
}

/// Adds head and foot.
pub(super) fn finish(press: &Press, leaf: Leaf, figure: &str, (number, count): (usize, usize)) -> Page {
    let safe = press.safe_area();
    let (width, height) = press.size();
    let top = safe.top() + Length::PT * 12;
    let pages = press.fill("page.number", &[("number", &number), ("count", &count)]);
    let title_room = safe.width.half();
    let scale = if leaf.true_size { "page.true-size" } else { "page.scale" };
    // The foot stays on one line, in whatever size that takes.
    let both = format!("{}   {pages}", press.say(scale));
    let foot = press.set(Style::Small);
    let foot = if foot.width(&both) <= safe.width { foot } else { Style::Small.at_size(false) };
    let mut draws = vec![
        Draw::Text(press.set(Style::TableHead).at(
            Place::new(safe.left(), top),
            press.set(Style::TableHead).shortened(&leaf.title, title_room),
            INK,
        )),
        Draw::Text(press.set(Style::Table).right(
            Place::new(safe.right(), top),
            &press.set(Style::Table).shortened(figure, safe.width.half() - Length::PT * 12),
            QUIET,
        )),
        Draw::line(
            Place::new(safe.left(), top + Length::PT * 6),
            Place::new(safe.right(), top + Length::PT * 6),
            HAIR,
            RULE,
        ),
        Draw::Text(foot.at(Place::new(safe.left(), safe.bottom()), press.say(scale), QUIET)),
        Draw::Text(foot.right(Place::new(safe.right(), safe.bottom()), &pages, QUIET)),
    ];
    draws.extend(leaf.draws);
    for draw in &mut draws {
        draw.recolour(|rgb| press.inked(rgb));
    }
    Page { width, height, title: leaf.title, draws }
}

/// Text that flows down a page and on to the next.
#[derive(Debug)]
pub(super) struct Flow<'a> {
    press: &'a Press,
    title: String,
    area: Area,
    y: Length,
    leaves: Vec<Leaf>,
    /// A heading that waits for what follows, so that it never stands alone at the end of a page.
    waiting: Option<String>,
}

impl<'a> Flow<'a> {
    pub(super) fn new(press: &'a Press, title: &str) -> Self {
        let area = body(press);
        Self {
            press,
            title: title.to_owned(),
            area,
            y: area.top(),
            leaves: vec![Leaf::new(title)],
            waiting: None,
        }
    }

    pub(super) fn press(&self) -> &'a Press {
        self.press
    }

    pub(super) fn area(&self) -> Area {
        self.area
    }

    /// Where what follows stands, below a heading that waits for it.
    pub(super) fn y(&self) -> Length {
        self.y + self.waiting.as_deref().map_or(Length::ZERO, |words| self.heading_height(words))
    }

    pub(super) fn left_over(&self) -> Length {
        self.area.bottom() - self.y()
    }

    pub(super) fn leaves(mut self) -> Vec<Leaf> {
        self.set_heading();
        self.leaves
    }

    pub(super) fn draw(&mut self, draw: Draw) {
        self.draws([draw]);
    }

    pub(super) fn draws(&mut self, draws: impl IntoIterator<Item = Draw>) {
        self.set_heading();
        if let Some(leaf) = self.leaves.last_mut() {
            leaf.draws.extend(draws);
        }
    }

    /// Notes what the page says, for pages without its layout; text that flows notes itself.
    pub(super) fn tell(&mut self, told: Told) {
        if let Some(leaf) = self.leaves.last_mut() {
            leaf.told.push(told);
        }
    }

    pub(super) fn skip(&mut self, by: Length) {
        self.set_heading();
        self.y += by;
    }

    /// Goes to a new page when `height` does not fit on this one, below a heading that waits; says whether it did.
    pub(super) fn need(&mut self, height: Length) -> bool {
        let full = self.y() + height > self.area.bottom() && self.y > self.area.top();
        if full {
            self.leaves.push(Leaf::new(&*self.title));
            self.y = self.area.top();
        }
        self.set_heading();
        full
    }

    pub(super) fn heading(&mut self, words: &str) {
        self.set_heading();
        self.tell(Told::Heading(words.to_owned()));
        self.waiting = Some(words.to_owned());
    }

    fn heading_height(&self, words: &str) -> Length {
        let style = self.press.set(Style::Heading);
        let lines = i64::try_from(style.wrap(words, self.area.width).len()).unwrap_or(1);
        let above = if self.y > self.area.top() { ABOVE } else { Length::ZERO };
        above + style.leading() * lines + BELOW
    }

    /// Sets the heading that waits, where its page has been settled.
    fn set_heading(&mut self) {
        let Some(words) = self.waiting.take() else { return };
        if self.y > self.area.top() {
            self.y += ABOVE;
        }
        self.lines(Style::Heading, &words, Length::ZERO, INK);
        self.y += BELOW;
    }

    pub(super) fn paragraph(&mut self, words: &str) {
        self.tell(Told::Paragraph(words.to_owned()));
        self.lines(Style::Body, words, Length::ZERO, INK);
        self.skip(Length::PT * 4);
    }

    pub(super) fn note(&mut self, words: &str) {
        self.tell(Told::Note(words.to_owned()));
        self.lines(Style::Table, words, Length::ZERO, QUIET);
        self.skip(Length::PT * 3);
    }

    /// Sets a paragraph with a sign hanging before it.
    pub(super) fn item(&mut self, sign: &str, words: &str) {
        let press = self.press;
        let size = press.set(Style::Body).size;
        let indent = (size * 2).max(press.set(Style::TableHead).width(sign) + Length::PT * 4);
        let lines = press.set(Style::Body).wrap(words, self.area.width - indent).len();
        self.need(press.set(Style::Body).leading() * i64::try_from(lines).unwrap_or(1));
        let at = Place::new(self.area.left(), self.y + press.set(Style::Body).size);
        self.tell(Told::item(sign, words));
        self.draw(Draw::Text(press.set(Style::TableHead).at(at, sign, INK)));
        self.lines(Style::Body, words, indent, INK);
        self.skip(Length::PT * 4);
    }

    /// Sets a paragraph behind a box to tick.
    pub(super) fn ticked(&mut self, words: &str) {
        let press = self.press;
        let size = press.set(Style::Body).size;
        let indent = size * 2;
        let lines = press.set(Style::Body).wrap(words, self.area.width - indent).len();
        self.need(press.set(Style::Body).leading() * i64::try_from(lines).unwrap_or(1));
        let corner = Place::new(self.area.left(), self.y + Length::PT * 2);
        let side = size - Length::PT;
        self.tell(Told::Ticked(words.to_owned()));
        self.draw(Draw::frame(Area::new(corner, side, side), HAIR, INK));
        self.lines(Style::Body, words, indent, INK);
        self.skip(Length::PT * 4);
    }

    pub(super) fn lines(&mut self, style: Style, words: &str, indent: Length, rgb: Rgb) {
        let style = self.press.set(style);
        let lines = style.wrap(words, self.area.width - indent);
        if self.waiting.is_some() {
            self.need(style.leading() * i64::try_from(lines.len().min(2)).unwrap_or(1));
        }
        for line in lines {
            self.need(style.leading());
            let at = Place::new(self.area.left() + indent, self.y + style.size);
            self.draw(Draw::Text(style.at(at, line, rgb)));
            self.skip(style.leading());
        }
    }
}
