//! The whole figure at full size as one drawing in layers, with its boards, cuts and card.

use super::draw::{Draw, Line, Page, Path, Text};
use super::figure::{Lattice, boundaries, grid_lines};
use super::page::{INK, QUIET, RULE};
use super::text::Font;
use crate::colour::Rgb;
use crate::cut::{Backing, Kind};
use crate::length::{Area, Length, Place};
use crate::outline::{Contour, Ring};
use crate::panel::{Fit, Piece};
use crate::plan::Plan;

/// Lines of the knife, of the card and of seams: they differ in lightness too.
const COARSE: Rgb = Rgb([0xb0, 0x23, 0x18]);
const BAY: Rgb = Rgb([0xc2, 0x6a, 0x00]);
const CARD: Rgb = Rgb([0x2d, 0x6a, 0x9f]);
const SEAM: Rgb = Rgb([0x7b, 0x3f, 0xa0]);
/// The largest type of a code.
const CODE: Length = Length::from_units(Length::PT.units() * 12);

/// Gives the place of a panel's top-left corner, from the top-left corner of the grid.
pub(super) fn panel_corner(fit: &Fit, piece: &Piece) -> Place {
    let before = |cells: usize, start| (fit.pitch.times(cells) - start).nearest();
    Place::new(before(piece.columns.start, piece.left), before(piece.rows.start, piece.top))
}

/// Gives the area of all boards as they are joined, from the top-left corner of the grid.
pub(super) fn boards(fit: &Fit) -> Area {
    let area = |piece| Area::new(panel_corner(fit, piece), fit.panel.width(), fit.panel.height());
    around(fit.pieces.iter().map(area))
}

fn around(areas: impl Iterator<Item = Area>) -> Area {
    areas
        .reduce(|a, b| {
            let corner = Place::new(a.left().min(b.left()), a.top().min(b.top()));
            Area::new(corner, a.right().max(b.right()) - corner.x, a.bottom().max(b.bottom()) - corner.y)
        })
        .unwrap_or_else(|| Area::new(Place::default(), Length::ZERO, Length::ZERO))
}

/// Draws the seams between boards along the cell boundaries on which they lie.
pub(super) fn seams(fit: &Fit, lattice: Lattice, area: Area) -> Path {
    let upright = fit.column_seams().into_iter().map(|after| {
        let x = lattice.x(after);
        vec![Place::new(x, area.top()), Place::new(x, area.bottom())]
    });
    let level = fit.row_seams().into_iter().map(|after| {
        let y = lattice.y(after);
        vec![Place::new(area.left(), y), Place::new(area.right(), y)]
    });
    Path(upright.chain(level).map(Line::open).collect())
}

/// Draws the whole template at full size, in layers from the lowest to the topmost; a layer may be empty.
///
/// The page is as large as the boards together, and the card where that stands out.
pub fn drawing(plan: &Plan) -> Page {
    let fit = plan.fit();
    let boards = boards(fit);
    let area = around(std::iter::once(boards).chain(plan.backing().map(Backing::extent)));
    let origin = Place::new(-area.left(), -area.top());
    let lattice = Lattice { origin, pitch: fit.pitch };
    let boards = Area::new(boards.corner.moved(origin.x, origin.y), boards.width, boards.height);
    let window = Area::new(Place::default(), area.width, area.height);
    let silhouette = |hole: bool| rings(plan, lattice, hole);
    let inner = boundaries(plan.outline().inner_lines(), lattice, window);
    let thin = Length::tenths_pt(6);
    let edges = fit.pieces.iter().map(|piece| {
        let corner = panel_corner(fit, piece).moved(origin.x, origin.y);
        Path::area(Area::new(corner, fit.panel.width(), fit.panel.height()))
    });
    let edges = Path(edges.flat_map(|path| path.0).collect());
    let strokes = [
        ("boards", edges, Length::tenths_pt(6), RULE),
        ("backing", card(plan, origin), Length::tenths_pt(9), CARD),
        ("grid", grid_lines(plan.grid(), lattice, window), Length::tenths_pt(3), RULE),
        ("seams", seams(fit, lattice, boards), Length::tenths_pt(9), SEAM),
        ("inner-lines", inner, thin, QUIET),
        ("outline", silhouette(false), Length::tenths_pt(14), INK),
        ("holes", silhouette(true), Length::tenths_pt(14), INK),
        ("coarse-cuts", cuts(plan, origin, Kind::Coarse), thin, COARSE),
        ("bays", cuts(plan, origin, Kind::Bay), thin, BAY),
    ];
    let mut draws = Vec::new();
    for (name, path, width, rgb) in strokes {
        let is_empty = path.0.is_empty();
        draws.push(Draw::Layer(name));
        draws.extend((!is_empty).then(|| Draw::stroke(path, width, rgb)));
        draws.push(Draw::EndLayer);
    }
    draws.push(Draw::Layer("codes"));
    draws.extend(codes(plan, lattice, |_| QUIET));
    draws.push(Draw::EndLayer);
    Page { width: area.width, height: area.height, title: plan.name().to_owned(), draws }
}

