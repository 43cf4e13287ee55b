//! `squarewright.plan`.

use std::collections::BTreeMap;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::PyString;
use squarewright::grid::Background;
use squarewright::paint::Mixing;
use squarewright::plan::{Making, Mounting, Painting, Plan, Source, Timing};

use crate::array;
use crate::cut;
use crate::failure::Failure;
use crate::figure::{Figure, figure};
use crate::fit::Asked;
use crate::mounting::{PyMounting, read_rates};
use crate::paint::PyStock;
use crate::painting::PyPainting;
use crate::panel::PyPanel;
use crate::plan::PyPlan;
use crate::recipe::PyRecipe;
use crate::recovery::ground as background_from;
use crate::watch::run;

/// Plan a figure: recover its cells, fit them on panels and prepare its book.
///
/// Parameters
/// ----------
/// picture_or_grid : Grid, Recovery, Picture, path, bytes, file object, ndarray or Pillow image
///     The figure; a picture is recovered first.
/// panel : Panel
///     The board.
/// ruler, pitches, pitch, width, height, across, down, margin
///     As for ``fit``.
/// ending : str, default "cut out"
///     ``"cut out"`` along the outline, or ``"whole square"``.
/// backing : bool, default True
///     Whether card is glued behind it.
/// edges : bool, default True
///     Whether its edges are painted.
/// paints : str, default "mixed"
///     ``"mixed"`` to match, or ``"from the bottle"``.
/// raw : str or tuple of int, optional
///     The colour of the raw board, when cells of that colour stay unpainted.
/// ground : str or tuple of int, optional
///     The colour of the bare cells of a whole square.
/// background : str or tuple of int, default "auto"
///     As for ``recover``.
/// stock : Stock, optional
///     The paints; each colour gets a recipe.
/// pinned : list of Recipe, optional
///     Recipes of your own, made by ``pin``, that stay as they are.
/// painting : Painting, optional
///     What you decide about painting.
/// mounting : Mounting, optional
///     What you decide about card and wall.
/// rates : dict of str to (float, float), optional
///     Minutes for one of what a rate counts, low and high, where yours differ; ``Plan.hours`` lists all.
/// hand : str, default "right"
///     ``"right"`` or ``"left"``: the hand that holds the knife.
/// marking : str, default "all"
///     ``"all"`` lines of the grid are marked and drawn, or ``"sparse"``: those that the outline needs, as far
///     as it needs them, and every fifth.
/// transfer : str, optional
///     Sheets for transferring the outline: ``"outline"`` to trace or rub through, or ``"dots"`` to prick and
///     pounce; each from the front and mirrored, with the outline as counted runs.
/// clearance : Length or str, default "1/8 in"
///     How far the coarse cuts stay away from the outline.
/// name : str, optional
///     The name that the pages bear; by default that of the file.
/// progress : callable, optional
///     Called with the share that is done, 0 to 1.
///
/// Returns
/// -------
/// Plan
///
/// Raises
/// ------
/// GridError
///     ``GRID-UNSURE`` when the reading of a picture has a confidence under 0.5.
/// PictureError, SizeError, ArgumentError
///     As ``recover`` and ``fit``.
///
/// Examples
/// --------
/// >>> plan("heron.png", panel=Panel("12 in", "12 in")).write("heron-plan")  # doctest: +SKIP
#[pyfunction]
#[pyo3(signature = (picture_or_grid, *, panel, ruler = None, pitches = None, pitch = None, width = None,
    height = None, across = None, down = None, margin = None, ending = "cut out", backing = true, edges = true,
    paints = "mixed", raw = None, ground = None, background = None, stock = None,
    pinned = None, painting = None, mounting = None, rates = None, hand = "right", marking = "all",
    transfer = None, clearance = None, name = None, progress = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn plan(
    picture_or_grid: &Bound<'_, PyAny>,
    panel: &Bound<'_, PyPanel>,
    ruler: Option<&Bound<'_, PyAny>>,
    pitches: Option<&Bound<'_, PyAny>>,
    pitch: Option<&Bound<'_, PyAny>>,
    width: Option<&Bound<'_, PyAny>>,
    height: Option<&Bound<'_, PyAny>>,
    across: Option<i64>,
    down: Option<i64>,
    margin: Option<&Bound<'_, PyAny>>,
    ending: &str,
    backing: bool,
    edges: bool,
    paints: &str,
    raw: Option<&Bound<'_, PyAny>>,
    ground: Option<&Bound<'_, PyAny>>,
    background: Option<&Bound<'_, PyAny>>,
    stock: Option<&Bound<'_, PyStock>>,
    pinned: Option<Vec<Bound<'_, PyRecipe>>>,
    painting: Option<&Bound<'_, PyPainting>>,
    mounting: Option<&Bound<'_, PyMounting>>,
    rates: Option<BTreeMap<String, (f64, f64)>>,
    hand: &str,
    marking: &str,
    transfer: Option<&str>,
    clearance: Option<&Bound<'_, PyAny>>,
    name: Option<&Bound<'_, PyString>>,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyPlan> {
    let py = picture_or_grid.py();
    let asked = Asked { ruler, pitches, pitch, width, height, across, down, margin }.read()?;
    let making = Making {
        ending: ending.parse().map_err(Failure::from)?,
        backing,
        edges,
        paints: paints.parse().map_err(Failure::from)?,
        hand: hand.parse().map_err(Failure::from)?,
        marking: marking.parse().map_err(Failure::from)?,
        transfer: transfer.map(str::parse).transpose().map_err(Failure::from)?,
        raw: raw.map(array::colour).transpose()?,
        ground: ground.map(array::colour).transpose()?,
    };
    let background = background.map_or(Ok(Background::Auto), background_from)?;
    let Figure { grid, door, recovery, notes, name: file, path } =
        figure(picture_or_grid, background, progress)?;
    // A name may hold surrogates, which no page can show.
    let name = name.map(|name| name.to_string_lossy().into_owned()).or(file);
    let cutting = cut::Asked { clearance, hand, ..cut::Asked::default() }.read()?;
    let (panel, source) = (panel.get().0, Source { name: name.unwrap_or_else(|| "figure".into()), door });
    let stock = stock.map(|stock| stock.get().0.clone());
    let pinned: Vec<_> = pinned.into_iter().flatten().map(|recipe| recipe.get().0.clone()).collect();
    let painting = painting.map(|painting| painting.get().clone());
    painting.as_ref().map_or(Ok(()), |painting| painting.fits(grid.rows(), grid.columns()))?;
    let painting = painting.map_or_else(Painting::default, |painting| painting.0);
    let mounting = mounting.map_or_else(Mounting::default, |mounting| mounting.get().0);
    let timing = Timing { rates: read_rates(rates.unwrap_or_default())?, taken: Vec::new() };
    let plan = run(py, None, None, move |watch| {
        let plan = Plan::new(source, grid, panel, &asked, making)?.mounted(mounting)?.with_timing(timing);
        let plan = plan.mixed(stock.as_ref(), &pinned, &Mixing::default(), watch)?;
        plan.painted(painting, stock.as_ref())?.cut(&cutting, watch)
    })?;
    Ok(PyPlan { plan: Arc::new(plan), recovery, notes, path, settings: None })
}
