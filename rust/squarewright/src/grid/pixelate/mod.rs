//! Pixelating a photo or a drawing down to cells that a person can paint.
//!
//! The steps, each in its own file: which part becomes how many cells (`layout`), the mean light of each cell
//! (`means`), the figure on its ground (`figure`), the colours ([`choose`](crate::palette::choose)), what a
//! choice of colours costs (`field`), calm areas (`calm`, by `cut`), small things grown rather than lost
//! (`grow`), small patches painted over (`merge`), borders put right (`trim`), and the colours that follow their
//! cells (`paints`). What "easy" and "broad" mean in numbers stands in `brush`.

mod brush;
mod calm;
mod cut;
mod field;
mod grow;
mod layout;
mod means;
mod merge;
mod paints;
mod trim;

pub use layout::Layout;

use self::brush::Brush;
use self::field::{Costs, Field, UNIT};
use self::means::Cells;
use self::merge::Merging;
use self::paints::Paints;
use crate::colour::{Lab, Rgb, Tone};
use crate::fault::{Error, PictureFault, Result, Watch};
use crate::grid::Grid;
use crate::palette::{Choosing, Palette, Pool, choose};
use crate::picture::{Picture, Shrunk, Window, shrink};

/// Rounds of calming, after each of which the colours follow their cells.
const ROUNDS: usize = 3;
/// Turns for each colour in one round of calming.
const CYCLES: usize = 2;
/// Rounds of growing, merging and trimming.
const TIDY_ROUNDS: usize = 2;
/// Rounds in which colours and cells settle when every cell is for itself.
const SETTLE_ROUNDS: usize = 3;
/// Grids of more cells get one round of calming of one turn.
const LARGE: usize = 1 << 16;

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
    /// The part of the picture to show.
    pub crop: Option<Window>,
    /// The fewest cells of a patch, in place of what the brushwork says.
    pub smallest_patch: Option<usize>,
    /// How calm areas become, 0 not at all and 1 as for [`Brushwork::Easy`], in place of what the brushwork says.
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
/// [`PictureFault::TooSmall`] and [`PictureFault::Shape`] when the picture, or the part to show, does not give
/// that many cells, [`PictureFault::Blank`] when nothing would be painted, [`Error::ColourCount`] for the number
/// of colours, [`Error::Argument`] for the other settings, [`Error::Stopped`] when the watcher stops it.
pub fn pixelate(picture: &Picture, asked: &Pixelating, watch: &dyn Watch) -> Result<Grid> {
    let layout = Layout::new((picture.width(), picture.height()), asked)?;
    let fine = shrink(picture, layout.window, &[layout.fine_size()], watch)?;
    pixelate_shrunk(&fine[0], layout, asked, watch)
}

/// Pixelates a picture that is shrunk to the [fine size](Layout::fine_size) of its layout.
///
/// # Errors
/// As [`pixelate`].
pub fn pixelate_shrunk(fine: &Shrunk, layout: Layout, asked: &Pixelating, watch: &dyn Watch) -> Result<Grid> {
    check(asked)?;
    let cells = Cells::new(fine, layout);
    if !cells.painted.contains(&true) {
        return Err(PictureFault::Blank.into());
    }
    let brush = Brush::new(asked);
    let weighed = cells.light.iter().zip(&cells.painted);
    let pool = Pool::new(weighed.map(|(&light, &painted)| (light, f32::from(u8::from(painted)))));
    let paints = paints(&pool, asked, brush, watch)?;
    let shown = pool.tones.iter().zip(&cells.painted);
    let shown = shown.map(|(&tone, &painted)| painted.then_some(tone)).collect();
    let field = Field::new((layout.rows, layout.columns), shown, brush.light);
    let mut work = Work { cells, field, paints, brush, watch };
    let labels = work.share_out()?;
    watch.check(1.0)?;
    work.paints.grid(&work.field, &work.cells, &labels)
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

/// Chooses the colours to begin with.
fn paints(pool: &Pool, asked: &Pixelating, brush: Brush, watch: &dyn Watch) -> Result<Paints> {
    if let Some(palette) = &asked.palette {
        return Ok(Paints::fixed(palette.colours()));
    }
    let choosing = Choosing {
        count: asked.colours,
        seed: asked.seed,
        light: brush.choice_light,
        candidates: asked.candidates.iter().map(|&colour| Tone::from(Lab::from(colour))).collect(),
    };
    Ok(Paints::free(choose(pool, &choosing, watch)?, &asked.candidates))
}

/// Everything that is at hand while the cells are shared out among the colours.
struct Work<'a> {
    cells: Cells,
    field: Field,
    paints: Paints,
    brush: Brush,
    watch: &'a dyn Watch,
}

impl Work<'_> {
    /// Gives every cell its colour.
    fn share_out(&mut self) -> Result<Vec<u8>> {
        let mut costs = self.costs()?;
        let mut labels = costs.cheapest();
        let scale = costs.scale(&self.field, &labels);
        if self.brush.calm > 0.0 {
            self.field.draw_borders(self.brush.calm * scale);
            let large = labels.len() > LARGE;
            for _ in 0..if large { 1 } else { ROUNDS } {
                calm::calm(&self.field, &costs, &mut labels, if large { 1 } else { CYCLES }, self.watch)?;
                self.paints.follow(&self.field, &labels);
                costs = self.costs()?;
            }
        }
        if self.brush.least > 1 {
            self.tidy(costs, &mut labels, scale)?;
        } else if self.brush.calm <= 0.0 {
            for _ in 0..SETTLE_ROUNDS {
                self.paints.centre(&self.field, &self.cells, &labels);
                labels = self.costs()?.cheapest();
            }
        }
        Ok(labels)
    }

    /// Leaves no patch that is too small.
    fn tidy(&mut self, mut costs: Costs, labels: &mut [u8], scale: f32) -> Result<()> {
        #[expect(clippy::cast_possible_truncation, reason = "some thousand units")]
        let asked = Merging { least: self.brush.least, worth: (self.brush.worth * scale * UNIT) as i32 };
        for _ in 0..TIDY_ROUNDS {
            grow::grow(&self.field, &costs, labels, asked);
            self.watch.check(0.8)?;
            merge::merge(&self.field, &costs, labels, asked);
            trim::trim(&self.field, &costs, labels, asked.least);
            self.paints.follow(&self.field, labels);
            costs = self.costs()?;
        }
        merge::merge(&self.field, &costs, labels, asked);
        Ok(())
    }

    fn costs(&self) -> Result<Costs> {
        let costs = Costs::new(&self.field, &self.paints.tones);
        self.watch.check(0.7)?;
        Ok(costs)
    }
}
