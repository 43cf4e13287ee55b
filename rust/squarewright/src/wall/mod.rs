//! Many figures planned together: which share a panel, and what is left of each.
//!
//! Nesting puts figures on as few panels as it can, by their true shapes:
//!
//! 1. A [`lattice`] on which every edge of every figure lies; a figure becomes rows of runs on it, grown by the
//!    gap to the right and down, and so does the panel: figures keep their gap when what has grown does not
//!    overlap.
//! 2. Orders of figures, each laid to the top left on the first panel that has room ([`search`]).
//! 3. What no layout can go below ([`bound`]); for few figures on few places a search of all layouts ([`exact`],
//!    [`share`]).
//! 4. The largest free rectangles of each panel ([`offcut`]).
//!
//! A [`WallPlan`] holds everything about the wall: its one palette ([`palette`], judged from afar by [`sight`]),
//! jars, boards, what to buy ([`buying`]) and when to paint what ([`days`]).
//! On the wall each figure gets a place: by hand, or close round the middle and in balance ([`spread`]).

mod asking;
mod bench;
mod board;
mod boards;
mod bound;
mod buying;
mod days;
mod done;
mod exact;
mod figure;
mod footprint;
mod hung;
mod lattice;
mod lay;
mod left;
mod meanwhile;
mod mixed;
mod nest;
mod offcut;
mod palette;
mod placing;
mod plan;
mod rectangles;
mod room;
mod search;
mod share;
mod sight;
mod spacing;
mod spread;
mod start;

pub use asking::{Asking, Fault, Left};
pub use boards::{Boards, Laid};
pub use buying::{Bottle, Buying, Cards, Fixings, Money, Pack, Panels};
pub use days::{Day, Days, Opening, Work};
pub use done::{Done, coat_word};
pub use figure::Figure;
pub use left::{OddSize, Remaining};
pub use meanwhile::Meanwhile;
pub use nest::{Nested, NestedPanel, Nesting, nest};
pub use offcut::OffCut;
pub use palette::{Merged, Merging, merged};
pub use placing::{Hung, Placed, Placing, fits, place};
pub use plan::{Totals, Use, WallFigure, WallJar, WallPlan};
pub use room::{Room, Taken};
pub use sight::{Sight, View};
pub use spacing::Spacing;
pub use start::Origin;
