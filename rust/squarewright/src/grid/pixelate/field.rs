//! What a choice of colours costs: how far each cell is from its colour, and how much each border weighs.

use crate::colour::Tone;
use crate::fault::{Result, Watch};
use crate::grid::patch::neighbours;

/// Whole numbers to one squared CIEDE2000 difference.
pub(super) const UNIT: f32 = 64.0;
/// Cells between two looks at the watch.
const STRIDE: usize = 1 << 14;
/// A border costs at least this share of what it costs between equal cells.
const FLOOR: f64 = 0.2;
/// How far cells differ, in mean differences between neighbours, before a border is thought to be meant.
const SPREAD: f64 = 3.0;
/// The mean squared difference between cells and colours at which a border costs just what the brush says.
const USUAL: f64 = 15.0;

/// The cells to paint.
#[derive(Debug)]
pub(super) struct Field {
    pub(super) rows: usize,
    pub(super) columns: usize,
    /// The colour of each cell that is painted.
    pub(super) cells: Vec<Option<Tone>>,
    /// How much lightness counts in a squared difference.
    pub(super) light: f32,
    /// What a border to the cell on the right, and to the one below, costs.
    right: Vec<i32>,
    below: Vec<i32>,
}

impl Field {
    /// Takes the cells; borders cost nothing yet.
    pub(super) fn new((rows, columns): (usize, usize), cells: Vec<Option<Tone>>, light: f32) -> Self {
        let none = vec![0; rows * columns];
        Self { rows, columns, cells, light, right: none.clone(), below: none }
    }

    /// Gives borders their costs: a border between equal ones costs `calm`, between very different ones a
    /// fifth of it.
    pub(super) fn draw_borders(&mut self, calm: f32) {
        let gap = |one: usize, other: usize| Some(self.cells[one]?.squared(self.cells[other]?, self.light));
        let all = 0..self.rows * self.columns;
        let right = all
            .clone()
            .map(|place| (place % self.columns + 1 < self.columns).then(|| gap(place, place + 1))?);
        let below = all
            .map(|place| (place / self.columns + 1 < self.rows).then(|| gap(place, place + self.columns))?);
        let (right, below): (Vec<Option<f32>>, Vec<Option<f32>>) = (right.collect(), below.collect());
        let both = || right.iter().chain(&below).flatten();
        let mean =
            both().map(|gap| f64::from(gap.max(0.0).sqrt())).sum::<f64>() / both().count().max(1) as f64;
        let spread = SPREAD * mean.max(0.5);
        let weigh = |gap: &Option<f32>| gap.map_or(0, |gap| weight(gap, spread, calm));
        (self.right, self.below) = (right.iter().map(weigh).collect(), below.iter().map(weigh).collect());
    }

    /// Gives the neighbours of a cell with what a border to each costs.
    pub(super) fn around(&self, place: usize) -> impl Iterator<Item = (usize, i32)> {
        neighbours(self.rows, self.columns, place).map(move |next| (next, self.border(place, next)))
    }

    /// Gives four cells with what a border to each costs: the neighbours, and where there is none any other
    /// cell at no cost.
    pub(super) fn borders(&self, place: usize) -> [(usize, i32); 4] {
        let (left, above) = (place.saturating_sub(1), place.saturating_sub(self.columns));
        let last = self.cells.len() - 1;
        // before the first cell of a row there is no border to the right, and above the first row none below
        let (from_left, from_above) = (
            if place > 0 { self.right[left] } else { 0 },
            if place >= self.columns { self.below[above] } else { 0 },
        );
        [
            (above, from_above),
            (left, from_left),
            ((place + 1).min(last), self.right[place]),
            ((place + self.columns).min(last), self.below[place]),
        ]
    }

    /// Gives what a border between two neighbours costs.
    pub(super) fn border(&self, one: usize, other: usize) -> i32 {
        let (first, second) = (one.min(other), one.max(other));
        if second - first == 1 && self.columns > 1 { self.right[first] } else { self.below[first] }
    }
}

/// Gives the cost of a border across which the cells differ by the root of `gap`.
#[expect(clippy::cast_possible_truncation, reason = "a cost of some thousand units")]
fn weight(gap: f32, spread: f64, calm: f32) -> i32 {
    let alike = libm::exp(-f64::from(gap) / (2.0 * spread * spread));
    (f64::from(calm * UNIT) * (FLOOR + (1.0 - FLOOR) * alike)) as i32
}

