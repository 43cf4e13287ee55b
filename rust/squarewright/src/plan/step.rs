//! The stages of the whole job and the steps of the first hour at the bench.

use serde::{Deserialize, Serialize};

use super::{Ending, Making, Paints};

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
        stages.extend(making.edges.then_some(Self::Edges));
        stages.extend((making.ending == Ending::WholeSquare).then_some(Self::Frame));
        stages.push(Self::Hang);
        stages
    }
}

/// A step of the first hour at the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Hold the check bars of a printed sheet against the ruler.
    CheckPrint,
    /// Measure the board again on the day.
    MeasureBoard,
    /// Choose the start corner.
    ChooseStart,
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
    /// Begin to paint.
    StartPainting,
}

impl Step {
    /// The steps in the order in which they are done.
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
}
