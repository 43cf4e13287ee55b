//! Pickling by JSON, for values that are plain data.

use pyo3::prelude::*;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::failure::{bad_argument, internal};

/// How a value is pickled: what restores it, and its JSON.
pub(crate) type Kept<'py> = (Bound<'py, PyAny>, (String,));

/// Gives how a value is pickled, by the class's own `_restore`.
pub(crate) fn kept<'py, T: pyo3::PyTypeInfo>(py: Python<'py>, value: &impl Serialize) -> PyResult<Kept<'py>> {
    let text = serde_json::to_string(value).map_err(|error| internal(&error.to_string()))?;
    Ok((py.get_type::<T>().getattr("_restore")?, (text,)))
}

/// Reads a value back.
pub(crate) fn restored<T: DeserializeOwned>(text: &str) -> PyResult<T> {
    serde_json::from_str(text).map_err(|error| bad_argument("text", "what pickling wrote", error.to_string()))
}
