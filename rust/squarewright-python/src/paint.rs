//! `squarewright.Paint` and `squarewright.Stock`.

use std::path::PathBuf;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyTuple, PyType};
use squarewright::fault::{Error, StockFault};
use squarewright::paint::{Format, Opacity, Paint, Price, Stock, Surface, Tint};

use crate::array::{colour, shown};
use crate::failure::{Failure, bad_argument};
use crate::recipe;
use crate::watch::guard;

/// A paint, owned or on sale.
///
/// Parameters
/// ----------
/// name : str
///     One of a kind in a stock.
/// colour : str or tuple of int
///     The colour of a dry, covering layer.
/// owned : bool, default True
///     Whether it is at hand; else it is on sale.
/// ml : float, optional
///     What the bottle holds.
/// price : float, optional
///     What the bottle costs.
/// currency : str, optional
///     Of what, as in ``"EUR"``.
/// opacity : str, optional
///     ``"opaque"``, ``"half"`` or ``"transparent"``.
/// strength : float, optional
///     How strongly it tints, where white has 1.
/// tint : str or tuple of int, optional
///     The dried colour of a mix with white; ``share`` and ``white`` go with it.
/// share : float, optional
///     How much of that mix is this paint, above 0 and below 1.
/// white : str or tuple of int, optional
///     The colour of that white.
///
/// Raises
/// ------
/// StockError
///     ``STOCK-AMOUNT`` and the like for what cannot be.
#[pyclass(name = "Paint", module = "squarewright", frozen, eq)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyPaint(pub(crate) Paint);

#[pymethods]
impl PyPaint {
    #[new]
    #[pyo3(signature = (name, colour, *, owned = true, ml = None, price = None, currency = None,
        opacity = None, strength = None, tint = None, share = None, white = None))]
    #[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public class")]
    fn new(
        name: &str,
        colour: &Bound<'_, PyAny>,
        owned: bool,
        ml: Option<f64>,
        price: Option<f64>,
        currency: Option<String>,
        opacity: Option<&str>,
        strength: Option<f64>,
        tint: Option<&Bound<'_, PyAny>>,
        share: Option<f64>,
        white: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let opacity = opacity.map(self::opacity).transpose()?;
        let price = price.map(|amount| Price { amount, currency: currency.unwrap_or_default() });
        let tint = match (tint, share, white) {
            (None, None, None) => None,
            (Some(tint), Some(share), Some(white)) => {
                Some(Tint { colour: self::colour(tint)?, share, white: self::colour(white)? })
            }
            _ => {
                return Err(bad_argument("tint", "given with share and white", "one without another".into()));
            }
        };
        let colour = self::colour(colour)?;
        let paint = Paint { owned, ml, price, opacity, strength, tint, ..Paint::new(name.trim(), colour) };
        guard(|| paint.check("the paint"))?;
        Ok(Self(paint))
    }

    /// Its name.
    #[getter]
    fn name(&self) -> &str {
        &self.0.name
    }

    /// The colour of a dry, covering layer: red, green, blue.
    #[getter]
    fn colour(&self) -> (u8, u8, u8) {
        self.0.colour.0.into()
    }

    /// The same as ``"#rrggbb"``.
    #[getter]
    fn hex(&self) -> String {
        self.0.colour.to_string()
    }

    /// Whether it is at hand.
    #[getter]
    fn owned(&self) -> bool {
        self.0.owned
    }

    /// What the bottle holds, in millilitres.
    #[getter]
    fn ml(&self) -> Option<f64> {
        self.0.ml
    }

    /// What the bottle costs.
    #[getter]
    fn price(&self) -> Option<f64> {
        self.0.price.as_ref().map(|price| price.amount)
    }

    /// Of what.
    #[getter]
    fn currency(&self) -> Option<&str> {
        self.0.price.as_ref().map(|price| &*price.currency).filter(|currency| !currency.is_empty())
    }

    /// How well it covers.
    #[getter]
    fn opacity(&self) -> Option<&'static str> {
        self.0.opacity.map(Opacity::word)
    }

    /// How strongly it tints.
    #[getter]
    fn strength(&self) -> Option<f64> {
        self.0.strength
    }

    /// The dried colour of a mix with white, as ``"#rrggbb"``.
    #[getter]
    fn tint(&self) -> Option<String> {
        self.0.tint.map(|tint| tint.colour.to_string())
    }

    /// How much of that mix is this paint.
    #[getter]
    fn share(&self) -> Option<f64> {
        self.0.tint.map(|tint| tint.share)
    }

    /// The colour of that white, as ``"#rrggbb"``.
    #[getter]
    fn white(&self) -> Option<String> {
        self.0.tint.map(|tint| tint.white.to_string())
    }

    fn __repr__(&self) -> String {
        format!("Paint({:?}, \"{}\")", self.0.name, self.0.colour)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (Bound<'py, PyBytes>,))> {
        let text = guard(|| Stock::new(vec![self.0.clone()]))?.to_text(Format::Toml);
        let restore = py.get_type::<Self>().getattr("_restore")?;
        Ok((restore, (PyBytes::new(py, text.as_bytes()),)))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, toml: &[u8]) -> PyResult<Self> {
        guard(|| Stock::read(toml, Format::Toml, '.')).map(|stock| Self(stock.paints()[0].clone()))
    }
}