fn rings(plan: &Plan, lattice: Lattice, hole: bool) -> Path {
    let line = |ring: &Ring| Line::closed(ring.corners.iter().map(|&corner| lattice.place(corner)).collect());
    Path(plan.outline().rings.iter().filter(|ring| ring.hole == hole).map(line).collect())
}

fn card(plan: &Plan, origin: Place) -> Path {
    let contours = plan.backing().into_iter().flat_map(|backing| &backing.contours);
    let line = |contour: &Contour| {
        Line::closed(contour.places.iter().map(|place| place.moved(origin.x, origin.y)).collect())
    };
    Path(contours.map(line).collect())
}

/// Draws the straight cuts of one kind, each on its panel.
fn cuts(plan: &Plan, origin: Place, kind: Kind) -> Path {
    let fit = plan.fit();
    let panels = plan.cuts().map_or(&[][..], |cuts| &cuts.panels);
    let mut lines = Vec::new();
    for (panel, piece) in panels.iter().zip(&fit.pieces) {
        let corner = panel_corner(fit, piece).moved(origin.x, origin.y);
        let own = panel.cuts.iter().filter(|cut| cut.kind == kind);
        lines.extend(own.map(|cut| {
            let at = |place: Place| corner.moved(place.x, place.y);
            Line::open(vec![at(cut.from), at(cut.to)])
        }));
    }
    Path(lines)
}

/// Sets a code into each cell, as large as the widest of them allows, in the ink that its colour asks for.
pub(super) fn codes(plan: &Plan, lattice: Lattice, ink: impl Fn(Rgb) -> Rgb) -> Vec<Draw> {
    let (grid, codes) = (plan.grid(), plan.grid().codes());
    let pitch = lattice.pitch.nearest();
    let font = Font::Regular;
    let widest = codes.iter().map(|code| font.width(code, pitch).units()).max().unwrap_or(1).max(1);
    // Eight tenths of a cell across, half a cell from base line to base line.
    let across = i128::from(pitch.units()) * i128::from(pitch.units()) * 8 / 10 / i128::from(widest);
    let size = Length::from_units(i64::try_from(across).unwrap_or(0)).min(pitch.half()).min(CODE);
    // Capitals of the type are 0.73 of its size high.
    let down = Length::from_units(size.units() * 365 / 1000);
    let cells = grid.cells().iter().enumerate().filter_map(|(place, cell)| Some((place, (*cell)?)));
    let text = cells.map(|(place, index)| {
        let words = codes[usize::from(index)].clone();
        let (row, column) = (place / grid.columns(), place % grid.columns());
        let area = lattice.cells(row, (column, column + 1));
        let left = (area.width - font.width(&words, size)).half();
        let at = area.corner.moved(left, area.height.half() + down);
        let rgb = ink(grid.palette().colours()[usize::from(index)]);
        Draw::Text(Text { at, size, font, rgb, words })
    });
    text.collect()
}
