//! The stages and the steps of the whole job, those of the first hour at the bench among them.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::{Ending, Making, Paints};
use crate::fault::{Error, Result};

/// A stage of the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Get board, paint and tools together.
    Gather,
    /// Measure the board and mark the cells.
    Mark,
    /// Trace the outline and the inner lines.
    Trace,
    /// Mix every colour before the first cell is painted.
    Mix,
    /// Choose the nearest bottle for every colour.
    Choose,
    /// Paint the cells.
    Paint,
    /// Go round the borders with what is left in the jars.
    CleanUp,
    /// Cut the figure out.
    Cut,
    /// Glue card behind it.
    Back,
    /// Paint the edges.
    Edges,
    /// Frame the square.
    Frame,
    /// Hang it.
    Hang,
}

impl Stage {
    /// Gives the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Gather => "gather",
            Self::Mark => "mark",
            Self::Trace => "trace",
            Self::Mix => "mix",
            Self::Choose => "choose",
            Self::Paint => "paint",
            Self::CleanUp => "clean up",
            Self::Cut => "cut",
            Self::Back => "back",
            Self::Edges => "edges",
            Self::Frame => "frame",
            Self::Hang => "hang",
        }
    }

    /// Lists the stages of a job, in order.
    pub fn all(making: &Making) -> Vec<Self> {
        let mixing = match making.paints {
            Paints::Mixed => Self::Mix,
            Paints::FromTheBottle => Self::Choose,
        };
        let mut stages = vec![Self::Gather, Self::Mark, Self::Trace, mixing, Self::Paint, Self::CleanUp];
        stages.extend((making.ending == Ending::CutOut).then_some(Self::Cut));
        stages.extend(making.backing.then_some(Self::Back));
        let cut_out = making.ending == Ending::CutOut;
        stages.extend((making.edges && cut_out).then_some(Self::Edges));
        stages.extend((making.ending == Ending::WholeSquare).then_some(Self::Frame));
        stages.push(Self::Hang);
        stages
    }
}

impl Stage {
    /// All of them.
    pub const ALL: [Self; 12] = [
        Self::Gather,
        Self::Mark,
        Self::Trace,
        Self::Mix,
        Self::Choose,
        Self::Paint,
        Self::CleanUp,
        Self::Cut,
        Self::Back,
        Self::Edges,
        Self::Frame,
        Self::Hang,
    ];
}

impl FromStr for Stage {
    type Err = Error;

    /// Reads the word for it.
    fn from_str(text: &str) -> Result<Self> {
        let must = || format!("one of {}", Self::ALL.map(Self::word).join(", "));
        let found = Self::ALL.into_iter().find(|stage| stage.word() == text);
        found.ok_or_else(|| Error::Argument { name: "stage", must: must(), got: format!("{text:?}") })
    }
}

/// A step of the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Get board, paint and tools together.
    Gather,
    /// Hold the check bars of a printed sheet against the ruler.
    CheckPrint,
    /// Measure the board again on the day.
    MeasureBoard,
    /// Choose the start corner.
    ChooseStart,
    /// Prime the board.
    Prime,
    /// Let the primer dry.
    PrimerDry,
    /// Tick all four edges.
    MarkAllRound,
    /// Draw the inner grid lines, so that the ticks stay visible.
    InnerLines,
    /// Draw the outer grid lines last.
    OuterLines,
    /// Trace the outline.
    TraceOutline,
    /// Trace the borders between colours.
    TraceBorders,
    /// Check the tracing against the chart.
    CheckTracing,
    /// Mix every colour.
    Mix,
    /// Choose the nearest bottle for every colour.
    Choose,
    /// Begin to paint, and go on until every cell has all its coats.
    StartPainting,
    /// Let the paint dry.
    PaintDry,
    /// Go round the borders.
    CleanUp,
    /// Cut the figure out.
    Cut,
    /// Cut the card, larger than the figure.
    CutCard,
    /// Glue the card behind it.
    Glue,
    /// Let the glue dry under weights.
    GlueDry,
    /// Trim the card flush.
    Trim,
    /// Paint the edges of board and card.
    PaintEdges,
    /// Let the edges dry.
    EdgesDry,
    /// Frame the square.
    Frame,
    /// Hang it.
    Hang,
}

