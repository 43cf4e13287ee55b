//! How a cell spreads over pixels: the scalers that copies have been through.
//!
//! Two families. **Edge** kernels are flat cells whose boundaries are softened over a fixed number of pixels:
//! exact coverage, or a sharp enlargement made smaller again by some filter. **Point** kernels interpolate
//! between the middles of cells: linear, cubic convolution (R. G. Keys, 1981, with a = -1/2 and -3/4) and
//! Lanczos windows of three and four lobes (C. E. Duchon, 1979).

use std::sync::LazyLock;

use super::shape::{Phases, RISE_CUBIC, RISE_LANCZOS, cubic, lanczos};

/// The most cells that one pixel can show.
pub(super) const TAPS: usize = 10;

/// A way to spread cells over pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kernel {
    /// Each pixel has the colour of the cell at its middle.
    Nearest,
    /// Each pixel has the mean of the cells it covers.
    Area,
    /// As area, over one and a half pixels.
    Ramp,
    /// A sharp copy made smaller by a linear filter.
    Soft,
    /// A sharp copy made smaller by a cubic filter.
    SharpCubic,
    /// A sharp copy made smaller by a Lanczos filter.
    SharpLanczos,
    /// Straight lines between the middles of cells.
    Linear,
    /// Cubic convolution, a = -1/2.
    CubicHalf,
    /// Cubic convolution, a = -3/4.
    CubicThree,
    /// Lanczos, three lobes.
    Lanczos3,
    /// Lanczos, four lobes.
    Lanczos4,
    /// As nearest, with a line of so many pixels drawn along the near side of each cell.
    Lines(u8),
}

/// What kernels have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Family {
    Edge,
    Point,
    Lined,
}

impl Kernel {
    /// Those that have edges between cells, and the one nearest to them that has none.
    pub(super) const EDGED: [Self; 7] = [
        Self::Nearest,
        Self::Area,
        Self::Ramp,
        Self::Soft,
        Self::SharpCubic,
        Self::SharpLanczos,
        Self::Linear,
    ];

    pub(super) fn family(self) -> Family {
        match self {
            Self::Nearest | Self::Area | Self::Ramp | Self::Soft | Self::SharpCubic | Self::SharpLanczos => {
                Family::Edge
            }
            Self::Linear | Self::CubicHalf | Self::CubicThree | Self::Lanczos3 | Self::Lanczos4 => {
                Family::Point
            }
            Self::Lines(_) => Family::Lined,
        }
    }

    /// Says whether values beyond the cells' own can come out.
    pub(super) fn overshoots(self) -> bool {
        !matches!(self, Self::Nearest | Self::Area | Self::Ramp | Self::Soft | Self::Linear | Self::Lines(_))
    }

    /// What a kernel must gain over a simpler one, in units of the score.
    pub(super) fn price(self) -> f64 {
        match self {
            Self::Nearest | Self::Lines(_) => 0.0,
            Self::Area | Self::Linear => 0.05,
            Self::Ramp | Self::Soft => 0.1,
            Self::CubicHalf => 0.12,
            Self::CubicThree | Self::SharpCubic => 0.14,
            Self::SharpLanczos => 0.16,
            Self::Lanczos3 => 0.2,
            Self::Lanczos4 => 0.25,
        }
    }

    /// Pixels over which an edge is spread, to each side.
    pub(super) fn softness(self) -> f64 {
        match self {
            Self::Area => 0.5,
            Self::Ramp => 0.75,
            Self::Soft => 1.0,
            Self::SharpCubic => 2.0,
            Self::SharpLanczos => 3.0,
            _ => 0.0,
        }
    }

    /// Cells that a point kernel reaches, to each side.
    pub(super) fn reach(self) -> usize {
        match self {
            Self::CubicHalf | Self::CubicThree => 2,
            Self::Lanczos3 => 3,
            Self::Lanczos4 => 4,
            _ => 1,
        }
    }