fn opacity(word: &str) -> PyResult<Opacity> {
    let known = Opacity::ALL.into_iter().find(|(known, _)| *known == word);
    let must = "\"opaque\", \"half\" or \"transparent\"";
    known.map(|(_, opacity)| opacity).ok_or_else(|| bad_argument("opacity", must, format!("{word:?}")))
}

/// All paints that are owned or on sale; it never changes.
///
/// Parameters
/// ----------
/// paints : iterable of Paint
///     One to 2,000, each of its own name.
/// surface : tuple of float, optional
///     As in ``blend``: every mixture of these paints is then predicted so. By default none.
///
/// Raises
/// ------
/// StockError
///     ``STOCK-DUPLICATE`` for two paints of one name, ``STOCK-PRICE`` for several currencies,
///     ``STOCK-EMPTY``, ``STOCK-TOO-BIG``.
#[pyclass(name = "Stock", module = "squarewright", frozen, eq, sequence)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyStock(pub(crate) Stock);

#[pymethods]
impl PyStock {
    #[new]
    #[pyo3(signature = (paints, *, surface = None))]
    fn new(paints: &Bound<'_, PyAny>, surface: Option<(f64, f64)>) -> PyResult<Self> {
        let mut found = Vec::new();
        for paint in paints.try_iter()? {
            let paint = paint?;
            let Ok(known) = paint.cast::<PyPaint>() else {
                return Err(bad_argument("paints", "a list of Paint", shown(&paint)));
            };
            found.push(known.get().0.clone());
            if found.len() > Stock::LIMIT {
                break;
            }
        }
        guard(|| Ok(Stock::new(found)?.under(recipe::surface(surface)?))).map(Self)
    }

    /// Give about two dozen craft colours as they typically look; no real bottle is exactly like them.
    ///
    /// Returns
    /// -------
    /// Stock
    #[classmethod]
    fn basic(_class: &Bound<'_, PyType>) -> Self {
        Self(Stock::basic())
    }

    #[classmethod]
    #[pyo3(signature = (data, name, decimal))]
    fn _read(_class: &Bound<'_, PyType>, data: &[u8], name: &str, decimal: &str) -> PyResult<Self> {
        let mut signs = decimal.chars();
        let (Some(sign), None) = (signs.next(), signs.next()) else {
            return Err(bad_argument("decimal", "\".\" or \",\"", format!("{decimal:?}")));
        };
        let read = || Stock::read(data, Format::of(name, data), sign);
        match read() {
            Err(error @ Error::Stock(_)) => Err(Failure::named(error, Some(name)).into()),
            _ => guard(read).map(Self),
        }
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, toml: &[u8], typical: bool) -> PyResult<Self> {
        let stock = guard(|| Stock::read(toml, Format::Toml, '.'))?;
        Ok(Self(if typical { stock.typical() } else { stock }))
    }

