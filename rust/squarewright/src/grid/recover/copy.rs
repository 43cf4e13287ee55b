//! Reading a copy: exact where its edges say so, else by fitting models of the scalers it may have been
//! through.

use super::comb::{self, Comb};
use super::edges;
use super::extent;
use super::field::{Field, Rect};
use super::joint::Pair;
use super::kernel::{Family, Kernel, Model};
use super::linkage::{Doubt, joined};
use super::paint::{Lattice, Painted, paint};
use super::storage::Storage;
use super::peel;
use super::sample::Sampled;
use super::solve::{Axes, Solved, solve};
use crate::fault::{Result, Watch};
use crate::grid::Grid;
use crate::picture::Picture;

/// A lattice with its cells painted.
#[derive(Debug, Clone)]
pub(super) struct Copy {
    pub(super) pitch: (f64, f64),
    /// The outer corner of the first cell.
    pub(super) offset: (f64, f64),
    pub(super) rows: usize,
    pub(super) columns: usize,
    pub(super) colours: Vec<[u8; 4]>,
    pub(super) confidence: f64,
    pub(super) kind: &'static str,
}

/// Values that differ by less are one colour with noise on it.
const TOLERANCE: f32 = 10.0;
/// Drawn lines of two or three pixels can make an exact copy look like smaller cells.
const LINE: i64 = 3;

/// Reads a picture; the best reading comes first, none when its edges are those of an exact copy already.
pub(super) fn read(
    picture: &Picture,
    unclear: Vec<u8>,
    combs: &[Comb],
    watch: &dyn Watch,
) -> Result<Vec<Copy>> {
    let (across, down) = combs[0].pitch();
    let lifted = !unclear.is_empty();
    let exact = !lifted && across > 1 && down > 1;
    let field = Field::new(picture, unclear);
    let noise = noise(&field);
    let tolerance = TOLERANCE + if noise > 2.0 { 3.0 * noise } else { 0.0 };
    let content = peel::content(&field, tolerance + 3.0);
    let turned = field.transposed();
    let view = View { picture, field: &field, turned: &turned, content, tolerance: tolerance + 6.0 };
    if !lifted && let Some(copy) = view.framed(across.min(down), watch)? {
        return Ok(vec![copy]);
    }
    if exact && across.min(down) > LINE {
        return Ok(Vec::new());
    }
    let storage = Storage::of(picture.jpeg());
    let shares = (storage.across || storage.down) && field.planes.len() == 3;
    let axes = if shares { Axes::new(&field.bright(), content) } else { Axes::new(&field, content) };
    let Some(solved) = solve(&axes, watch)? else { return Ok(Vec::new()) };
    let lined = solved.x.kernel.family() == Family::Lined && solved.rss < 0.05;
    if exact && !lined {
        return Ok(Vec::new());
    }
    if !lifted && is_native(picture, content, &solved) {
        return Ok(Vec::new());
    }
    let confidence = confidence(&solved);
    if std::env::var("SQ_STAT").is_ok() { // DEBUG
        let mut u: Vec<[u8;4]> = picture.pixels().as_chunks().0.to_vec(); u.sort_unstable(); u.dedup(); // DEBUG
        eprintln!("STAT {} {} {} {:.3} {:.5} {:.3} {:.3} {:.3} {:.3} {:.3} {:?} {:?} {} {:.2}", content.width(), content.height(), u.len(), solved.rss, solved.unexplained, solved.contrast, solved.margin, confidence, solved.x.pitch, solved.y.pitch, solved.x.kernel, solved.y.kernel, solved.others.len(), noise); // DEBUG
    } // DEBUG
    let mut copies = vec![view.painted(solved.x, solved.y, confidence)];
    for Pair { x, y, .. } in solved.others.iter().take(3) {
        watch.check(0.9)?;
        copies.push(view.painted(x.model, y.model, (1.0 - confidence) / 4.0));
    }
    Ok(copies)
}

/// Says whether pixels are the cells: a copy that was enlarged is explained by a model of its scaler, while a
/// picture of few colours at its own size is explained by none.
fn is_native(picture: &Picture, content: Rect, solved: &Solved) -> bool {
    const EXPLAINED: f64 = 0.03;
    const COLOURS: usize = 256;
    let side = content.width().max(content.height());
    let mut colours = picture.pixels().as_chunks::<4>().0.to_vec();
    colours.sort_unstable();
    colours.dedup();
    solved.unexplained > EXPLAINED && colours.len() <= COLOURS && side <= Grid::SIDE
}

