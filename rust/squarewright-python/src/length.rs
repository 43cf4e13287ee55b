//! `squarewright.Length`, `squarewright.inches` and `squarewright.mm`.

use pyo3::exceptions::PyZeroDivisionError;
use pyo3::prelude::*;
use pyo3::types::{PyBool, PyFloat, PyString};
use squarewright::length::{Length, Ratio, parse};

use crate::array::shown;
use crate::failure::{Failure, bad_length};

/// The largest denominator, in units, that is taken from or given to a caller.
const FINEST: i128 = 1_000_000_000;
/// The largest denominator, in units, that can be planned with.
const FINEST_PLANNED: i128 = 1_000_000;

/// An exact length.
///
/// Parameters
/// ----------
/// text : str or Length
///     A length with its unit: ``"3/16 in"``, ``"1 1/2 in"``, ``"8 mm"``, ``"1 ft"``.
///
/// Raises
/// ------
/// SizeError
///     ``SIZE-BAD`` when the text is no length, or is a bare number.
///
/// Examples
/// --------
/// >>> Length("3/16 in") * 4
/// Length('3/4 in')
#[pyclass(name = "Length", module = "squarewright", frozen, eq, ord, hash)]
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct PyLength(pub(crate) Ratio);

impl From<Length> for PyLength {
    fn from(length: Length) -> Self {
        Self(length.ratio())
    }
}

#[pymethods]
impl PyLength {
    #[new]
    fn new(text: &Bound<'_, PyAny>) -> PyResult<Self> {
        any_ratio(text, "length").map(Self)
    }

    /// The length in inches, an exact fraction.
    #[getter]
    fn inches<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        in_units(py, self.0, Length::INCH)
    }

    /// The length in millimetres, an exact fraction.
    #[getter]
    fn mm<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        in_units(py, self.0, Length::MM)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("Length('{}')", self.0)
    }

    fn __bool__(&self) -> bool {
        self.0.numerator() != 0
    }

    fn __neg__(&self) -> Self {
        Self(Ratio::new(-self.0.numerator(), self.0.denominator()))
    }

    fn __abs__(&self) -> Self {
        Self(self.0.abs())
    }

    fn __add__(&self, other: &Self) -> PyResult<Self> {
        checked(self.0 + other.0).map(Self)
    }

    fn __sub__(&self, other: &Self) -> PyResult<Self> {
        checked(self.0 - other.0).map(Self)
    }

    fn __mul__<'py>(&self, other: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        let py = other.py();
        let Some((top, bottom)) = number(other)? else {
            return Ok(py.NotImplemented().into_bound(py));
        };
        scaled(py, self.0, top, bottom)
    }

    fn __rmul__<'py>(&self, other: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        self.__mul__(other)
    }

    fn __truediv__<'py>(&self, other: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        let py = other.py();
        if let Ok(length) = other.cast::<Self>() {
            let one = fraction(py, self.0.numerator(), self.0.denominator())?;
            let two = fraction(py, length.get().0.numerator(), length.get().0.denominator())?;
            return one.div(two);
        }
        let Some((top, bottom)) = number(other)? else {
            return Ok(py.NotImplemented().into_bound(py));
        };
        if top == 0 {
            return Err(PyZeroDivisionError::new_err("a length cannot be divided by zero"));
        }
        scaled(py, self.0, bottom * top.signum(), top.abs())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (Bound<'py, PyAny>,))> {
        Ok((py.import("squarewright")?.getattr("inches")?, (self.inches(py)?,)))
    }
}

/// Make a length from a number of inches.
///
/// Parameters
/// ----------
/// number : int, float, Fraction or str
///     The count of inches: ``3``, ``0.1875``, ``Fraction(3, 16)`` or ``"3/16"``. A float counts as the
///     decimal that it prints as.
///
/// Returns
/// -------
/// Length
///
/// Raises
/// ------
/// SizeError
///     ``SIZE-BAD`` when it is no number.
///
/// Examples
/// --------
/// >>> inches("3/16")
/// Length('3/16 in')
#[pyfunction]
pub(crate) fn inches(number: &Bound<'_, PyAny>) -> PyResult<PyLength> {
    counted(number, "in", Length::INCH)
}

/// Make a length from a number of millimetres.
///
/// Parameters
/// ----------
/// number : int, float, Fraction or str
///     The count of millimetres: ``8``, ``2.5``, ``Fraction(5, 2)`` or ``"2.5"``.
///
/// Returns
/// -------
/// Length
///
/// Raises
/// ------
/// SizeError
///     ``SIZE-BAD`` when it is no number.
///
/// Examples
/// --------
/// >>> mm(8)
/// Length('8 mm')
#[pyfunction]
pub(crate) fn mm(number: &Bound<'_, PyAny>) -> PyResult<PyLength> {
    counted(number, "mm", Length::MM)
}