    /// The paints, in order.
    #[getter]
    fn paints(&self) -> Vec<PyPaint> {
        self.0.paints().iter().cloned().map(PyPaint).collect()
    }

    /// The surface of its layers as in ``blend``, or None.
    #[getter]
    fn surface(&self) -> Option<(f64, f64)> {
        let surface = self.0.surface();
        (surface != Surface::NONE).then(|| surface.shares().into())
    }

    /// Whether its colours are typical ones and not those of real bottles.
    #[getter]
    fn typical(&self) -> bool {
        self.0.is_typical()
    }

    /// What there is to know about how it was read.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.0.notes().to_vec()
    }

    /// Write the list as TOML.
    ///
    /// Returns
    /// -------
    /// str
    fn to_toml(&self) -> String {
        self.0.to_text(Format::Toml)
    }

    /// Write the list as CSV with commas, and a point before decimals.
    ///
    /// Returns
    /// -------
    /// str
    fn to_csv(&self) -> String {
        self.0.to_text(Format::Csv)
    }

    /// Write the list as the open palette text of image editors, which holds names and colours alone.
    ///
    /// Returns
    /// -------
    /// str
    fn to_gpl(&self) -> String {
        self.0.to_text(Format::Gpl)
    }

    /// Write the list into a file: TOML, CSV or GPL, as its ending says.
    ///
    /// Parameters
    /// ----------
    /// path : path
    ///     Ends with ``.toml``, ``.csv`` or ``.gpl``.
    /// overwrite : bool, default False
    ///     Whether a file that is there already may be replaced.
    ///
    /// Returns
    /// -------
    /// Path
    ///     The file written.
    ///
    /// Raises
    /// ------
    /// OutputError
    ///     ``OUT-EXISTS`` when the file is there already, ``OUT-…`` when it cannot be written.
    /// ArgumentError
    ///     ``VALUE-BAD`` for another ending.
    #[pyo3(signature = (path, *, overwrite = false))]
    fn write(slf: &Bound<'_, Self>, path: &Bound<'_, PyAny>, overwrite: bool) -> PyResult<PathBuf> {
        let stocks = slf.py().import("squarewright.stocks")?;
        stocks.call_method1("write", (slf, path, overwrite))?.extract()
    }

    fn __len__(&self) -> usize {
        self.0.paints().len()
    }

    fn __getitem__(&self, name: &Bound<'_, PyAny>) -> PyResult<PyPaint> {
        if let Ok(place) = name.extract::<usize>() {
            let paint = self.0.paints().get(place).cloned();
            let beyond = || pyo3::exceptions::PyIndexError::new_err("no paint at that place");
            return paint.map(PyPaint).ok_or_else(beyond);
        }
        let Ok(name) = name.extract::<String>() else {
            return Err(bad_argument("paint", "a name or a place", shown(name)));
        };
        guard(|| self.0.find(&name)).map(|place| PyPaint(self.0.paints()[place].clone()))
    }

    fn __repr__(&self) -> String {
        format!("Stock({} paints)", self.0.paints().len())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let text = PyBytes::new(py, self.0.to_text(Format::Toml).as_bytes());
        let restore = py.get_type::<Self>().getattr("_restore")?;
        Ok((restore, (text, self.0.is_typical()).into_pyobject(py)?))
    }
}

/// Says that a file of paints is larger than any list of paints.
#[pyfunction]
#[pyo3(name = "_stock_too_big")]
pub(crate) fn stock_too_big(bytes: u64, name: &str) -> PyErr {
    let limit = format!("{} KiB", Stock::FILE_BYTES / 1024);
    let fault = StockFault::TooBig { what: format!("{} KiB", bytes.div_ceil(1024)), limit };
    Failure::named(fault.into(), Some(name)).into()
}
