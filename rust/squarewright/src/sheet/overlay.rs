//! What lies over a picture in an image editor: lines, marks, codes and weak spots, each as a layer of its own.

use std::str::FromStr;

use super::draw::{Draw, Line, Page, Path, Text};
use super::drawing::codes;
use super::figure::{Lattice, boundaries};
use super::page::{INK, QUIET};
use super::press::Press;
use super::spots::{haloed, ringed};
use super::text::Font;
use crate::colour::Rgb;
use crate::fault::{Error, Result};
use crate::length::{Area, Length, Place};
use crate::panel::{Mark, Piece};
use crate::plan::Plan;

/// The side of a cell on the page.
const CELL: Length = Length::from_units(Length::PT.units() * 12);
/// So many marks on there is one with its distance.
const LABELLED: usize = 5;
/// The size of a distance, and what stays free round it.
const LABEL: Length = Length::from_units(Length::PT.units() * 8);
const RIM: Length = Length::PT;

/// A layer of lines or words over the cells, from the lowest to the topmost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Overlay {
    /// The boundaries between two colours.
    InnerLines,
    /// The silhouette of the figure.
    Outline,
    /// The ticks to pencil, drawn at the edges of the figure on each panel.
    Marks,
    /// The code of each cell.
    Codes,
    /// Rings round what would fall apart or snap.
    WeakSpots,
}

impl Overlay {
    /// All of them, from the lowest to the topmost.
    pub const ALL: [Self; 5] = [Self::InnerLines, Self::Outline, Self::Marks, Self::Codes, Self::WeakSpots];

    /// Gives the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::InnerLines => "inner-lines",
            Self::Outline => "outline",
            Self::Marks => "marks",
            Self::Codes => "codes",
            Self::WeakSpots => "weak-spots",
        }
    }
}

impl FromStr for Overlay {
    type Err = Error;

    /// Reads its word.
    fn from_str(text: &str) -> Result<Self> {
        Self::ALL.into_iter().find(|overlay| overlay.word() == text).ok_or_else(|| {
            let words: Vec<&str> = Self::ALL.iter().map(|overlay| overlay.word()).collect();
            let must = format!("one of {}", words.join(", "));
            Error::Argument { name: "layer", must, got: format!("{text:?}") }
        })
    }
}

/// Draws a layer on a page on which a cell has a side of 12 points and the first one lies in the corner.
pub fn overlay(press: &Press, plan: &Plan, layer: Overlay) -> Page {
    let grid = plan.grid();
    let lattice = Lattice { origin: Place::default(), pitch: CELL.ratio() };
    let (width, height) = (lattice.x(grid.columns()), lattice.y(grid.rows()));
    // Lines at the rim of the figure are drawn on both sides of it.
    let window = Area::new(Place::default(), width, height).inset(-CELL);
    let outline = plan.outline();
    let draws = match layer {
        Overlay::InnerLines => {
            let path = boundaries(outline.inner_lines(), lattice, window);
            stroked(path, Length::tenths_pt(6), QUIET)
        }
        Overlay::Outline => {
            let path = boundaries(outline.silhouette(), lattice, window);
            stroked(path, Length::tenths_pt(14), INK)
        }
        Overlay::Marks => plan.fit().pieces.iter().flat_map(|piece| marks(press, plan, piece)).collect(),
        Overlay::Codes => codes(plan, lattice, |rgb| rgb.ink().rgb()),
        Overlay::WeakSpots => ringed(plan.weak_spots(), lattice, window),
    };
    Page { width, height, title: plan.name().to_owned(), draws }
}

fn stroked(path: Path, width: Length, rgb: Rgb) -> Vec<Draw> {
    if path.0.is_empty() { Vec::new() } else { vec![Draw::stroke(path, width, rgb)] }
}

/// Draws the ticks of a panel from the edges of its cells inwards, and every fifth longer and with its distance where
/// there is room for that.
fn marks(press: &Press, plan: &Plan, piece: &Piece) -> Vec<Draw> {
    let corner = Place::new(CELL * count(piece.columns.start), CELL * count(piece.rows.start));
    let (width, height) = (CELL * count(piece.columns.len()), CELL * count(piece.rows.len()));
    let ruler = press.ruler(plan);
    let (mut lines, mut labels) = (Vec::new(), Vec::new());
    let labelled = |place: usize| place.is_multiple_of(LABELLED) && place > 0;
    let arm = |place: usize| Length::from_units(CELL.units() * if labelled(place) { 6 } else { 3 } / 10);
    for (place, mark) in plan.column_marks(piece).iter().enumerate() {
        let (arm, top) = (arm(place), corner.moved(across(mark, piece.columns.start), Length::ZERO));
        let bottom = top.moved(Length::ZERO, height);
        lines.push(Line::open(vec![top, top.moved(Length::ZERO, arm)]));
        lines.push(Line::open(vec![bottom, bottom.moved(Length::ZERO, -arm)]));
        if labelled(place) && place + 2 < piece.columns.len() {
            labels.push((ruler.near(mark.rounded), top.moved(Length::ZERO, arm), true));
        }
    }
    for (place, mark) in plan.row_marks(piece).iter().enumerate() {
        let (arm, left) = (arm(place), corner.moved(Length::ZERO, across(mark, piece.rows.start)));
        let right = left.moved(width, Length::ZERO);
        lines.push(Line::open(vec![left, left.moved(arm, Length::ZERO)]));
        lines.push(Line::open(vec![right, right.moved(-arm, Length::ZERO)]));
        if labelled(place) && place < piece.rows.len() {
            labels.push((ruler.near(mark.rounded), left.moved(arm, Length::ZERO), false));
        }
    }
    let mut draws = haloed(Path(lines), Length::PT);
    draws.extend(labels.into_iter().flat_map(|(words, at, is_below)| label(words, at, is_below)));
    draws
}

/// Gives how far from its panel's first cell a mark lies on the page.
fn across(mark: &Mark, start: usize) -> Length {
    CELL * count(mark.index - start)
}

fn count(cells: usize) -> i64 {
    i64::try_from(cells).unwrap_or(i64::MAX)
}

/// Writes a distance below a tick, or to the right of it, on white so that it reads on any colour.
fn label(words: String, at: Place, is_below: bool) -> [Draw; 2] {
    let font = Font::Regular;
    let (width, height) = (font.width(&words, LABEL) + RIM * 2, LABEL + RIM);
    let corner = if is_below { at.moved(-width.half(), RIM) } else { at.moved(RIM, -height.half()) };
    // Figures of the type are 0.73 of its size high.
    let base = corner.moved(RIM, height.half() + Length::from_units(LABEL.units() * 365 / 1000));
    let ground = Draw::block(Area::new(corner, width, height), Rgb::WHITE);
    [ground, Draw::Text(Text { at: base, size: LABEL, font, rgb: INK, words })]
}