impl Step {
    /// All of them, in the order in which they are done.
    pub const ALL: [Self; 26] = [
        Self::Gather,
        Self::CheckPrint,
        Self::MeasureBoard,
        Self::ChooseStart,
        Self::Prime,
        Self::PrimerDry,
        Self::MarkAllRound,
        Self::InnerLines,
        Self::OuterLines,
        Self::TraceOutline,
        Self::TraceBorders,
        Self::CheckTracing,
        Self::Mix,
        Self::Choose,
        Self::StartPainting,
        Self::PaintDry,
        Self::CleanUp,
        Self::Cut,
        Self::CutCard,
        Self::Glue,
        Self::GlueDry,
        Self::Trim,
        Self::PaintEdges,
        Self::EdgesDry,
        Self::Frame,
        Self::Hang,
    ];

    /// Those of the first hour at the bench, in order.
    pub const FIRST_HOUR: [Self; 10] = [
        Self::CheckPrint,
        Self::MeasureBoard,
        Self::ChooseStart,
        Self::MarkAllRound,
        Self::InnerLines,
        Self::OuterLines,
        Self::TraceOutline,
        Self::TraceBorders,
        Self::CheckTracing,
        Self::StartPainting,
    ];

    /// Lists the steps of a job in the order in which they are done (common practice).
    pub fn all(making: &Making, primed: bool) -> Vec<Self> {
        let (whole, cut_out) = (making.ending == Ending::WholeSquare, making.ending == Ending::CutOut);
        let mut steps = vec![Self::Gather, Self::CheckPrint, Self::MeasureBoard, Self::ChooseStart];
        let mut extend = |wanted: bool, more: &[Self]| steps.extend(more.iter().filter(|_| wanted));
        extend(primed, &[Self::Prime, Self::PrimerDry]);
        extend(true, &[Self::MarkAllRound, Self::InnerLines, Self::OuterLines]);
        extend(true, &[Self::TraceOutline, Self::TraceBorders, Self::CheckTracing]);
        extend(making.paints == Paints::Mixed, &[Self::Mix]);
        extend(making.paints == Paints::FromTheBottle, &[Self::Choose]);
        extend(true, &[Self::StartPainting, Self::PaintDry, Self::CleanUp]);
        extend(cut_out, &[Self::Cut]);
        extend(making.backing, &[Self::CutCard, Self::Glue, Self::GlueDry, Self::Trim]);
        extend(making.edges && cut_out, &[Self::PaintEdges, Self::EdgesDry]);
        extend(whole, &[Self::Frame]);
        extend(true, &[Self::Hang]);
        steps
    }

    /// Gives the stage that it belongs to.
    pub fn stage(self) -> Stage {
        match self {
            Self::Gather => Stage::Gather,
            Self::CheckPrint
            | Self::MeasureBoard
            | Self::ChooseStart
            | Self::Prime
            | Self::PrimerDry
            | Self::MarkAllRound
            | Self::InnerLines
            | Self::OuterLines => Stage::Mark,
            Self::TraceOutline | Self::TraceBorders | Self::CheckTracing => Stage::Trace,
            Self::Mix => Stage::Mix,
            Self::Choose => Stage::Choose,
            Self::StartPainting | Self::PaintDry => Stage::Paint,
            Self::CleanUp => Stage::CleanUp,
            Self::Cut => Stage::Cut,
            Self::CutCard | Self::Glue | Self::GlueDry | Self::Trim => Stage::Back,
            Self::PaintEdges | Self::EdgesDry => Stage::Edges,
            Self::Frame => Stage::Frame,
            Self::Hang => Stage::Hang,
        }
    }

    /// Gives the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Gather => "gather",
            Self::CheckPrint => "check print",
            Self::MeasureBoard => "measure board",
            Self::ChooseStart => "choose start",
            Self::Prime => "prime",
            Self::PrimerDry => "primer dries",
            Self::MarkAllRound => "marks",
            Self::InnerLines => "inner lines",
            Self::OuterLines => "outer lines",
            Self::TraceOutline => "trace outline",
            Self::TraceBorders => "trace borders",
            Self::CheckTracing => "check tracing",
            Self::Mix => "mix",
            Self::Choose => "choose",
            Self::StartPainting => "paint",
            Self::PaintDry => "paint dries",
            Self::CleanUp => "clean up",
            Self::Cut => "cut",
            Self::CutCard => "cut card",
            Self::Glue => "glue",
            Self::GlueDry => "glue dries",
            Self::Trim => "trim",
            Self::PaintEdges => "edges",
            Self::EdgesDry => "edges dry",
            Self::Frame => "frame",
            Self::Hang => "hang",
        }
    }
}
