//! `squarewright.Mounting`, and what a plan says about its card, its edges, the wall and the hours.

use std::collections::BTreeMap;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple, PyType};
use squarewright::cut::{Backing, Card, Estimate, mirrored};
use squarewright::length::{Area, Length, Place};
use squarewright::outline::Contour;
use squarewright::plan::{Minutes, Mounting, Plan, Rate, Rates, Step, Timed};

use crate::failure::Failure;
use crate::kept::{Kept, kept, restored};
use crate::length::whole;
use crate::repr;

/// What you decide about card and wall.
///
/// Parameters
/// ----------
/// margin : Length or str, default "1/4 in"
///     How far the card stands out all round until it is trimmed, 3 in at the most.
/// corners : str, default "square"
///     Its corners until then: ``"square"``, ``"round"``, or ``"few"`` for fewer cuts that take up to a twelfth
///     more card.
/// smallest_hole : Length or str, default "1 in"
///     A hole in the card narrower than this stays closed until the card is trimmed.
/// web : Length or str, default "1/4 in"
///     The side of the square of card that stays where cells meet only at a corner.
/// card : tuple of Length or str, default ("20 in", "30 in")
///     Width and height of a sheet of card.
/// card_thickness : Length or str, default "1/8 in"
///     How thick it is.
/// card_grams : tuple of float, default (400, 500, 600)
///     Grams of card a square metre: low, likely, high.
/// glue : tuple of float, default (120, 170, 220)
///     Millilitres of glue a square metre.
/// density : tuple of float, default (0.15, 0.20, 0.25)
///     Grams of board in a cubic centimetre.
/// rating : float, default 4
///     How many times its weight the fixings are rated for.
/// fixing_grams : float, default 450
///     What one fixing is rated for.
/// inset : Length or str, default "5 mm"
///     How far fixings stay inside the outline.
///
/// Raises
/// ------
/// ArgumentError, SizeError
///     ``VALUE-BAD`` and ``SIZE-BAD`` for what cannot be.
///
/// Notes
/// -----
/// The numbers are common practice, for composition cork on corrugated card with white glue.
#[pyclass(name = "Mounting", module = "squarewright", frozen, eq)]
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PyMounting(pub(crate) Mounting);

#[pymethods]
impl PyMounting {
    #[new]
    #[pyo3(signature = (*, margin = None, corners = "square", smallest_hole = None, web = None, card = None,
        card_thickness = None, card_grams = None, glue = None, density = None, rating = 4.0, fixing_grams = 450.0,
        inset = None))]
    #[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public class")]
    fn new(
        margin: Option<&Bound<'_, PyAny>>,
        corners: &str,
        smallest_hole: Option<&Bound<'_, PyAny>>,
        web: Option<&Bound<'_, PyAny>>,
        card: Option<(Bound<'_, PyAny>, Bound<'_, PyAny>)>,
        card_thickness: Option<&Bound<'_, PyAny>>,
        card_grams: Option<(f64, f64, f64)>,
        glue: Option<(f64, f64, f64)>,
        density: Option<(f64, f64, f64)>,
        rating: f64,
        fixing_grams: f64,
        inset: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let length = |value: Option<&Bound<'_, PyAny>>, name, usual| {
            value.map_or(Ok(usual), |value| whole(value, name))
        };
        let estimate = |value: Option<(f64, f64, f64)>, usual| {
            value.map_or(usual, |(low, likely, high)| Estimate::new(low, likely, high))
        };
        let (usual, about) = (Card::default(), Mounting::default());
        let card = Card {
            margin: length(margin, "margin", usual.margin)?,
            corners: corners.parse().map_err(Failure::from)?,
            smallest_hole: length(smallest_hole, "smallest_hole", usual.smallest_hole)?,
            web: length(web, "web", usual.web)?,
            sheet: match card {
                Some((width, height)) => (whole(&width, "card")?, whole(&height, "card")?),
                None => usual.sheet,
            },
            thickness: length(card_thickness, "card_thickness", usual.thickness)?,
            grams: estimate(card_grams, usual.grams),
            glue: estimate(glue, usual.glue),
        };
        let mounting = Mounting {
            card,
            density: estimate(density, about.density),
            rating,
            fixing: fixing_grams,
            inset: length(inset, "inset", about.inset)?,
        };
        Ok(Self(mounting.checked().map_err(Failure::from)?))
    }

    fn __repr__(&self) -> String {
        repr::changed("Mounting", words(&self.0), &words(&Mounting::default()))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &self.0)
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        restored(text).map(Self)
    }
}

