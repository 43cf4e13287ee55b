//! `squarewright.buy`, `squarewright.Purchase` and `squarewright.ways`.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyType};
use squarewright::paint::{self, Mixing, Purchase, Weighed};

use crate::array;
use crate::kept::{Kept, kept, restored};
use crate::paint::{PyPaint, PyStock};
use crate::recipe::{NewRecipe, listed, max_parts as parts_from};
use crate::watch::run;

/// What to buy, and what it makes.
#[pyclass(name = "Purchase", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyPurchase(pub(crate) Purchase);

#[pymethods]
impl PyPurchase {
    /// The paints to buy, in the order of the stock.
    #[getter]
    fn paints(&self) -> Vec<PyPaint> {
        self.0.paints.iter().cloned().map(PyPaint).collect()
    }

    /// A recipe for each colour that can be reached, out of what is bought or at hand.
    #[getter]
    fn recipes(&self) -> Vec<NewRecipe> {
        self.0.recipes.iter().cloned().map(NewRecipe).collect()
    }

    /// The nearest there is in the whole stock for each colour that cannot be reached.
    #[getter]
    fn unreachable(&self) -> Vec<NewRecipe> {
        self.0.unreachable.iter().cloned().map(NewRecipe).collect()
    }

    /// Whether no cheaper set of paints can be.
    #[getter]
    fn proven(&self) -> bool {
        self.0.proven
    }

    /// What one bottle of each costs, in hundredths of the currency; None when a price is missing.
    #[getter]
    fn cost(&self) -> Option<u64> {
        self.0.cost()
    }

    /// The currency of the prices, as it is written in the list.
    #[getter]
    fn currency(&self) -> &str {
        self.0.currency()
    }

    /// By what sets were weighed: ``"price"``, or ``"bottles"`` when a price is missing.
    #[getter]
    fn weighed(&self) -> &'static str {
        match self.0.weighed {
            Weighed::Price => "price",
            Weighed::Bottles => "bottles",
        }
    }

    fn __repr__(&self) -> String {
        let names: Vec<&str> = self.0.paints.iter().map(|paint| &*paint.name).collect();
        let bought = if names.is_empty() { "nothing".to_owned() } else { names.join(", ") };
        let proven = if self.0.proven { "" } else { ", not proven" };
        format!("Purchase({bought}; {} of {} colours{proven})", self.0.recipes.len(), self.count())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &self.0)
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        restored(text).map(Self)
    }
}

impl PyPurchase {
    fn count(&self) -> usize {
        self.0.recipes.len() + self.0.unreachable.len()
    }
}

/// Find the cheapest paints to buy for colours.
///
/// Paints at hand cost nothing. Of sets that cost the same the one is taken whose recipes come nearest. Where a
/// price is missing the fewest bottles are sought. One bottle of each is counted; how many a figure takes
/// stands in ``Plan.bottles``.
///
/// Parameters
/// ----------
/// colours : iterable of str or tuple of int, or ndarray of uint8, shape (n, 3)
///     The colours, of one figure or of several.
/// stock : Stock
///     Paints at hand and on sale.
/// tolerance : float, default 3
///     The difference (CIEDE2000) that is good enough.
/// max_paints, max_parts
///     As for ``mix``.
/// progress : callable, optional
///     Called with the share that is done, 0 to 1.
///
/// Returns
/// -------
/// Purchase
///
/// Raises
/// ------
/// ArgumentError
///     As ``mix``.
///
/// Notes
/// -----
/// Solved exactly by branch and bound over the sets of up to ``max_paints`` paints that make each colour; when
/// that would take too long the best set so far is given and ``proven`` is False.
#[pyfunction]
#[pyo3(signature = (colours, stock, tolerance = 3.0, *, max_paints = 3, max_parts = None, progress = None))]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn buy(
    colours: &Bound<'_, PyAny>,
    stock: &Bound<'_, PyStock>,
    tolerance: f64,
    max_paints: usize,
    max_parts: Option<&Bound<'_, PyAny>>,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyPurchase> {
    let asked = Mixing { max_paints, max_parts: parts_from(max_parts)?, tolerance, ..Mixing::default() };
    let (wanted, known) = (array::colours(colours)?, stock.get().0.clone());
    run(colours.py(), None, progress, move |watch| paint::buy(&wanted, &known, &asked, watch)).map(PyPurchase)
}

/// List all sets of paints that reach each colour.
///
/// Parameters
/// ----------
/// colours, stock, tolerance, max_paints, max_parts
///     As for ``buy``.
///
/// Returns
/// -------
/// list of list of dict
///     For each colour its sets, the best first: ``parts`` (whole parts of each paint by its name, in the best
///     mixture of the set) and ``difference`` (CIEDE2000). Empty for a colour that nothing reaches.
///
/// Raises
/// ------
/// ArgumentError
///     As ``mix``.
#[pyfunction]
#[pyo3(signature = (colours, stock, tolerance = 3.0, *, max_paints = 3, max_parts = None))]
pub(crate) fn ways<'py>(
    colours: &Bound<'py, PyAny>,
    stock: &Bound<'py, PyStock>,
    tolerance: f64,
    max_paints: usize,
    max_parts: Option<&Bound<'py, PyAny>>,
) -> PyResult<Vec<Vec<Bound<'py, PyDict>>>> {
    let py = colours.py();
    let asked = Mixing { max_paints, max_parts: parts_from(max_parts)?, tolerance, ..Mixing::default() };
    let (wanted, known) = (array::colours(colours)?, stock.get().0.clone());
    let searched = known.clone();
    let found = run(py, None, None, move |watch| paint::ways(&wanted, &searched, &asked, watch))?;
    let described = |way: paint::Way| {
        let entry = PyDict::new(py);
        entry.set_item("parts", listed(py, &known.named(&way.parts))?)?;
        entry.set_item("difference", way.difference)?;
        Ok(entry)
    };
    found.into_iter().map(|ways| ways.into_iter().map(described).collect()).collect()
}