    /// Gives the weights of a point kernel at every phase.
    pub(super) fn phases(self) -> &'static Phases {
        static TABLES: [LazyLock<Phases>; 5] = [
            LazyLock::new(|| Phases::of(1, |a| (1.0 - a).max(0.0))),
            LazyLock::new(|| Phases::of(2, |a| cubic(a, -0.5))),
            LazyLock::new(|| Phases::of(2, |a| cubic(a, -0.75))),
            LazyLock::new(|| Phases::of(3, |a| lanczos(a, 3.0))),
            LazyLock::new(|| Phases::of(4, |a| lanczos(a, 4.0))),
        ];
        let table = match self {
            Self::CubicHalf => 1,
            Self::CubicThree => 2,
            Self::Lanczos3 => 3,
            Self::Lanczos4 => 4,
            _ => 0,
        };
        &TABLES[table]
    }

    /// Gives how far an edge has risen `way` pixels past it, 0 to 1.
    fn rise(self, way: f64) -> f64 {
        let a = way.abs();
        let half = match self {
            Self::Soft => (a - a * a / 2.0).min(0.5),
            Self::SharpCubic => RISE_CUBIC.at(a),
            Self::SharpLanczos => RISE_LANCZOS.at(a),
            _ => a / (2.0 * self.softness()),
        };
        let half = if a >= self.softness() { 0.5 } else { half };
        if way < 0.0 { 0.5 - half } else { 0.5 + half }
    }
}

/// A kernel with the lattice it stands on, along one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Model {
    pub(super) kernel: Kernel,
    /// The side of a cell in pixels.
    pub(super) pitch: f64,
    /// The near edge of cell 0 in pixels.
    pub(super) offset: f64,
}

/// How one axis of a plane shows unknowns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sight {
    /// Each pixel is an unknown of its own.
    Alone,
    /// Each pixel through a model.
    Pixels(Model),
    /// Each sample is the mean of two pixels, of so many in all.
    Pairs(Model, usize),
    /// Each pixel from the two nearest of so many samples, with weights 3/4 and 1/4: the way JPEG readers
    /// spread colour that was stored once for two pixels.
    Spread(usize),
}

impl Sight {
    /// Gives the unknowns that `x` shows; drawn lines are unknowns of their own before each cell.
    pub(super) fn taps(&self, x: usize) -> Taps {
        match self {
            Self::Alone => Taps::one(x as i64),
            Self::Pixels(model) => model.unknowns(x),
            Self::Pairs(model, length) => {
                let pixel = |x: usize| model.unknowns(x.min(length - 1));
                Taps::mixed(&[(pixel(2 * x), 0.5), (pixel(2 * x + 1), 0.5)])
            }
            Self::Spread(samples) => {
                let own = x / 2;
                let other =
                    if x.is_multiple_of(2) { own.saturating_sub(1) } else { (own + 1).min(samples - 1) };
                Taps::mixed(&[(Taps::one(own as i64), 0.75), (Taps::one(other as i64), 0.25)])
            }
        }
    }
}

impl Taps {
    /// Shows one cell alone.
    fn one(first: i64) -> Self {
        let mut weights = [0.0; TAPS];
        weights[0] = 1.0;
        Self { first, count: 1, weights }
    }

    /// Adds taps with their shares; what is too far apart for one set is dropped from the far end.
    fn mixed(parts: &[(Self, f64)]) -> Self {
        let first = parts.iter().map(|(taps, _)| taps.first).min().unwrap_or(0);
        let end = parts.iter().map(|(taps, _)| taps.first + taps.count as i64).max().unwrap_or(0);
        let mut mixed = Self { first, count: ((end - first) as usize).min(TAPS), weights: [0.0; TAPS] };
        for (taps, share) in parts {
            let at = (taps.first - first) as usize;
            for (tap, weight) in taps.weights[..taps.count].iter().enumerate() {
                mixed.weights[(at + tap).min(TAPS - 1)] += share * weight;
            }
        }
        mixed
    }
}

