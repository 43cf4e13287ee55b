//! `squarewright.Painting`, and what a plan says about jars, bottles and the order of painting.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyType};
use squarewright::outline::EdgeColour;
use squarewright::paint::{Amounting, Layer, Ordering, Set};
use squarewright::plan::{Painting, Plan};

use crate::array;
use crate::failure::{Failure, bad_argument};
use crate::kept::{Kept, kept, restored};
use crate::recipe::listed;
use crate::repr;
use crate::watch::guard;

/// What you decide about painting.
///
/// Parameters
/// ----------
/// outline : str, default "first"
///     When the outline cells are painted: ``"first"``, as a fence, or ``"last"``, over the edges.
/// edges : str, default "own"
///     In which colour cut edges are painted: ``"own"`` of the cell beside, or the nearest shade of the
///     ``"outline"``.
/// wait : tuple of int, default (20, 60)
///     Minutes between coats, at the least and at the most.
/// outline_cells : ndarray of bool, shape (rows, columns), optional
///     The cells that draw the outline, when those that are found are not right.
/// coats, weak_coats : int, default 2 and 3
///     Coats of most colours; of white, yellow, orange and bright red.
/// spread, raw_spread : float, default 8 and 5
///     Square metres that a litre covers in one coat; the same for the first coat on a raw board.
/// primer_coats, primer_spread : int and float, default 1 and 6
///     Coats of primer, and square metres that a litre of it covers.
/// varnish_coats, varnish_spread : int and float, default 1 and 10
///     The same for varnish.
/// loss, reserve : float, default 0.2 and 0.1
///     Shares that stay in the jar, and that are kept for touching up.
/// smallest_ml, drop_ml, bottle_ml : float, default 1, 0.05 and 59
///     The smallest mix, a drop, and a bottle that does not say what it holds, in millilitres.
///
/// Raises
/// ------
/// ArgumentError
///     ``VALUE-BAD`` for a word or a number that cannot be.
///
/// Notes
/// -----
/// The numbers are common practice; the book prints each with its usual range.
#[pyclass(name = "Painting", module = "squarewright", frozen, eq)]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PyPainting(pub(crate) Painting, Option<(usize, usize)>);

#[pymethods]
impl PyPainting {
    #[new]
    #[pyo3(signature = (*, outline = "first", edges = "own", wait = (20, 60),
        outline_cells = None, coats = 2, weak_coats = 3, spread = 8.0, raw_spread = 5.0, primer_coats = 1,
        primer_spread = 6.0, varnish_coats = 1, varnish_spread = 10.0, loss = 0.2, reserve = 0.1,
        smallest_ml = 1.0, drop_ml = 0.05, bottle_ml = 59.0))]
    #[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public class")]
    fn new(
        outline: &str,
        edges: &str,
        wait: (u32, u32),
        outline_cells: Option<&Bound<'_, PyAny>>,
        coats: u32,
        weak_coats: u32,
        spread: f64,
        raw_spread: f64,
        primer_coats: u32,
        primer_spread: f64,
        varnish_coats: u32,
        varnish_spread: f64,
        loss: f64,
        reserve: f64,
        smallest_ml: f64,
        drop_ml: f64,
        bottle_ml: f64,
    ) -> PyResult<Self> {
        let amounting = Amounting {
            coats,
            weak_coats,
            spread,
            raw_spread,
            primer_coats,
            primer_spread,
            varnish_coats,
            varnish_spread,
            loss,
            reserve,
            smallest_ml,
            drop_ml,
            bottle_ml,
        };
        guard(|| amounting.check())?;
        if wait.0 > wait.1 {
            return Err(bad_argument("wait", "the shorter wait first", format!("{wait:?}")));
        }
        let marks = outline_cells.map(marks).transpose()?;
        let (outline_cells, shape) = marks.unzip();
        let painting = Painting {
            ordering: Ordering { outline: outline.parse().map_err(Failure::from)?, wait },
            edges: match edges {
                "own" => EdgeColour::Own,
                "outline" => EdgeColour::Outline,
                _ => return Err(bad_argument("edges", "\"own\" or \"outline\"", format!("{edges:?}"))),
            },
            amounting,
            outline_cells,
        };
        Ok(Self(painting, shape))
    }

    fn __repr__(&self) -> String {
        let usual = Self(Painting::default(), None);
        repr::changed("Painting", self.words(), &usual.words())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &(&self.0, self.1))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        let (painting, shape) = restored(text)?;
        Ok(Self(painting, shape))
    }
}

