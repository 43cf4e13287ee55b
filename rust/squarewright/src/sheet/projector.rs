//! The figure to be thrown onto its boards by a projector.

use std::str::FromStr;

use super::draw::{Draw, Line, Page, Path, Text};
use super::drawing::{boards, seams};
use super::figure::{Lattice, boundaries};
use super::press::Press;
use super::text::Font;
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::length::{Area, Length, Place, System};
use crate::plan::Plan;

/// What lies behind the lines of a projected figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Screen {
    /// Bright lines on black: on a board in a dim room.
    #[default]
    Black,
    /// Dark lines on white: on a dark board, or in a light room.
    White,
}

/// The colours of a projected figure: ground, outline, inner lines and seams, crosses and square.
struct Inks {
    ground: Rgb,
    outline: Rgb,
    inner: Rgb,
    aids: Rgb,
}

impl Screen {
    fn inks(self) -> Inks {
        match self {
            Self::Black => Inks {
                ground: Rgb::BLACK,
                outline: Rgb::WHITE,
                inner: Rgb([0x7f, 0xd4, 0xff]),
                aids: Rgb([0xff, 0xd2, 0x3f]),
            },
            Self::White => Inks {
                ground: Rgb::WHITE,
                outline: Rgb::BLACK,
                inner: Rgb([0x00, 0x5a, 0x9c]),
                aids: Rgb([0xb0, 0x00, 0x20]),
            },
        }
    }
}

impl FromStr for Screen {
    type Err = Error;

    /// Reads `black` or `white`.
    fn from_str(text: &str) -> Result<Self> {
        match text {
            "black" => Ok(Self::Black),
            "white" => Ok(Self::White),
            _ => {
                let must = "\"black\" or \"white\"".into();
                Err(Error::Argument { name: "ground", must, got: format!("{text:?}") })
            }
        }
    }
}

/// Draws outline and inner lines, a cross on each of the four corners of the boards together, the seams between
/// them, and the corners of a square in their middle, which shows whether the picture is thrown square.
pub fn projector(press: &Press, plan: &Plan, screen: Screen) -> Page {
    let fit = plan.fit();
    let inks = screen.inks();
    let boards = boards(fit);
    let long = boards.width.max(boards.height);
    let rim = part(long, 60);
    let origin = Place::new(rim - boards.left(), rim - boards.top());
    let lattice = Lattice { origin, pitch: fit.pitch };
    let (width, height) = (boards.width + rim * 2, boards.height + rim * 2);
    let window = Area::new(Place::default(), width, height);
    let boards = window.inset(rim);
    let (bold, fine) = (part(long, 3), part(long, 1));
    let side = square(plan, boards);
    let outline = plan.outline();
    let mut draws = vec![
        Draw::block(window, inks.ground),
        Draw::stroke(seams(fit, lattice, boards), fine, inks.aids),
        Draw::stroke(boundaries(outline.inner_lines(), lattice, window), fine, inks.inner),
        Draw::stroke(boundaries(outline.silhouette(), lattice, window), bold, inks.outline),
        Draw::stroke(crosses(boards, part(long, 40)), part(long, 2), inks.aids),
        Draw::stroke(brackets(boards, side), part(long, 2), inks.aids),
    ];
    // Between the arms of the two lower crosses.
    let corner = Place::new(rim + part(rim, 250), boards.bottom());
    let room = Area::new(corner, boards.width - part(rim, 500), part(rim, 800));
    draws.push(words(press, plan, room, (side, rim, inks.aids)));
    Page { width, height, title: plan.name().to_owned(), draws }
}

/// Gives so many thousandths of a length.
fn part(length: Length, thousandths: i64) -> Length {
    Length::from_units(length.units() * thousandths / 1000)
}

/// Gives the side of the square: half of the shorter side, in whole inches or centimetres where it has any.
fn square(plan: &Plan, boards: Area) -> Length {
    let half = boards.width.min(boards.height).half();
    let unit = match plan.fit().ruler.system() {
        System::Inch => Length::INCH,
        System::Metric => Length::MM * 10,
    };
    let whole = unit * (half.units() / unit.units());
    if whole > Length::ZERO { whole } else { half }
}

fn crosses(boards: Area, arm: Length) -> Path {
    let mut lines = Vec::new();
    for x in [boards.left(), boards.right()] {
        for y in [boards.top(), boards.bottom()] {
            let at = Place::new(x, y);
            lines.push(Line::open(vec![at.moved(-arm, Length::ZERO), at.moved(arm, Length::ZERO)]));
            lines.push(Line::open(vec![at.moved(Length::ZERO, -arm), at.moved(Length::ZERO, arm)]));
        }
    }
    Path(lines)
}

/// Draws the four corners of a square in the middle of an area; its sides would be in the way of the figure.
fn brackets(boards: Area, side: Length) -> Path {
    let middle = boards.corner.moved(boards.width.half(), boards.height.half());
    let (half, arm) = (side.half(), part(side, 120));
    let mut lines = Vec::new();
    for right in [-1, 1] {
        for down in [-1, 1] {
            let corner = middle.moved(half * right, half * down);
            let level = corner.moved(arm * -right, Length::ZERO);
            lines.push(Line::open(vec![level, corner, corner.moved(Length::ZERO, arm * -down)]));
        }
    }
    Path(lines)
}

/// Says what crosses and square measure, in one line below the boards.
fn words(press: &Press, plan: &Plan, room: Area, (side, rim, rgb): (Length, Length, Rgb)) -> Draw {
    let (fit, font) = (plan.fit(), Font::Regular);
    let text = |length: Length| press.ruler(plan).near(length);
    let boards = boards(fit);
    let words = press.fill(
        "projector.how",
        &[("width", &text(boards.width)), ("height", &text(boards.height)), ("side", &text(side))],
    );
    let most = part(rim, 380);
    let wide = font.width(&words, most);
    let fits = i128::from(most.units()) * i128::from(room.width.units()) / i128::from(wide.units().max(1));
    let size = Length::from_units(i64::try_from(fits).unwrap_or(0)).min(most);
    Draw::Text(Text { at: Place::new(room.left(), room.bottom()), size, font, rgb, words })
}
