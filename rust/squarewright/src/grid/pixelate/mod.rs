//! Pixelating a photo or a drawing down to cells that a person can paint.
//!
//! The steps, each in its own file: which part becomes how many cells (`layout`), the mean light of each cell
//! (`means`), the figure on its ground (`figure`, `silhouette`), even areas and thin lines of drawings kept
//! crisp (`flat`, `drawing`, by `thin`), the colours ([`choose`](crate::palette::choose)), and the cells
//! shared out among them (`work`): what a choice of colours costs (`field`), calm areas (`calm`, by `cut`),
//! small things grown rather than lost (`grow`), small patches painted over (`merge`), borders put right
//! (`trim`), colours that follow their cells (`paints`). What "easy" and "broad" mean in numbers stands in
//! `brush`, what the maker is told in `remark`, several sizes of one picture in `sizes`.

mod brush;
mod calm;
mod cut;
mod drawing;
mod field;
mod figure;
mod flat;
mod grow;
mod layout;
mod means;
mod merge;
mod paints;
mod remark;
mod silhouette;
mod sizes;
mod thin;
mod trim;
mod work;

pub use figure::Figure;
pub use layout::Layout;
pub use remark::{Pixelated, Remark};
pub use sizes::Sizes;

use std::str::FromStr;

use self::brush::Brush;
use self::field::Field;
use self::figure::Mark;
use self::means::{Cells, HALF};
use self::paints::Paints;
use self::work::{LARGE, Work};
use crate::colour::{Lab, Rgb, Tone};
use crate::fault::{Error, PictureFault, Result, Watch};
use crate::grid::patch::neighbours;
use crate::palette::{Choosing, Palette, Pool, choose};
use crate::picture::{Picture, Shrinker, Shrunk, Window, shrink};

/// How broad the brush is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Brushwork {
    /// Calm areas, no specks; edges and small vivid things kept.
    #[default]
    Easy,
    /// Every cell for itself, as near to the picture as the colours allow.
    EveryCell,
    /// Few large areas.
    Broad,
}

impl FromStr for Brushwork {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        match text {
            "easy" => Ok(Self::Easy),
            "every cell" => Ok(Self::EveryCell),
            "broad" => Ok(Self::Broad),
            _ => {
                let must = "\"easy\", \"every cell\" or \"broad\"".into();
                Err(Error::Argument { name: "brushwork", must, got: format!("{text:?}") })
            }
        }
    }
}

/// How a picture is pixelated.
#[derive(Debug, Clone, PartialEq)]
pub struct Pixelating {
    /// How many columns; from the rows and the shape of the picture when not given.
    pub columns: Option<usize>,
    /// How many rows; from the columns and the shape of the picture when not given.
    pub rows: Option<usize>,
    /// The most colours, [`Pixelating::FEWEST`] to [`Palette::LIMIT`].
    pub colours: usize,
    /// How broad the brush is.
    pub brushwork: Brushwork,
    /// The colours to use; chosen from the picture when not given.
    pub palette: Option<Palette>,
    /// The colours to choose from; any colour when there are none.
    pub candidates: Vec<Rgb>,
    /// Which part of it is painted.
    pub figure: Figure,
    /// The part of the picture to show.
    pub crop: Option<Window>,
    /// The fewest cells of a patch, in place of what the brushwork says.
    pub smallest_patch: Option<usize>,
    /// How calm areas become, 0 not at all and 1 as for [`Brushwork::Easy`], in place of what the brushwork
    /// says.
    pub calm: Option<f64>,
    /// What chance starts from.
    pub seed: u64,
}

impl Pixelating {
    /// The fewest colours that can be asked for.
    pub const FEWEST: usize = 2;
}

impl Default for Pixelating {
    fn default() -> Self {
        Self {
            columns: None,
            rows: None,
            colours: 12,
            brushwork: Brushwork::Easy,
            palette: None,
            candidates: Vec::new(),
            figure: Figure::Whole,
            crop: None,
            smallest_patch: None,
            calm: None,
            seed: 0,
        }
    }
}