impl PyPainting {
    fn words(&self) -> Vec<repr::Word> {
        let Painting { ordering, edges, amounting, .. } = &self.0;
        let cells = self.1.map_or("None".into(), |(rows, columns)| format!("<{rows} × {columns} cells>"));
        vec![
            ("outline", repr::choice(ordering.outline)),
            ("edges", repr::choice(edges)),
            ("wait", format!("{:?}", ordering.wait)),
            ("outline_cells", cells),
            ("coats", amounting.coats.to_string()),
            ("weak_coats", amounting.weak_coats.to_string()),
            ("spread", format!("{:?}", amounting.spread)),
            ("raw_spread", format!("{:?}", amounting.raw_spread)),
            ("primer_coats", amounting.primer_coats.to_string()),
            ("primer_spread", format!("{:?}", amounting.primer_spread)),
            ("varnish_coats", amounting.varnish_coats.to_string()),
            ("varnish_spread", format!("{:?}", amounting.varnish_spread)),
            ("loss", format!("{:?}", amounting.loss)),
            ("reserve", format!("{:?}", amounting.reserve)),
            ("smallest_ml", format!("{:?}", amounting.smallest_ml)),
            ("drop_ml", format!("{:?}", amounting.drop_ml)),
            ("bottle_ml", format!("{:?}", amounting.bottle_ml)),
        ]
    }

    /// Refuses outline cells of another shape than the grid's.
    pub(crate) fn fits(&self, rows: usize, columns: usize) -> PyResult<()> {
        match self.1.filter(|&shape| shape != (rows, columns)) {
            Some(shape) => {
                let must = format!("marks of shape ({rows}, {columns}), as the grid");
                Err(bad_argument("outline_cells", &must, format!("{shape:?}")))
            }
            None => Ok(()),
        }
    }
}

/// Reads marks of cells and their shape.
fn marks(value: &Bound<'_, PyAny>) -> PyResult<(Vec<bool>, (usize, usize))> {
    let (rows, columns, cells) = array::cells(value)?;
    Ok((cells.into_iter().map(|mark| mark != 0).collect(), (rows, columns)))
}

/// Describes the colours of a plan.
pub(crate) fn colours<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
    let cell = plan.cell_cm2();
    let described = plan.tally().iter().map(|tally| {
        let entry = PyDict::new(py);
        entry.set_item("code", &tally.code)?;
        entry.set_item("name", &tally.name)?;
        entry.set_item("hex", tally.colour.to_string())?;
        entry.set_item("cells", tally.cells)?;
        entry.set_item("patches", tally.patches)?;
        entry.set_item("area_cm2", cell * tally.cells as f64)?;
        Ok(entry)
    });
    described.collect()
}

/// Describes the jars of a plan.
pub(crate) fn jars<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
    let jar = |jar: &squarewright::paint::Jar| {
        let entry = PyDict::new(py);
        let code = plan.tally().iter().find(|tally| tally.colour == jar.colour).map(|tally| &*tally.code);
        entry.set_item("code", code)?;
        entry.set_item("hex", jar.colour.to_string())?;
        entry.set_item("area_cm2", jar.area / 100.0)?;
        entry.set_item("coats", jar.coats)?;
        entry.set_item("undercoat", jar.undercoat)?;
        entry.set_item("ml", jar.ml)?;
        entry.set_item("batch_ml", jar.batch_ml)?;
        entry.set_item("measure", jar.measure.word())?;
        entry.set_item("doses", listed(py, &jar.doses)?)?;
        Ok(entry)
    };
    plan.amounts().jars.iter().map(jar).collect()
}

/// Describes what each paint of a plan has to give.
pub(crate) fn bottles<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
    let bottle = |need: &squarewright::paint::Need| {
        let entry = PyDict::new(py);
        entry.set_item("paint", &need.paint.name)?;
        entry.set_item("hex", need.paint.colour.to_string())?;
        entry.set_item("ml", need.ml)?;
        entry.set_item("poured_ml", need.poured_ml)?;
        entry.set_item("bottle_ml", need.bottle_ml)?;
        entry.set_item("bottles", need.bottles)?;
        entry.set_item("owned", need.paint.owned)?;
        entry.set_item("cost", need.cost())?;
        entry.set_item("currency", need.paint.price.as_ref().map(|price| &*price.currency))?;
        Ok(entry)
    };
    plan.amounts().paints.iter().map(bottle).collect()
}

/// Describes what is brushed on all over.
pub(crate) fn layers<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
    let amounts = plan.amounts();
    let entry = PyDict::new(py);
    let kinds = [("primer", amounts.primer), ("undercoat", amounts.undercoat), ("varnish", amounts.varnish)];
    for (name, Layer { area, coats, ml }) in kinds {
        let layer = PyDict::new(py);
        layer.set_item("area_cm2", area / 100.0)?;
        layer.set_item("coats", coats)?;
        layer.set_item("ml", ml)?;
        entry.set_item(name, layer)?;
    }
    Ok(entry)
}

/// Describes the passes of the painting.
pub(crate) fn passes<'py>(plan: &Plan, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyDict>>> {
    let pass = |pass: squarewright::paint::Pass| {
        let entry = PyDict::new(py);
        let set = match pass.set {
            Set::Undercoat => "undercoat",
            Set::Outline => "outline",
            Set::Inside => "inside",
        };
        let colours: Vec<(String, usize)> =
            pass.colours.iter().map(|&(colour, cells)| (colour.to_string(), cells)).collect();
        entry.set_item("set", set)?;
        entry.set_item("coat", pass.coat)?;
        entry.set_item("colours", colours)?;
        entry.set_item("wait_minutes", pass.wait)?;
        Ok(entry)
    };
    plan.passes().into_iter().map(pass).collect()
}
