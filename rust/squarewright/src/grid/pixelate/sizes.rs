//! One picture in several sizes: its pixels are gone over once.

use super::{Figure, Layout, Pixelated, Pixelating, pixelate_shrunk};
use crate::fault::{Error, Result, Watch};
use crate::picture::{Picture, Shrunk, shrink};

/// A picture that is ready to become any of several numbers of columns; the rows follow.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizes {
    asked: Pixelating,
    each: Vec<Result<(Layout, Shrunk)>>,
}

impl Sizes {
    /// Shrinks a picture for each number of columns, with one pass over its pixels.
    ///
    /// # Errors
    /// [`Error::Argument`] for rows or a mask, which go with one size alone, [`Error::Stopped`] when the watcher
    /// stops it. What is wrong with one size is told when that one is asked for.
    ///
    /// # Panics
    /// Never: as many sizes are shrunk to as there are layouts.
    pub fn new(picture: &Picture, asked: &Pixelating, columns: &[usize], watch: &dyn Watch) -> Result<Self> {
        if asked.rows.is_some() || matches!(asked.figure, Figure::Mask(_)) {
            let (name, got) = if asked.rows.is_some() { ("rows", "rows") } else { ("figure", "a mask") };
            let must = "left out when there are several numbers of columns".into();
            return Err(Error::Argument { name, must, got: got.into() });
        }
        let size = (picture.width(), picture.height());
        let layout =
            |&columns: &usize| Layout::new(size, &Pixelating { columns: Some(columns), ..asked.clone() });
        let layouts: Vec<Result<Layout>> = columns.iter().map(layout).collect();
        let good: Vec<Layout> = layouts.iter().flatten().copied().collect();
        let Some(first) = good.first() else {
            let none = layouts.into_iter().filter_map(Result::err).map(Err).collect();
            return Ok(Self { asked: asked.clone(), each: none });
        };
        let sizes: Vec<(usize, usize)> = good.iter().map(|layout| layout.fine_size()).collect();
        // Without rows every layout shows the same part of the picture.
        let mut shrunk = shrink(picture, first.window, &sizes, watch)?.into_iter();
        let with_pixels = |layout: Result<Layout>| {
            layout.map(|layout| (layout, shrunk.next().expect("each layout has its pixels")))
        };
        Ok(Self { asked: asked.clone(), each: layouts.into_iter().map(with_pixels).collect() })
    }

    /// Pixelates it to one of its sizes in so many colours.
    ///
    /// # Errors
    /// As [`pixelate`](super::pixelate).
    ///
    /// # Panics
    /// When there is no such size.
    pub fn pixelate(&self, size: usize, colours: usize, watch: &dyn Watch) -> Result<Pixelated> {
        let (layout, fine) = self.each[size].as_ref().map_err(Clone::clone)?;
        pixelate_shrunk(fine, *layout, &Pixelating { colours, ..self.asked.clone() }, watch)
    }
}