fn counted(value: &Bound<'_, PyAny>, unit: &str, one: Length) -> PyResult<PyLength> {
    let bad = || bad_length("length", shown(value));
    if let Ok(text) = value.cast::<PyString>() {
        let written = format!("{} {unit}", text.to_str()?);
        return parse(&written, "length").map(PyLength).map_err(|_| bad());
    }
    let (top, bottom) = number(value)?.ok_or_else(bad)?;
    let top = top.checked_mul(i128::from(one.units())).ok_or_else(bad)?;
    checked(Ratio::new(top, bottom)).map(PyLength)
}

/// Reads an argument that takes a length: a `Length` or text with a unit.
pub(crate) fn any_ratio(value: &Bound<'_, PyAny>, field: &'static str) -> PyResult<Ratio> {
    if let Ok(length) = value.cast::<PyLength>() {
        return Ok(length.get().0);
    }
    if let Ok(text) = value.cast::<PyString>() {
        return Ok(parse(text.to_str()?, field).map_err(Failure::from)?);
    }
    Err(bad_length(field, format!("{}, which has no unit", shown(value))))
}

/// Reads a length that is planned with.
pub(crate) fn ratio(value: &Bound<'_, PyAny>, field: &'static str) -> PyResult<Ratio> {
    let found = any_ratio(value, field)?;
    if found.denominator() > FINEST_PLANNED {
        return Err(bad_length(field, format!("{found}, finer than this can hold")));
    }
    Ok(found)
}

/// Reads a length above zero that is planned with.
pub(crate) fn positive(value: &Bound<'_, PyAny>, field: &'static str) -> PyResult<Ratio> {
    let found = ratio(value, field)?;
    if found.is_positive() { Ok(found) } else { Err(bad_length(field, found.to_string())) }
}

/// Reads a length that is a whole count of units.
pub(crate) fn whole(value: &Bound<'_, PyAny>, field: &'static str) -> PyResult<Length> {
    let found = ratio(value, field)?;
    found.whole().ok_or_else(|| bad_length(field, format!("{found}, finer than this can hold")))
}

/// Reads a whole number, a fraction, or a float as the decimal that it prints as.
fn number(value: &Bound<'_, PyAny>) -> PyResult<Option<(i128, i128)>> {
    let py = value.py();
    if value.is_instance_of::<PyBool>() {
        return Ok(None);
    }
    let exact = if value.is_instance_of::<PyFloat>() {
        let text = value.extract::<f64>()?;
        if !text.is_finite() {
            return Ok(None);
        }
        py.import("fractions")?.getattr("Fraction")?.call1((format!("{text:?}"),))?
    } else {
        value.clone()
    };
    let part = |name: &str| exact.getattr(name).and_then(|part| part.extract::<i64>());
    match (part("numerator"), part("denominator")) {
        (Ok(top), Ok(bottom)) if bottom > 0 => Ok(Some((i128::from(top), i128::from(bottom)))),
        _ => Ok(None),
    }
}

fn scaled(py: Python<'_>, length: Ratio, top: i128, bottom: i128) -> PyResult<Bound<'_, PyAny>> {
    let bad = || bad_length("length", "that large or that fine".into());
    let top = length.numerator().checked_mul(top).ok_or_else(bad)?;
    let bottom = length.denominator().checked_mul(bottom).ok_or_else(bad)?;
    Ok(Bound::new(py, PyLength(checked(Ratio::new(top, bottom))?))?.into_any())
}

/// Passes a length that further exact arithmetic cannot carry out of range.
fn checked(ratio: Ratio) -> PyResult<Ratio> {
    if ratio.denominator() > FINEST {
        return Err(bad_length("length", "finer than this can hold".into()));
    }
    if ratio.abs() > Length::LONGEST.ratio() {
        return Err(bad_length("length", format!("longer than {}", Length::LONGEST)));
    }
    Ok(ratio)
}

fn in_units(py: Python<'_>, ratio: Ratio, unit: Length) -> PyResult<Bound<'_, PyAny>> {
    fraction(py, ratio.numerator(), ratio.denominator() * i128::from(unit.units()))
}

fn fraction(py: Python<'_>, top: i128, bottom: i128) -> PyResult<Bound<'_, PyAny>> {
    py.import("fractions")?.getattr("Fraction")?.call1((top, bottom))
}
