//! Pixelating a photo or a drawing down to cells that a person can paint.

mod calm;
mod cut;
mod field;
mod grow;
mod layout;
mod merge;
mod trim;

pub use layout::Layout;

use self::field::{Costs, Field};
use self::merge::Merging;
use crate::colour::{Lab, Rgb, Tone};
use crate::fault::{Error, PictureFault, Result, Watch};
use crate::grid::Grid;
use crate::palette::{Choosing, Palette, Pool, choose};
use crate::picture::{Picture, Shrunk, Window, shrink};

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
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pixelating {
    /// How many columns.
    pub columns: Option<usize>,
    /// How many rows.
    pub rows: Option<usize>,
    /// The most colours.
    pub colours: usize,
    /// How broad the brush is.
    pub brushwork: Brushwork,
    /// The part of the picture to show.
    pub crop: Option<Window>,
    /// What chance starts from.
    pub seed: u64,
}

fn knob(name: &str, default: f32) -> f32 {
    crate::palette::kn(name, default)
}

/// Pixelates a picture.
pub fn pixelate(picture: &Picture, asked: &Pixelating, watch: &dyn Watch) -> Result<Grid> {
    let layout = Layout::new((picture.width(), picture.height()), asked)?;
    if picture.is_blank() {
        return Err(PictureFault::Blank.into());
    }
    let fine = shrink(picture, layout.window, &[layout.fine_size()], watch)?;
    pixelate_shrunk(&fine[0], layout, asked, watch)
}

/// Pixelates a picture that is shrunk already.
pub fn pixelate_shrunk(fine: &Shrunk, layout: Layout, asked: &Pixelating, watch: &dyn Watch) -> Result<Grid> {
    let cells = cells(fine, layout);
    let (preset, p) = match asked.brushwork {
        Brushwork::EveryCell => ((0.0, 1, 0.0), "E"),
        Brushwork::Easy => ((16.0, 2, 30.0), "M"),
        Brushwork::Broad => ((32.0, 4, 60.0), "B"),
    };
    let k = |n: &str, d: f32| knob(&format!("{p}_{n}"), d);
    let (lambda, least, worth) = (k("LAMBDA", preset.0), k("LEAST", preset.1 as f32) as usize, k("WORTH", preset.2));
    let light = k("LIGHT", 1.4);
    let pool = Pool::new(cells.iter().map(|&(light, cover)| (light, if cover >= 0.5 { 1.0 } else { 0.0 })));
    let mut tones = choose(&pool, &Choosing { count: asked.colours, seed: asked.seed, light: k("CLIGHT", light) });
    let painted = pool.tones.iter().zip(&pool.weights).map(|(&t, &w)| (w > 0.0).then_some(t)).collect();
    let field = Field::new((layout.rows, layout.columns), painted, light, lambda);
    let mut costs = Costs::new(&field, &tones);
    let mut labels = costs.cheapest();
    let rounds = k("ROUNDS", 3.0) as usize;
    if lambda > 0.0 {
        for _ in 0..rounds {
            calm::calm(&field, &costs, &mut labels, 2, &|| watch.check(0.5))?;
            refit(&field, &labels, &mut tones);
            costs = Costs::new(&field, &tones);
        }
    }
    if least > 1 {
        for _ in 0..(k("MROUNDS", 2.0) as usize) {
            if k("GROW", 1.0) > 0.0 { grow::grow(&field, &costs, &mut labels, least, (k("GWORTH", worth) * field::UNIT) as i32); }
            merge::merge(&field, &costs, &mut labels, Merging { least, worth: (worth * field::UNIT) as i32 });
            trim::trim(&field, &costs, &mut labels, least);
            refit(&field, &labels, &mut tones);
            costs = Costs::new(&field, &tones);
        }
        merge::merge(&field, &costs, &mut labels, Merging { least, worth: (worth * field::UNIT) as i32 });
    }
    let mut sums = vec![([0.0; 3], 0.0); tones.len()];
    for ((light, cover), &label) in cells.iter().zip(&labels) {
        if *cover >= 0.5 {
            let soft = knob("FSOFT", 0.0);
            let t = Tone::from(Lab::from_linear(light.map(f64::from)));
            let w = if soft > 0.0 { 1.0 / f64::from(t.squared(tones[usize::from(label)], field.light).sqrt() + soft) } else { 1.0 };
            for i in 0..3 {
                sums[usize::from(label)].0[i] += w * f64::from(light[i]);
            }
            sums[usize::from(label)].1 += w;
        }
    }
    let mut colours: Vec<Rgb> = Vec::new();
    let mut at = vec![0; tones.len()];
    for (i, (sum, n)) in sums.iter().enumerate() {
        if *n > 0.0 {
            let c = Rgb::from_linear(sum.map(|s| s / n));
            at[i] = colours.iter().position(|&o| o == c).unwrap_or_else(|| {
                colours.push(c);
                colours.len() - 1
            });
        }
    }
    let numbers = labels.iter().zip(&cells).map(|(&l, c)| (c.1 >= 0.5).then(|| at[usize::from(l)] as u8)).collect();
    Grid::new(layout.rows, layout.columns, numbers, Palette::new(colours)?)
}

fn refit(field: &Field, labels: &[u8], tones: &mut [Tone]) {
    let mut sums = vec![[0.0_f64; 4]; tones.len()];
    let old = tones.to_vec();
    for (cell, &label) in field.cells.iter().zip(labels) {
        if let Some(cell) = cell {
            let Lab { l, a, b } = (*cell).into();
            let soft = knob("SOFT", 0.0);
            let w = if soft > 0.0 { 1.0 / f64::from(cell.squared(old[usize::from(label)], field.light).sqrt() + soft) } else { 1.0 };
            for (sum, part) in sums[usize::from(label)].iter_mut().zip([l, a, b, 1.0]) {
                *sum += w * part;
            }
        }
    }
    for (tone, [l, a, b, n]) in tones.iter_mut().zip(sums) {
        if n > 0.0 {
            *tone = Tone::from(Lab { l: l / n, a: a / n, b: b / n });
        }
    }
}

/// Gives the mean light and the cover of every cell.
fn cells(fine: &Shrunk, layout: Layout) -> Vec<([f32; 3], f32)> {
    let mut sums = vec![[0.0_f64; 4]; layout.rows * layout.columns];
    for (place, (light, cover)) in fine.light.iter().zip(&fine.cover).enumerate() {
        let (row, column) = (place / fine.columns / layout.fine, place % fine.columns / layout.fine);
        let cover = f64::from(*cover);
        let sum = &mut sums[row * layout.columns + column];
        for (sum, light) in sum.iter_mut().zip(light) {
            *sum += f64::from(*light) * cover;
        }
        sum[3] += cover;
    }
    let full = (layout.fine * layout.fine) as f64;
    sums.into_iter()
        .map(|[r, g, b, cover]| {
            let light = if cover > 0.0 { [r, g, b].map(|light| (light / cover) as f32) } else { [0.0; 3] };
            (light, (cover / full) as f32)
        })
        .collect()
}
