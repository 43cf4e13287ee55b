//! What a `squarewright.WallPlan` says about jars, days and what to buy.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};
use squarewright::paint::Set;
use squarewright::wall::{Bottle, Day, WallJar, WallPlan};

use crate::length::PyLength;
use crate::recipe::NewRecipe;

/// Names a figure by its place.
pub(crate) fn name_of(wall: &WallPlan, figure: usize) -> &str {
    &wall.figures()[figure].name
}

/// Tells of a jar.
pub(crate) fn jar<'py>(wall: &WallPlan, py: Python<'py>, jar: &WallJar) -> PyResult<Bound<'py, PyDict>> {
    let entry = PyDict::new(py);
    entry.set_item("number", jar.number)?;
    entry.set_item("name", &jar.name)?;
    entry.set_item("hex", jar.jar.colour.to_string())?;
    entry.set_item("area_cm2", jar.jar.area / 100.0)?;
    entry.set_item("coats", jar.jar.coats)?;
    entry.set_item("undercoat", jar.jar.undercoat)?;
    entry.set_item("ml", jar.jar.ml)?;
    entry.set_item("batch_ml", jar.jar.batch_ml)?;
    entry.set_item("measure", jar.jar.measure.word())?;
    let doses = jar.jar.doses.iter().map(|dose| (&dose.paint, dose.parts));
    entry.set_item("doses", doses.collect::<Vec<_>>())?;
    entry.set_item("recipe", jar.recipe.clone().map(NewRecipe))?;
    let uses = jar.uses.iter().map(|each| {
        let own = PyDict::new(py);
        own.set_item("figure", name_of(wall, each.figure))?;
        own.set_item("code", &each.code)?;
        own.set_item("cells", each.cells)?;
        own.set_item("ml", each.ml)?;
        Ok(own)
    });
    entry.set_item("uses", uses.collect::<PyResult<Vec<_>>>()?)?;
    Ok(entry)
}

/// Tells of a painting day.
pub(crate) fn day<'py>(wall: &WallPlan, py: Python<'py>, day: &Day) -> PyResult<Bound<'py, PyDict>> {
    let entry = PyDict::new(py);
    entry.set_item("minutes", day.minutes())?;
    let openings = PyList::empty(py);
    for opening in &day.openings {
        let own = PyDict::new(py);
        let jar = wall.jars().iter().find(|jar| Some(jar.jar.colour) == opening.colour);
        own.set_item("jar", jar.map(|jar| jar.number))?;
        own.set_item("name", jar.map_or("white below", |jar| &*jar.name))?;
        own.set_item("hex", opening.colour.map(|colour| colour.to_string()))?;
        own.set_item("gap_minutes", opening.gap)?;
        let meanwhile = opening.meanwhile.iter().map(|work| {
            let each = PyDict::new(py);
            each.set_item("figure", name_of(wall, work.figure))?;
            each.set_item("copy", work.copy + 1)?;
            each.set_item("step", work.step.word())?;
            each.set_item("minutes", work.minutes)?;
            each.set_item("ends", work.ends)?;
            Ok(each)
        });
        own.set_item("meanwhile", meanwhile.collect::<PyResult<Vec<_>>>()?)?;
        own.set_item("minutes", opening.minutes() - opening.gap)?;
        let work = opening.work.iter().map(|work| {
            let each = PyDict::new(py);
            each.set_item("figure", name_of(wall, work.figure))?;
            each.set_item("copy", work.copy + 1)?;
            each.set_item("set", set(work.set))?;
            each.set_item("coat", work.coat)?;
            each.set_item("cells", work.cells)?;
            each.set_item("minutes", work.minutes)?;
            Ok(each)
        });
        own.set_item("work", work.collect::<PyResult<Vec<_>>>()?)?;
        openings.append(own)?;
    }
    entry.set_item("openings", openings)?;
    Ok(entry)
}

/// Tells what to buy.
pub(crate) fn buying<'py>(wall: &WallPlan, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
    let buying = wall.buying();
    let (entry, panels) = (PyDict::new(py), PyDict::new(py));
    panels.set_item("needed", buying.panels.needed)?;
    panels.set_item("owned", buying.panels.owned)?;
    panels.set_item("packs", buying.panels.packs)?;
    panels.set_item("spare", buying.panels.spare)?;
    panels.set_item("pack", buying.panels.pack.panels)?;
    panels.set_item("at_hand", buying.panels.pack.owned)?;
    panels.set_item("cost", buying.panels.cost())?;
    entry.set_item("panels", panels)?;
    let paints = buying.paints.iter().map(|each| bottle(py, each));
    entry.set_item("paints", paints.collect::<PyResult<Vec<_>>>()?)?;
    let cards = buying
        .cards
        .iter()
        .map(|card| (PyLength::from(card.sheet.0), PyLength::from(card.sheet.1), card.sheets));
    entry.set_item("cards", cards.collect::<Vec<_>>())?;
    entry.set_item("glue_ml", buying.glue_ml)?;
    entry.set_item("primer_ml", buying.primer_ml)?;
    entry.set_item("varnish_ml", buying.varnish_ml)?;
    entry.set_item("undercoat_ml", buying.undercoat_ml)?;
    entry.set_item("blade_edges", buying.edges)?;
    let fixings = buying.fixings.iter().map(|each| (each.grams, each.count));
    entry.set_item("fixings", fixings.collect::<Vec<_>>())?;
    entry.set_item("jars", buying.jars)?;
    let money = buying.money();
    entry.set_item("total", money.hundredths)?;
    entry.set_item("currency", money.currency)?;
    entry.set_item("unpriced", money.unpriced)?;
    Ok(entry)
}

fn set(set: Set) -> &'static str {
    match set {
        Set::Undercoat => "undercoat",
        Set::Outline => "outline",
        Set::Inside => "inside",
    }
}

fn bottle<'py>(py: Python<'py>, each: &Bottle) -> PyResult<Bound<'py, PyDict>> {
    let entry = PyDict::new(py);
    entry.set_item("paint", &each.need.paint.name)?;
    entry.set_item("hex", each.need.paint.colour.to_string())?;
    entry.set_item("ml", each.need.ml)?;
    entry.set_item("poured_ml", each.need.poured_ml)?;
    entry.set_item("at_hand_ml", each.at_hand_ml)?;
    entry.set_item("bottle_ml", each.need.bottle_ml)?;
    entry.set_item("to_buy", each.to_buy)?;
    entry.set_item("cost", each.cost())?;
    Ok(entry)
}