/// Cells whose costs lie side by side: one line of the processor's own memory.
const TILE: usize = 16;

/// What each cell pays for each colour.
#[derive(Debug)]
pub(super) struct Costs {
    pub(super) colours: usize,
    cells: usize,
    tones: Vec<Tone>,
    /// For some cells at a time all colours: near in memory for one cell with all colours and for all cells
    /// with one.
    tiles: Vec<[i32; TILE]>,
}

impl Costs {
    pub(super) fn new(field: &Field, colours: &[Tone], watch: &dyn Watch) -> Result<Self> {
        let tiles = vec![[0; TILE]; field.cells.len().div_ceil(TILE) * colours.len()];
        let mut costs =
            Self { colours: colours.len(), cells: field.cells.len(), tones: colours.to_vec(), tiles };
        costs.reckon(field, &(0..colours.len()).collect::<Vec<_>>(), watch)?;
        Ok(costs)
    }

    /// Follows colours that have moved; what the others cost stays as it is.
    pub(super) fn follow(&mut self, field: &Field, colours: &[Tone], watch: &dyn Watch) -> Result<()> {
        let moved: Vec<usize> =
            (0..self.colours).filter(|&colour| self.tones[colour] != colours[colour]).collect();
        self.tones.copy_from_slice(colours);
        self.reckon(field, &moved, watch)
    }

    #[expect(clippy::cast_possible_truncation, reason = "a squared difference is below 30,000")]
    fn reckon(&mut self, field: &Field, colours: &[usize], watch: &dyn Watch) -> Result<()> {
        let tiles = self.tiles.chunks_mut(self.colours.max(1));
        for (turn, (cells, tiles)) in field.cells.chunks(TILE).zip(tiles).enumerate() {
            if (turn * TILE).is_multiple_of(STRIDE) {
                watch.check(0.6)?;
            }
            let mut tones = [Tone::default(); TILE];
            tones.iter_mut().zip(cells).for_each(|(tone, cell)| *tone = cell.unwrap_or_default());
            for &colour in colours {
                let mut costs = tiles[colour].iter_mut();
                self.tones[colour].squares(&tones, field.light, |cost| {
                    if let Some(place) = costs.next() {
                        *place = (cost * UNIT) as i32;
                    }
                });
                for (cost, cell) in tiles[colour].iter_mut().zip(cells) {
                    *cost = if cell.is_some() { *cost } else { 0 };
                }
            }
        }
        Ok(())
    }

    pub(super) fn of(&self, place: usize, label: u8) -> i32 {
        self.tiles[place / TILE * self.colours + usize::from(label)][place % TILE]
    }

    /// Gives what every cell would pay for one colour, some cells at a time: the first of them, their costs,
    /// and their part of `beside`, which has something for each cell.
    pub(super) fn column<'a>(
        &'a self,
        label: u8,
        beside: &'a [i32],
    ) -> impl Iterator<Item = (usize, &'a [i32; TILE], &'a [i32])> {
        let tiles = self.tiles.iter().skip(usize::from(label)).step_by(self.colours.max(1));
        let firsts = (0..self.cells).step_by(TILE);
        firsts.zip(tiles.zip(beside.chunks(TILE))).map(|(first, (tile, beside))| (first, tile, beside))
    }

    /// Gives by how much borders and patches should cost more than usual, because colours fit worse: the root
    /// of how much more the cells pay than usual.
    pub(super) fn scale(&self, field: &Field, labels: &[u8]) -> f32 {
        let painted = || (0..labels.len()).filter(|&place| field.cells[place].is_some());
        let paid: f64 = painted().map(|place| f64::from(self.of(place, labels[place]))).sum();
        let mean = paid / f64::from(UNIT) / painted().count().max(1) as f64;
        #[expect(clippy::cast_possible_truncation, reason = "0.14 to 2")]
        let scale = (mean / USUAL).clamp(0.02, 4.0).sqrt() as f32;
        scale
    }

    /// Gives the cheapest colour of each cell.
    pub(super) fn cheapest(&self) -> Vec<u8> {
        let mut best = vec![(i32::MAX, 0); self.cells];
        for (tiles, best) in self.tiles.chunks(self.colours).zip(best.chunks_mut(TILE)) {
            for (label, tile) in (0..).zip(tiles) {
                for (best, &cost) in best.iter_mut().zip(tile) {
                    if cost < best.0 {
                        *best = (cost, label);
                    }
                }
            }
        }
        best.into_iter().map(|(_, label)| label).collect()
    }
}