/// Pixelates a picture.
///
/// # Errors
/// [`PictureFault::TooSmall`] and [`PictureFault::Shape`] when the picture, or the part to show, does not
/// give that many cells, [`PictureFault::Blank`] when nothing would be painted, [`Error::ColourCount`] for
/// the number of colours, [`Error::Argument`] for the other settings, [`Error::Stopped`] when the watcher
/// stops it.
pub fn pixelate(picture: &Picture, asked: &Pixelating, watch: &dyn Watch) -> Result<Pixelated> {
    let (width, height) = (picture.width(), picture.height());
    let layout = Layout::new((width, height), asked)?;
    let Figure::Mask(mask) = &asked.figure else {
        let fine = shrink(picture, layout.window, &[layout.fine_size()], watch)?;
        return pixelate_shrunk(&fine[0], layout, asked, watch);
    };
    if mask.len() as u64 != u64::from(width) * u64::from(height) {
        let must = format!("a mask of shape ({height}, {width}), as the picture");
        return Err(Error::Argument { name: "figure", must, got: format!("{} pixels", mask.len()) });
    }
    if !mask.iter().any(|&mask| mask > 0) {
        let must = "a mask that leaves something of the picture".into();
        return Err(Error::Argument { name: "figure", must, got: "a mask of nothing but ground".into() });
    }
    let mut pixels = Shrinker::new(layout.window, &[layout.fine_size()]);
    let mut known = Shrinker::new(layout.window, &[layout.fine_size()]);
    for (row, mask) in picture.rows().zip(mask.chunks(width as usize)) {
        let clear = |(pixel, &mask): (&[u8; 4], &u8)| {
            [pixel[0], pixel[1], pixel[2], if mask == 0 { 0 } else { pixel[3] }]
        };
        let row: Vec<u8> = row.as_chunks::<4>().0.iter().zip(mask).flat_map(clear).collect();
        pixels.row::<4>(&row);
        let marks: Vec<u8> = mask.iter().flat_map(|&mask| marked(mask)).collect();
        known.row::<3>(&marks);
        watch.check(0.2)?;
    }
    let (fine, known) = (pixels.finish().swap_remove(0), known.finish().swap_remove(0));
    let marks = known.light.iter().map(|&[figure, open, _]| match (figure > open, figure + open < 0.5) {
        (_, true) => Mark::Ground,
        (true, false) => Mark::Figure,
        (false, false) => Mark::Open,
    });
    finish(&fine, Some(marks.collect()), layout, asked, watch)
}

/// Gives a pixel of a mask as light: red for figure, green for what is open.
fn marked(mask: u8) -> [u8; 3] {
    match mask {
        0 => [0; 3],
        u8::MAX => [u8::MAX, 0, 0],
        _ => [0, u8::MAX, 0],
    }
}

/// Pixelates a picture that is shrunk to the [fine size](Layout::fine_size) of its layout; a mask is not
/// heeded.
///
/// # Errors
/// As [`pixelate`].
pub fn pixelate_shrunk(
    fine: &Shrunk,
    layout: Layout,
    asked: &Pixelating,
    watch: &dyn Watch,
) -> Result<Pixelated> {
    let open = |&cover: &f32| if cover < HALF { Mark::Ground } else { Mark::Open };
    let marks = (asked.figure == Figure::Find).then(|| fine.cover.iter().map(open).collect());
    finish(fine, marks, layout, asked, watch)
}

fn finish(
    fine: &Shrunk,
    marks: Option<Vec<Mark>>,
    layout: Layout,
    asked: &Pixelating,
    watch: &dyn Watch,
) -> Result<Pixelated> {
    check(asked)?;
    let searched = marks.filter(|marks| marks.contains(&Mark::Open));
    let found = searched.as_ref().map(|marks| found(fine, marks, layout, watch)).transpose()?.flatten();
    let no_figure = searched.is_some() && found.is_none();
    let (cells, alone) = found.unzip();
    let fine = alone.as_ref().unwrap_or(fine);
    let mut cells = cells.unwrap_or_else(|| Cells::new(fine, layout));
    if !cells.painted.contains(&true) {
        return Err(PictureFault::Blank.into());
    }
    let brush = Brush::new(asked);
    let mut colours = None;
    if brush.least > 1 || brush.calm > 0.0 {
        colours = flat::flatten(fine, layout, &mut cells);
        if colours.is_none() {
            drawing::sharpen(fine, layout, &mut cells);
        }
    }
    let weighed = cells.light.iter().zip(&cells.painted);
    let pool = Pool::new(weighed.map(|(&light, &painted)| (light, f32::from(u8::from(painted)))));
    let candidates =
        if asked.candidates.is_empty() { colours.unwrap_or_default() } else { asked.candidates.clone() };
    let again = brush.again && cells.painted.len() <= LARGE && asked.palette.is_none();
    let paints = paints(&pool, asked, (brush, &candidates), again, watch)?;
    let shown = pool.tones.iter().zip(&cells.painted);
    let shown = shown.map(|(&tone, &painted)| painted.then_some(tone)).collect();
    let field = Field::new((layout.rows, layout.columns), shown, brush.light);
    let mut work = Work { cells, field, paints, brush, watch };
    let mut labels = work.share_out(again)?;
    if again {
        work.paints = self::paints(&work.areas(&labels), asked, (brush, &candidates), false, watch)?;
        labels = work.share_out(false)?;
    }
    watch.check(1.0)?;
    let grid = work.paints.grid(&work.field, &work.cells, &labels)?;
    let remarks = remark::remarks(asked, layout, &grid, no_figure);
    Ok(Pixelated { grid, remarks })
}