/// Gives the keywords of a mounting with their values.
fn words(mounting: &Mounting) -> Vec<repr::Word> {
    let Mounting { card, density, rating, fixing, inset } = mounting;
    vec![
        ("margin", repr::text(card.margin)),
        ("corners", repr::choice(card.corners)),
        ("smallest_hole", repr::text(card.smallest_hole)),
        ("web", repr::text(card.web)),
        ("card", format!("('{}', '{}')", card.sheet.0, card.sheet.1)),
        ("card_thickness", repr::text(card.thickness)),
        ("card_grams", format!("{:?}", three(card.grams))),
        ("glue", format!("{:?}", three(card.glue))),
        ("density", format!("{:?}", three(*density))),
        ("rating", format!("{rating:?}")),
        ("fixing_grams", format!("{fixing:?}")),
        ("inset", repr::text(inset)),
    ]
}

/// Reads rates by their words.
pub(crate) fn read_rates(rates: BTreeMap<String, (f64, f64)>) -> PyResult<Rates> {
    let with = |rates: Rates, (word, minutes): (String, (f64, f64))| rates.with(word.parse()?, minutes);
    Ok(rates.into_iter().try_fold(Rates::default(), with).map_err(Failure::from)?)
}

/// Describes the card of a plan.
pub(crate) fn backing<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Option<Bound<'py, PyDict>>> {
    let Some(backing) = plan.backing() else { return Ok(None) };
    let entry = PyDict::new(py);
    let Backing { card, contours, closed_holes, webs, parts, sheets, joints, .. } = backing;
    let web = |web: &Area| (web.left().mm(), web.top().mm(), web.width.mm());
    let width = plan.fit().width().nearest();
    entry.set_item("contours", outlined(py, contours)?)?;
    entry.set_item("mirrored", outlined(py, &mirrored(contours, width))?)?;
    entry.set_item("area_cm2", backing.mm2() / 100.0)?;
    entry.set_item("extra_cm2", backing.extra_mm2 / 100.0)?;
    entry.set_item("cuts", backing.straight_cuts())?;
    entry.set_item("cut_mm", backing.cut_mm())?;
    entry.set_item("trim_mm", backing.trim_mm())?;
    entry.set_item("closed_holes", closed_holes)?;
    entry.set_item("webs", webs.iter().map(web).collect::<Vec<_>>())?;
    entry.set_item("parts", parts)?;
    entry.set_item("sheets", sheets)?;
    let places = |along: &[Length]| along.iter().map(|length| length.mm()).collect::<Vec<_>>();
    entry.set_item("upright_joints_mm", places(&joints.upright))?;
    entry.set_item("level_joints_mm", places(&joints.level))?;
    entry.set_item("joints_near_seams", joints.near_seams)?;
    entry.set_item("thickness_mm", card.thickness.mm())?;
    entry.set_item("glued_cm2", backing.glued_mm2() / 100.0)?;
    entry.set_item("glue_ml", three(backing.glue_ml()))?;
    Ok(Some(entry))
}

fn outlined<'py>(py: Python<'py>, contours: &[Contour]) -> PyResult<Vec<Bound<'py, PyDict>>> {
    let contour = |contour: &Contour| {
        let entry = PyDict::new(py);
        let places: Vec<(f64, f64)> = contour.places.iter().copied().map(spot).collect();
        entry.set_item("places", places)?;
        entry.set_item("hole", contour.hole)?;
        Ok(entry)
    };
    contours.iter().map(contour).collect()
}

