//! A figure as the eye sees it from a distance.
//!
//! Good sight parts what is a minute of arc apart (visual acuity 1.0: a gap of 1′ in the ring of ISO 8596, from
//! memory). So a pixel of the view is one minute, or a whole number of them when the view would be too large, and
//! has the mean of the light that comes from there: nothing finer can be seen, and nothing coarser is lost.

use crate::colour::{Rgb, encode};
use crate::length::Length;
use crate::plan::{Ending, Plan};

use super::book::CORK;

/// A minute of arc in radians.
const MINUTE: f64 = std::f64::consts::PI / 10_800.0;
/// The longer side of a view at most, in pixels.
const LONGEST: f64 = 480.0;

/// Someone who stands at a distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    /// From the wall.
    pub distance: Length,
    /// Minutes of arc to a pixel.
    pub minutes: u32,
}

/// What the eye sees of a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// In pixels.
    pub width: u32,
    /// In pixels.
    pub height: u32,
    /// Red, green, blue and opacity of each pixel, row by row.
    pub pixels: Vec<u8>,
}

impl Eye {
    /// Stands where all figures can be seen at one scale.
    pub fn for_all(plans: &[&Plan], distance: Length) -> Self {
        let one = Self { distance, minutes: 1 };
        let longest = plans.iter().map(|plan| {
            let (x, y) = sides(plan);
            x.whole.max(y.whole) / one.pixel()
        });
        Self { minutes: whole(longest.fold(0.0, f64::max) / LONGEST), ..one }
    }

    /// Stands where a length takes so many pixels at the most.
    pub(super) fn within(length: Length, distance: Length, most: f64) -> Self {
        let one = Self { distance, minutes: 1 };
        Self { minutes: whole(length.mm() / one.pixel() / most), ..one }
    }

    /// Gives how much of the wall is in a pixel, in millimetres.
    pub(super) fn pixel(self) -> f64 {
        self.distance.mm() * libm::tan(MINUTE) * f64::from(self.minutes)
    }

    /// Looks at a figure: at its cells when it is cut out, at its whole panels when they stay whole.
    pub fn sees(self, plan: &Plan) -> View {
        let (x, y) = sides(plan);
        let (x, y) = (x.shares(self.pixel()), y.shares(self.pixel()));
        let grid = plan.grid();
        let making = plan.making();
        let ground = (making.ending == Ending::WholeSquare).then(|| making.ground.unwrap_or(CORK));
        let lights: Vec<Light> = grid.palette().colours().iter().map(|&rgb| light(rgb)).collect();
        let across = |row: &[Option<u8>]| -> Vec<Light> {
            let mean = |parts: &Vec<(usize, f64)>| {
                let lit =
                    parts.iter().filter_map(|&(cell, part)| Some((lights[usize::from(row[cell]?)], part)));
                lit.fold([0.0; 4], added)
            };
            x.iter().map(mean).collect()
        };
        let rows: Vec<Vec<Light>> = grid.cells().chunks(grid.columns()).map(across).collect();
        let mut pixels = Vec::with_capacity(x.len() * y.len() * 4);
        for parts in &y {
            let mut line = vec![[0.0; 4]; x.len()];
            for &(row, part) in parts {
                for (sum, &light) in line.iter_mut().zip(&rows[row]) {
                    *sum = added(*sum, (light, part));
                }
            }
            pixels.extend(line.into_iter().flat_map(|seen| shown(seen, ground)));
        }
        let side = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
        View { width: side(x.len()), height: side(y.len()), pixels }
    }
}

/// Rounds up to whole minutes.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "casts saturate")]
fn whole(minutes: f64) -> u32 {
    minutes.ceil().max(1.0) as u32
}

/// Light of red, green and blue, and how much is covered.
type Light = [f64; 4];

fn light(rgb: Rgb) -> Light {
    let [red, green, blue] = rgb.linear();
    [red, green, blue, 1.0]
}

fn added(sum: Light, (light, part): (Light, f64)) -> Light {
    std::array::from_fn(|lane| sum[lane] + light[lane] * part)
}

fn shown(seen: Light, ground: Option<Rgb>) -> [u8; 4] {
    let cover = seen[3].min(1.0);
    if let Some(ground) = ground {
        let all = added(seen, (light(ground), 1.0 - cover));
        return [encode(all[0]), encode(all[1]), encode(all[2]), u8::MAX];
    }
    if cover <= 0.0 {
        return [0; 4];
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
    let opacity = (cover * 255.0).round() as u8;
    [encode(seen[0] / cover), encode(seen[1] / cover), encode(seen[2] / cover), opacity]
}

/// One direction of what is seen, in millimetres.
struct Side {
    /// How long all of it is.
    whole: f64,
    /// Where the first cell begins.
    start: f64,
    pitch: f64,
    cells: usize,
}

fn sides(plan: &Plan) -> (Side, Side) {
    let fit = plan.fit();
    let pitch = fit.pitch.mm();
    let (columns, rows) = (fit.columns, fit.rows);
    let cut = |cells: usize| Side { whole: pitch * cells as f64, start: 0.0, pitch, cells };
    if plan.making().ending == Ending::CutOut {
        return (cut(columns), cut(rows));
    }
    let board = |side: Length, panels: usize, start: f64, cells: usize| Side {
        whole: side.mm() * panels as f64,
        start,
        pitch,
        cells,
    };
    (
        board(fit.panel.width(), fit.across, fit.margins.left.mm(), columns),
        board(fit.panel.height(), fit.down, fit.margins.top.mm(), rows),
    )
}

impl Side {
    /// Gives for each pixel the cells that fill it and the share of it that each has.
    fn shares(&self, pixel: f64) -> Vec<Vec<(usize, f64)>> {
        let count = (self.whole / pixel).round().max(1.0);
        let pixel = self.whole / count;
        let cell_at = |place: f64| ((place - self.start) / self.pitch).clamp(0.0, self.cells as f64);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a view has few pixels")]
        let share = |number: usize| {
            let (from, to) = (cell_at(number as f64 * pixel), cell_at((number + 1) as f64 * pixel));
            let cells = from.floor() as usize..(to.ceil() as usize).min(self.cells);
            let part = |cell: usize| (to.min((cell + 1) as f64) - from.max(cell as f64)) * self.pitch / pixel;
            cells.map(|cell| (cell, part(cell))).filter(|&(_, part)| part > 0.0).collect()
        };
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a view has few pixels")]
        (0..count as usize).map(share).collect()
    }
}
