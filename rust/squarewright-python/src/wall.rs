//! `squarewright._core._plan_wall`: planned figures become the plan of a wall.

use std::sync::Arc;

use pyo3::prelude::*;
use squarewright::length::{Length, Ruler, System};
use squarewright::paint::{Amounting, Recipe};
use squarewright::wall::{Asking, Fault, Left, Pack, Room, Sight, Spacing, Taken, WallFigure, WallPlan};

use crate::array;
use crate::failure::Failure;
use crate::length::{PyLength, whole};
use crate::paint::PyStock;
use crate::painting::PyPainting;
use crate::panel::PyPanel;
use crate::plan::PyPlan;
use crate::recipe::PyRecipe;
use crate::wall_plan::PyWallPlan;
use crate::watch::run;

/// A figure as it comes in: name, plan, copies, place.
type Given<'py> = (String, PyRef<'py, PyPlan>, usize, Option<(PyRef<'py, PyLength>, PyRef<'py, PyLength>)>);

/// How panels are sold: panels in a pack, its price in hundredths, the currency, panels at hand, and off-cuts.
type Sold<'py> = (usize, Option<u64>, String, usize, Vec<(Bound<'py, PyAny>, Bound<'py, PyAny>)>);

/// What is left: bottles of paints and mixes of colours, each with its millilitres.
type Leftover<'py> = (Vec<(String, f64)>, Vec<(Bound<'py, PyAny>, f64)>);

/// A wall: its width and its height, the gap between figures, and what of it is taken.
type Walls<'py> = (Bound<'py, PyAny>, Bound<'py, PyAny>, Bound<'py, PyAny>, Vec<TakenAs<'py>>);

/// A taken place: its name, then x, y, width and height.
type TakenAs<'py> = (String, [Bound<'py, PyAny>; 4]);

/// Makes the wall, measured with the ruler of its figures.
fn room((width, height, gap, taken): Walls<'_>, ruler: Ruler) -> PyResult<Room> {
    let place = |(name, sides): (String, [Bound<'_, PyAny>; 4])| {
        let [x, y, width, height] = sides;
        let length = |value: Bound<'_, PyAny>, what| -> PyResult<Length> { whole(&value, what) };
        Ok(Taken {
            name,
            x: length(x, "x")?,
            y: length(y, "y")?,
            width: length(width, "width")?,
            height: length(height, "height")?,
        })
    };
    let taken = taken.into_iter().map(place).collect::<PyResult<_>>()?;
    let room = Room::new(whole(&width, "width")?, whole(&height, "height")?, ruler).map_err(Failure::from)?;
    Ok(Room { taken, gap: whole(&gap, "gap")?, ..room })
}

/// Plan a wall out of plans that have no recipes yet.
///
/// Parameters
/// ----------
/// figures : list of tuple
///     Name, Plan, copies and place (x and y as Length, or None) of each.
/// name : str
///     The name that the pages bear.
/// panel : Panel
///     The board.
/// gap, distance : Length or str
///     Between figures on a board; from the eye to the wall.
/// merge, hours : float
///     The difference that may show; the hours of a day.
/// pack, left : tuple
///     How panels are sold, and what is left of earlier work.
/// stock, pinned, painting : Stock, list of Recipe, Painting
///     The paints, recipes of the maker's own, and the numbers behind the jars.
/// room : tuple, optional
///     Width and height of the wall, the gap between figures on it, and name, (x, y, width, height) of taken places.
/// pitch : Length, optional
///     The pitch of the whole wall.
/// earlier : WallPlan, optional
///     The wall as it was planned before, with what is done of it.
/// faults : list of tuple
///     Name, code, what and hint of each figure that could not be planned.
/// threads : int
///     On how many threads figures are planned.
/// progress : callable, optional
///     Called with the share that is done.
///
/// Returns
/// -------
/// WallPlan
#[pyfunction]
#[pyo3(name = "_plan_wall", signature = (figures, *, name, panel, gap, distance, merge, hours, pack, left,
    stock = None, pinned = None, painting = None, room = None, pitch = None, earlier = None, faults = Vec::new(), threads = 1, progress = None))]
#[expect(clippy::too_many_arguments, reason = "keywords, not positions")]
pub(crate) fn plan_wall(
    figures: Vec<Given<'_>>,
    name: String,
    panel: &Bound<'_, PyPanel>,
    gap: &Bound<'_, PyAny>,
    distance: &Bound<'_, PyAny>,
    merge: f64,
    hours: f64,
    pack: Sold<'_>,
    left: Leftover<'_>,
    stock: Option<&Bound<'_, PyStock>>,
    pinned: Option<Vec<Bound<'_, PyRecipe>>>,
    painting: Option<&Bound<'_, PyPainting>>,
    room: Option<Walls<'_>>,
    pitch: Option<&Bound<'_, PyLength>>,
    earlier: Option<&Bound<'_, PyWallPlan>>,
    faults: Vec<(String, String, String, String)>,
    threads: usize,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyWallPlan> {
    let (panels, price, currency, owned, offcuts) = pack;
    let offcuts = offcuts.into_iter().map(|(width, height)| -> PyResult<(Length, Length)> {
        Ok((whole(&width, "offcuts")?, whole(&height, "offcuts")?))
    });
    let offcuts = offcuts.collect::<PyResult<Vec<_>>>()?;
    let ruler = figures.first().map_or(Ruler::common(System::Inch), |first| first.1.plan.fit().ruler);
    let mixes = left.1.iter().map(|(colour, ml)| Ok((array::colour(colour)?, *ml)));
    let asked = Asking {
        name,
        panel: panel.get().0,
        room: room.map(|room| self::room(room, ruler)).transpose()?,
        spacing: Spacing { gap: whole(gap, "gap")?, ..Spacing::default() },
        sight: Sight { distance: whole(distance, "distance")?, difference: merge },
        pack: Pack { panels, price, currency, owned, offcuts },
        hours,
        pitch: pitch.map(|pitch| pitch.get().0),
        earlier: earlier.map(|earlier| Arc::clone(&earlier.get().wall)),
        left: Left { bottles: left.0, mixes: mixes.collect::<PyResult<_>>()? },
        stock: stock.map(|stock| stock.get().0.clone()),
        pinned: pinned.into_iter().flatten().map(|recipe| -> Recipe { recipe.get().0.clone() }).collect(),
        amounting: painting.map_or_else(Amounting::default, |painting| painting.get().0.amounting),
        faults: faults.into_iter().map(|(name, code, what, hint)| Fault { name, code, what, hint }).collect(),
        threads,
    };
    let figure = |(name, plan, copies, place): &Given<'_>| {
        let place = place.as_ref().map(|(x, y)| (x.0.nearest(), y.0.nearest()));
        WallFigure { name: name.clone(), plan: plan.plan.clone(), copies: *copies, place }
    };
    let each: Vec<WallFigure> = figures.iter().map(figure).collect();
    let wall = run(panel.py(), None, progress, move |watch| WallPlan::new(each, asked, watch))?;
    // Figures that cannot hang are left out.
    let is_kept = |name: &String| wall.figures().iter().any(|each| each.name == *name);
    let kept = figures.iter().filter(|(name, ..)| is_kept(name)).map(|(_, plan, ..)| PyPlan::clone(plan));
    let kept = kept.collect();
    Ok(PyWallPlan::new(wall, kept))
}
