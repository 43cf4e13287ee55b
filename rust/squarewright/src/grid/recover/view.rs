//! A picture with its content, on which lattices are laid.

use super::comb;
use super::confidence;
use super::copy::{Copy, Kind, LINE};
use super::edges;
use super::extent;
use super::field::{Field, Rect};
use super::kernel::{Family, Kernel, Model, floor};
use super::linkage::{Doubt, joined};
use super::paint::{Care, Lattice, Painted, paint};
use super::region::crop;
use super::sample::Sampled;
use super::storage::Storage;
use crate::fault::{Result, Watch};
use crate::picture::Picture;

/// A field from both sides.
#[derive(Debug)]
pub(super) struct View<'a> {
    pub(super) picture: &'a Picture,
    pub(super) field: &'a Field,
    pub(super) turned: &'a Field,
    pub(super) content: Rect,
    pub(super) tolerance: f32,
    pub(super) storage: &'a Storage<'a>,
}

impl View<'_> {
    /// Reads an exact copy inside margins and frames that are not whole cells.
    pub(super) fn framed(&self, least: i64, watch: &dyn Watch) -> Result<Option<Copy>> {
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
        Ok(Some(Copy {
            pitch,
            offset,
            rows,
            columns,
            colours,
            confidence: confidence::evidence(&comb),
            kind: Kind::Sharp,
            is_ambiguous: false,
        }))
    }

    fn lattice(&self, x: Model, y: Model) -> Lattice {
        let Rect { left, top, right, bottom } = self.content;
        let across = Rect { left: top, top: left, right: bottom, bottom: right };
        let columns = extent::cells(self.field, self.content, &x.centred(), self.tolerance);
        let rows = extent::cells(self.turned, across, &y.centred(), self.tolerance);
        Lattice { x, y, columns, rows }
    }

    /// Reads the cells of a lattice without blending, each at its middle.
    pub(super) fn sampled(&self, x: Model, y: Model, confidence: f64) -> Copy {
        let lattice = self.lattice(x, y);
        let (columns, rows) = lattice.count();
        let (offset, pitch) = (lattice.offset(), (x.pitch, y.pitch));
        let middle = |offset: f64, pitch: f64, cell: usize, length: usize| {
            floor(offset + (cell as f64 + 0.5) * pitch).clamp(0, length as i64 - 1) as u32
        };
        let xs: Vec<u32> =
            (0..columns).map(|cell| middle(offset.0, pitch.0, cell, self.field.width)).collect();
        let colours = (0..rows)
            .map(|cell| middle(offset.1, pitch.1, cell, self.field.height))
            .flat_map(|y| xs.iter().map(move |&x| self.picture.pixel(x, y)))
            .collect();
        let kind = Kind::Sharp;
        Copy { pitch, offset, rows, columns, colours, confidence, kind, is_ambiguous: false }
    }

    /// Solves the cells of a lattice.
    pub(super) fn painted(&self, x: Model, y: Model, confidence: f64, care: Care) -> Copy {
        let lattice = self.lattice(x, y);
        let painted = paint(self.field, &lattice, self.storage, care);
        let Painted { rows, columns, noise, .. } = painted;
        // Colour that pixels share is known from a quarter of the samples, stored more coarsely.
        let chroma = if self.storage.across || self.storage.down { 0.4 } else { 1.0 };
        let doubt = Doubt { levels: noise / x.pitch.min(y.pitch), chroma };
        let colours = joined(&painted.colours(), noise < 0.7, doubt);
        let kind = match x.kernel.family() {
            Family::Edge => Kind::Sharp,
            Family::Point => Kind::Smooth,
            Family::Lined => Kind::Lined,
        };
        let (pitch, offset) = ((x.pitch, y.pitch), lattice.offset());
        Copy { pitch, offset, rows, columns, colours, confidence, kind, is_ambiguous: false }
    }
}
