//! The wall as the eye sees it from where it is looked at.

use crate::colour::{Rgb, decode, encode};
use crate::length::Area;
use crate::sheet::view::{Eye, View};
use crate::wall::WallPlan;

/// The look of a painted wall, and of what is on it already.
const WALL: Rgb = Rgb([0xee, 0xec, 0xe6]);
const TAKEN: Rgb = Rgb([0xd3, 0xd0, 0xc8]);
/// The longer side of the picture at most, in pixels.
const LONGEST: f64 = 1600.0;

/// The wall from afar.
#[derive(Debug, Clone, PartialEq)]
pub struct WallView {
    /// From where.
    pub eye: Eye,
    /// What is seen.
    pub view: View,
}

/// Shows the wall as it is seen from the distance for which its colours were chosen; none when it has no places.
pub fn wall_view(wall: &WallPlan) -> Option<WallView> {
    let placing = wall.placing()?;
    let room = &placing.room;
    let eye = Eye::within(room.width.max(room.height), wall.sight().distance, LONGEST);
    let mut picture = Picture::new(eye, room.area());
    for taken in &room.taken {
        picture.fill(taken.area(), TAKEN);
    }
    for (placed, (figure, _)) in placing.figures.iter().zip(wall.hung()) {
        let plan = &wall.figures()[figure].plan;
        let hung = plan.hung();
        // The picture of a figure begins at the corner of its cells, not at that of the box round what is painted.
        let corner = placed.area().corner.moved(-hung.left(), -hung.top());
        let corner = if plan.hanging().frame.is_some() { placed.area().corner } else { corner };
        picture.lay(corner.x.mm(), corner.y.mm(), &eye.sees(plan));
    }
    Some(WallView { eye, view: picture.view })
}

struct Picture {
    pixel: f64,
    view: View,
}

impl Picture {
    fn new(eye: Eye, wall: Area) -> Self {
        let pixel = eye.pixel();
        let side = |mm: f64| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a view has few pixels"
            )]
            let side = (mm / pixel).round().max(1.0) as u32;
            side
        };
        let (width, height) = (side(wall.width.mm()), side(wall.height.mm()));
        let [r, g, b] = WALL.0;
        let pixels = [r, g, b, u8::MAX].repeat((width * height) as usize);
        Self { pixel, view: View { width, height, pixels } }
    }

    /// Gives the pixel at which a place begins.
    #[expect(clippy::cast_possible_truncation, reason = "a view has few pixels")]
    fn at(&self, mm: f64) -> i64 {
        (mm / self.pixel).round() as i64
    }

    fn fill(&mut self, area: Area, rgb: Rgb) {
        let (left, right) = (self.at(area.left().mm()), self.at(area.right().mm()));
        let (top, bottom) = (self.at(area.top().mm()), self.at(area.bottom().mm()));
        for row in top..bottom {
            for column in left..right {
                if let Some(pixel) = self.pixel_at(column, row) {
                    pixel[..3].copy_from_slice(&rgb.0);
                }
            }
        }
    }

    /// Lays what is seen of a figure on the wall, light over light.
    fn lay(&mut self, x: f64, y: f64, figure: &View) {
        let (left, top) = (self.at(x), self.at(y));
        for (row, line) in (top..).zip(figure.pixels.chunks(figure.width as usize * 4)) {
            for (column, over) in (left..).zip(line.chunks(4)) {
                let share = f64::from(over[3]) / 255.0;
                if let Some(under) = self.pixel_at(column, row) {
                    for (under, &over) in under.iter_mut().zip(&over[..3]) {
                        *under = encode(decode(over) * share + decode(*under) * (1.0 - share));
                    }
                }
            }
        }
    }

    fn pixel_at(&mut self, column: i64, row: i64) -> Option<&mut [u8]> {
        let (width, height) = (i64::from(self.view.width), i64::from(self.view.height));
        let inside = (0..width).contains(&column) && (0..height).contains(&row);
        let start = usize::try_from((row * width + column) * 4).ok().filter(|_| inside)?;
        self.view.pixels.get_mut(start..start + 4)
    }
}
