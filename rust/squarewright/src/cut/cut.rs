//! The values of a cut plan: cuts in order, what they add up to, what is odd.

use serde::{Deserialize, Serialize};

use super::Cutting;
use crate::length::{Length, Place};
use crate::outline::Corner;

/// What a cut is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A stroke along the side of a hole, while the sheet is still stiff.
    Hole,
    /// A straight cut from edge to edge of what is left of the sheet.
    Coarse,
    /// A straight cut across a bay, where the waste reaches into the figure.
    Bay,
    /// A stroke along the outline.
    Stroke,
}

/// Which way the knife is pulled over a panel that lies with its top edge away from the maker.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the words say it")]
pub enum Pull {
    Up,
    UpRight,
    Right,
    DownRight,
    Down,
    DownLeft,
    Left,
    UpLeft,
}

/// The corners at the two ends of a straight run of the outline, seen from the figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ends {
    /// Both stand out: the knife may run on into the waste at both.
    Open,
    /// One is an inside corner: the tip goes in there and is pulled out into the waste.
    OneInside,
    /// Both are inside corners: cut from each to the middle.
    BothInside,
}

/// A run of the outline that a stroke belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Edge {
    /// The corner of cells where the tip goes in.
    pub from: Corner,
    /// The corner of cells at the other end of the run; a stroke between two inside corners stops half way.
    pub to: Corner,
    /// What the ends are like.
    pub ends: Ends,
}

/// One pull of the knife; distances are from the left and the top edge of its panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cut {
    /// Its place in the order on its panel, from 1.
    pub number: usize,
    /// What it is for.
    pub kind: Kind,
    /// Where the tip goes in.
    pub from: Place,
    /// Where it comes out.
    pub to: Place,
    /// Which way it is pulled.
    pub pull: Pull,
    /// How long it is.
    pub length: Length,
    /// The run of the outline, for holes and strokes.
    pub edge: Option<Edge>,
    /// How often the tip is stabbed in where no cut leads to: once into the waste of each hole, and once for each
    /// run between two inside corners.
    pub stabs: usize,
    /// Corners of the outline that are turned at its end.
    pub turns: usize,
    /// How many light cuts go through the board, when its thickness is known.
    pub light_cuts: Option<usize>,
    /// Whether a fresh edge of the blade is due before it.
    pub fresh_edge: bool,
    /// Whether it runs along a weak part.
    pub weak: bool,
}

/// What the cuts add up to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Totals {
    /// Length of the coarse cuts.
    pub coarse: Length,
    /// Length of the cuts across bays.
    pub bays: Length,
    /// Length of the strokes along outline and holes.
    pub outline: Length,
    /// Length of outline that lies on the edge of a panel and needs no cut.
    pub on_edge: Length,
    /// Strokes along outline and holes.
    pub strokes: usize,
    /// Corners turned.
    pub turns: usize,
    /// Stabs.
    pub stabs: usize,
    /// Fresh edges of the blade, the first one counted.
    pub fresh_edges: usize,
}

/// Why a panel has no list of cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Remark {
    /// No part of the figure lies on it.
    Bare,
    /// The figure ends at its edges on all sides.
    Full,
    /// Nobody would cut so many strokes by hand: only the totals are given.
    TooFine,
}

/// The cuts of one panel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PanelCuts {
    /// Place of the panel from the left, from 0.
    pub across: usize,
    /// Place of the panel from the top, from 0.
    pub down: usize,
    /// The cuts in the order in which they are made.
    pub cuts: Vec<Cut>,
    /// What they add up to.
    pub totals: Totals,
    /// Why there are none.
    pub remark: Option<Remark>,
}

/// The cuts of a figure, panel by panel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CutPlan {
    /// What was asked.
    pub cutting: Cutting,
    /// One entry for each panel of the fit, in the same order.
    pub panels: Vec<PanelCuts>,
}

impl Kind {
    /// Gives the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hole => "hole",
            Self::Coarse => "coarse",
            Self::Bay => "bay",
            Self::Stroke => "stroke",
        }
    }
}

impl Ends {
    /// Gives the words for them.
    pub fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::OneInside => "one inside",
            Self::BothInside => "both inside",
        }
    }
}

impl Pull {
    /// Gives the way from one place to another.
    pub fn between(from: Place, to: Place) -> Self {
        let (right, down) = (to.x.cmp(&from.x) as i8, to.y.cmp(&from.y) as i8);
        match (right, down) {
            (0, ..=0) => Self::Up,
            (1.., ..=-1) => Self::UpRight,
            (1.., 0) => Self::Right,
            (1.., 1..) => Self::DownRight,
            (0, 1..) => Self::Down,
            (..=-1, 1..) => Self::DownLeft,
            (..=-1, 0) => Self::Left,
            (..=-1, ..=-1) => Self::UpLeft,
        }
    }

    /// Gives the words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::UpRight => "up and right",
            Self::Right => "right",
            Self::DownRight => "down and right",
            Self::Down => "down",
            Self::DownLeft => "down and left",
            Self::Left => "left",
            Self::UpLeft => "up and left",
        }
    }
}

impl Totals {
    /// Adds one cut.
    pub(super) fn add(&mut self, cut: &Cut) {
        match cut.kind {
            Kind::Coarse => self.coarse += cut.length,
            Kind::Bay => self.bays += cut.length,
            Kind::Hole | Kind::Stroke => {
                self.outline += cut.length;
                self.strokes += 1;
            }
        }
        self.turns += cut.turns;
        self.stabs += cut.stabs;
        self.fresh_edges += usize::from(cut.fresh_edge);
    }

    /// Gives the length of all cuts, each counted once.
    pub fn length(&self) -> Length {
        self.coarse + self.bays + self.outline
    }

    fn plus(self, other: Self) -> Self {
        Self {
            coarse: self.coarse + other.coarse,
            bays: self.bays + other.bays,
            outline: self.outline + other.outline,
            on_edge: self.on_edge + other.on_edge,
            strokes: self.strokes + other.strokes,
            turns: self.turns + other.turns,
            stabs: self.stabs + other.stabs,
            fresh_edges: self.fresh_edges + other.fresh_edges,
        }
    }
}

impl CutPlan {
    /// Adds up all panels.
    pub fn totals(&self) -> Totals {
        self.panels.iter().fold(Totals::default(), |sum, panel| sum.plus(panel.totals))
    }
}