/// Keeps the figure with a silhouette that can be cut, and the fine cells within it; nothing when nothing
/// stands out.
fn found(
    fine: &Shrunk,
    marks: &[Mark],
    layout: Layout,
    watch: &dyn Watch,
) -> Result<Option<(Cells, Shrunk)>> {
    let Some(figure) = figure::find(fine, marks, watch)? else { return Ok(None) };
    let only = |inside: &dyn Fn(usize) -> bool| {
        let cover = fine.cover.iter().enumerate();
        let cover = cover.map(|(place, &cover)| if inside(place) { cover } else { 0.0 }).collect();
        Shrunk { cover, ..fine.clone() }
    };
    let mut cells = Cells::new(&only(&|place| figure[place]), layout);
    silhouette::smooth((layout.rows, layout.columns), &cells.share, &mut cells.painted);
    if !cells.painted.contains(&true) {
        return Ok(None);
    }
    // Fine cells at the edge are half ground: where there are others, the colour comes from these.
    let surrounded = |place: usize| neighbours(fine.rows, fine.columns, place).all(|next| figure[next]);
    let alone = only(&|place| figure[place] && surrounded(place));
    let inner = Cells::new(&alone, layout);
    for (light, (inner, share)) in cells.light.iter_mut().zip(inner.light.iter().zip(&inner.share)) {
        if *share > 0.0 {
            *light = *inner;
        }
    }
    Ok(Some((cells, alone)))
}

fn check(asked: &Pixelating) -> Result<()> {
    if asked.palette.is_none() && !(Pixelating::FEWEST..=Palette::LIMIT).contains(&asked.colours) {
        return Err(Error::ColourCount { got: asked.colours.to_string() });
    }
    if asked.palette.is_some() && !asked.candidates.is_empty() {
        let must = "left out when a palette is given".into();
        let got = format!("{} colours", asked.candidates.len());
        return Err(Error::Argument { name: "candidates", must, got });
    }
    if let Some(got) = asked.smallest_patch.filter(|least| !(1..=MOST_LEAST).contains(least)) {
        let must = format!("1 to {MOST_LEAST} cells");
        return Err(Error::Argument { name: "smallest_patch", must, got: got.to_string() });
    }
    if let Some(got) = asked.calm.filter(|calm| !(0.0..=MOST_CALM).contains(calm)) {
        let must = format!("0 to {MOST_CALM}: 1 is as for easy brushwork");
        return Err(Error::Argument { name: "calm", must, got: got.to_string() });
    }
    Ok(())
}

/// The largest fewest cells of a patch.
const MOST_LEAST: usize = 100;
/// The most calm.
const MOST_CALM: f64 = 100.0;

/// Chooses the colours to begin with, in a hurry for a first try.
fn paints(
    pool: &Pool,
    asked: &Pixelating,
    (brush, candidates): (Brush, &[Rgb]),
    first_try: bool,
    watch: &dyn Watch,
) -> Result<Paints> {
    if let Some(palette) = &asked.palette {
        return Ok(Paints::fixed(palette.colours()));
    }
    let choosing = Choosing {
        count: asked.colours,
        seed: asked.seed,
        light: brush.choice_light,
        first_try,
        candidates: candidates.iter().map(|&colour| Tone::from(Lab::from(colour))).collect(),
    };
    Ok(Paints::free(choose(pool, &choosing, watch)?, candidates))
}