fn confidence(solved: &Solved) -> f64 {
    let told = 3.2 * (solved.contrast.min(3.0) - 0.95) + 0.8 * solved.margin.min(2.0) - 0.5;
    1.0 / (1.0 + libm::exp(-told))
}

/// A field from both sides.
struct View<'a> {
    picture: &'a Picture,
    field: &'a Field,
    turned: &'a Field,
    content: Rect,
    tolerance: f32,
}

impl View<'_> {
    /// Reads an exact copy inside margins and frames that are not whole cells.
    fn framed(&self, least: i64, watch: &dyn Watch) -> Result<Option<Copy>> {
        let whole = Rect { left: 0, top: 0, right: self.field.width, bottom: self.field.height };
        if self.content == whole {
            return Ok(None);
        }
        let inner = crop(self.picture, self.content)?;
        let comb = comb::candidates(&edges::find(&inner, watch)?).swap_remove(0);
        let (across, down) = comb.pitch();
        if across.min(down) <= LINE.max(least) || comb.is_ambiguous() {
            return Ok(None);
        }
        let model = |pitch: i64, offset: i64, start: usize| Model {
            kernel: Kernel::Nearest,
            pitch: pitch as f64,
            offset: (offset + start as i64) as f64,
        };
        let x = model(across, comb.offset().0, self.content.left);
        let y = model(down, comb.offset().1, self.content.top);
        let lattice = self.lattice(x, y);
        let (columns, rows) = lattice.count();
        let sampled = Sampled::at(
            self.picture,
            (lattice.offset().0 as i64, across, columns),
            (lattice.offset().1 as i64, down, rows),
        );
        let (pitch, offset) = ((x.pitch, y.pitch), lattice.offset());
        let colours = sampled.colours;
        Ok(Some(Copy { pitch, offset, rows, columns, colours, confidence: 0.999, kind: "sharp" }))
    }

    fn lattice(&self, x: Model, y: Model) -> Lattice {
        let Rect { left, top, right, bottom } = self.content;
        let across = Rect { left: top, top: left, right: bottom, bottom: right };
        let columns = extent::cells(self.field, self.content, &x.centred(), self.tolerance);
        let rows = extent::cells(self.turned, across, &y.centred(), self.tolerance);
        Lattice { x, y, columns, rows }
    }

    fn painted(&self, x: Model, y: Model, confidence: f64) -> Copy {
        let lattice = self.lattice(x, y);
        let painted = paint(self.field, &lattice, Storage::of(self.picture.jpeg()));
        let Painted { rows, columns, noise, .. } = painted;
        let storage = Storage::of(self.picture.jpeg());
        let pitch = x.pitch.min(y.pitch);
        let shares = storage.across || storage.down;
        let chroma = if shares && pitch < 8.0 { 0.6 } else { 1.0 };
        let doubt = Doubt { levels: noise / pitch, chroma };
        let colours = joined(&painted.colours(), noise < 0.7, doubt);
        let kind = match x.kernel.family() {
            Family::Edge => "sharp",
            Family::Point => "smooth",
            Family::Lined => "lined",
        };
        let (pitch, offset) = ((x.pitch, y.pitch), lattice.offset());
        Copy { pitch, offset, rows, columns, colours, confidence, kind }
    }
}

fn crop(picture: &Picture, rect: Rect) -> Result<Picture> {
    let rows = picture.rows().skip(rect.top).take(rect.height());
    let pixels = rows.flat_map(|row| &row[rect.left * 4..rect.right * 4]).copied().collect();
    Picture::from_rgba(rect.width() as u32, rect.height() as u32, pixels)
}

/// Estimates noise in levels: the middle of all second differences, which real edges hardly move.
pub(super) fn noise(field: &Field) -> f32 {
    let mut counts = vec![0_u32; 1024];
    let mut all = 0;
    let planes = field.planes.len() as f32;
    for y in field.lines().into_iter().step_by(2) {
        let rows: Vec<&[u8]> = (0..field.planes.len()).map(|plane| field.row(plane, y)).collect();
        for x in 1..field.width.saturating_sub(1) {
            let bend = |row: &&[u8]| {
                (i32::from(row[x - 1]) - 2 * i32::from(row[x]) + i32::from(row[x + 1])).unsigned_abs()
            };
            let sum: u32 = rows.iter().map(bend).sum();
            counts[(sum as usize).min(1023)] += 1;
            all += 1;
        }
    }
    let mut seen = 0;
    let middle = counts.iter().position(|count| {
        seen += count;
        2 * seen >= all
    });
    middle.unwrap_or(0) as f32 / planes / 1.65
}