/// The cells that one pixel shows: consecutive ones, with their weights; weights sum to 1.
#[derive(Debug, Clone, Copy)]
pub(super) struct Taps {
    pub(super) first: i64,
    pub(super) count: usize,
    pub(super) weights: [f64; TAPS],
}

impl Model {
    /// Moves the cells of a lined model so that the boundary runs along the middle of the line.
    pub(super) fn centred(self) -> Self {
        match self.kernel {
            Kernel::Lines(width) => Self { offset: self.offset + f64::from(width) / 2.0, ..self },
            _ => self,
        }
    }

    /// Gives the cell whose middle or inside is at a place.
    pub(super) fn cell_at(&self, place: f64) -> i64 {
        floor((place - self.offset) / self.pitch)
    }

    /// Gives the cells that pixel `x` shows.
    #[inline]
    pub(super) fn taps(&self, x: usize) -> Taps {
        let middle = x as f64 + 0.5;
        match self.kernel {
            Kernel::Nearest | Kernel::Lines(_) => Taps::one(self.cell_at(middle)),
            kernel if kernel.family() == Family::Edge => self.edge_taps(middle),
            _ => self.point_taps(middle),
        }
    }

    /// Gives the unknowns that pixel `x` shows: the cells, or lines and cells in turn.
    fn unknowns(&self, x: usize) -> Taps {
        let Kernel::Lines(width) = self.kernel else { return self.taps(x) };
        let mut taps = self.taps(x);
        let inside = x as f64 + 0.5 - self.offset - taps.first as f64 * self.pitch;
        taps.first = 2 * taps.first + i64::from(inside >= f64::from(width));
        taps
    }

    fn edge_taps(&self, middle: f64) -> Taps {
        let soft = self.kernel.softness();
        let first = self.cell_at(middle - soft);
        let count = (self.cell_at(middle + soft) - first + 1).clamp(1, TAPS as i64) as usize;
        let mut weights = [0.0; TAPS];
        let mut risen = 1.0;
        for (tap, weight) in weights[..count].iter_mut().enumerate() {
            let far = self.offset + (first + tap as i64 + 1) as f64 * self.pitch;
            let next = if tap + 1 == count { 0.0 } else { self.kernel.rise(middle - far) };
            *weight = risen - next;
            risen = next;
        }
        Taps { first, count, weights }
    }

    fn point_taps(&self, middle: f64) -> Taps {
        let place = (middle - self.offset) / self.pitch - 0.5;
        let reach = self.kernel.reach();
        let below = floor(place);
        let mut weights = [0.0; TAPS];
        weights[..8].copy_from_slice(&self.kernel.phases().at::<8>(place - below as f64));
        Taps { first: below - reach as i64 + 1, count: 2 * reach, weights }
    }
}

/// Rounds down; the plain method is a slow call where no rounding instruction can be counted on.
pub(super) fn floor(value: f64) -> i64 {
    let cut = value as i64;
    cut - i64::from(cut as f64 > value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_of_a_pixel_sum_to_one() {
        let wide = [Kernel::CubicHalf, Kernel::CubicThree, Kernel::Lanczos3, Kernel::Lanczos4];
        for kernel in Kernel::EDGED.into_iter().chain(wide).chain([Kernel::Lines(1)]) {
            for pitch in [1.9, 2.0, 3.3, 16.0, 125.0] {
                let model = Model { kernel, pitch, offset: -0.37 };
                for x in 0..300 {
                    let taps = model.taps(x);
                    let sum: f64 = taps.weights[..taps.count].iter().sum();
                    assert!((sum - 1.0).abs() < 1e-9, "{kernel:?} {pitch} {x}: {sum}");
                }
            }
        }
    }

    #[test]
    fn area_weights_are_the_covered_shares() {
        let model = Model { kernel: Kernel::Area, pitch: 2.5, offset: 0.0 };
        let taps = model.taps(2); // from 2 to 3, the boundary is at 2.5
        assert_eq!((taps.first, taps.count), (0, 2));
        assert!((taps.weights[0] - 0.5).abs() < 1e-12);
    }
}