/// Describes the painted edges of a plan.
pub(crate) fn edges<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
    let edge = |edge: squarewright::plan::Edge| {
        let entry = PyDict::new(py);
        let code = plan.tally().iter().find(|tally| tally.colour == edge.colour).map(|tally| &*tally.code);
        entry.set_item("code", code)?;
        entry.set_item("hex", edge.colour.to_string())?;
        entry.set_item("length_mm", edge.mm)?;
        entry.set_item("depth_mm", plan.edge_depth().mm())?;
        entry.set_item("area_cm2", edge.mm2 / 100.0)?;
        Ok(entry)
    };
    plan.edges().into_iter().map(edge).collect()
}

/// Describes how a plan hangs.
pub(crate) fn hanging<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
    let hanging = plan.hanging();
    let entry = PyDict::new(py);
    entry.set_item("grams", three(hanging.grams()))?;
    for (name, grams) in [
        ("board_grams", hanging.board),
        ("card_grams", hanging.card),
        ("glue_grams", hanging.glue),
        ("paint_grams", hanging.paint),
    ] {
        entry.set_item(name, three(grams))?;
    }
    entry.set_item("balance_mm", spot(hanging.balance))?;
    entry.set_item("hook_mm", hanging.hook.map(spot))?;
    entry.set_item("pair_mm", hanging.pair.map(|(left, right)| (spot(left), spot(right))))?;
    entry.set_item("rated_grams", hanging.rated)?;
    entry.set_item("fixings", hanging.fixings)?;
    let sides = |frame: squarewright::plan::Frame| [frame.width, frame.height, frame.depth].map(Length::mm);
    entry.set_item("frame_mm", hanging.frame.map(sides).map(|sides| PyTuple::new(py, sides)).transpose()?)?;
    Ok(entry)
}

/// Describes the hours of a plan.
pub(crate) fn hours<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
    let hours = plan.hours();
    let entry = PyDict::new(py);
    let total = hours.total();
    entry.set_item("work", in_hours(total.work))?;
    entry.set_item("wait", in_hours(total.wait))?;
    entry.set_item("pace", hours.pace)?;
    let stages = PyDict::new(py);
    for stage in &hours.stages {
        let own = PyDict::new(py);
        own.set_item("work", in_hours(stage.work))?;
        own.set_item("wait", in_hours(stage.wait))?;
        stages.set_item(stage.what.word(), own)?;
    }
    entry.set_item("stages", stages)?;
    entry.set_item("steps", steps(plan, py)?)?;
    entry.set_item("rates", rates(plan, py)?)?;
    Ok(entry)
}

/// Describes the steps of a plan, in order.
pub(crate) fn steps<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
    plan.hours().steps.iter().map(|step| timed(py, step)).collect()
}

fn timed<'py>(py: Python<'py>, step: &Timed<Step>) -> PyResult<Bound<'py, PyDict>> {
    let entry = PyDict::new(py);
    entry.set_item("step", step.what.word())?;
    entry.set_item("stage", step.what.stage().word())?;
    entry.set_item("work_minutes", (step.work.low, step.work.high))?;
    entry.set_item("wait_minutes", (step.wait.low, step.wait.high))?;
    Ok(entry)
}

fn rates<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
    let entry = PyDict::new(py);
    for rate in Rate::ALL {
        let own = PyDict::new(py);
        own.set_item("unit", rate.unit())?;
        own.set_item("minutes", plan.timing().rates.minutes(rate))?;
        entry.set_item(rate.word(), own)?;
    }
    Ok(entry)
}

fn in_hours(minutes: Minutes) -> (f64, f64) {
    (minutes.low / 60.0, minutes.high / 60.0)
}

/// Gives an estimate as Python takes it: low, likely and high.
pub(crate) fn three(estimate: Estimate) -> (f64, f64, f64) {
    (estimate.low, estimate.likely, estimate.high)
}

fn spot(place: Place) -> (f64, f64) {
    (place.x.mm(), place.y.mm())
}
