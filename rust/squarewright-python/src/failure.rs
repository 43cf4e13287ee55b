//! Core errors become the exceptions of `squarewright.errors`.

use pyo3::prelude::*;
use squarewright::fault::Error;

mod errors {
    pyo3::import_exception!(squarewright.errors, PictureError);
    pyo3::import_exception!(squarewright.errors, StockError);
    pyo3::import_exception!(squarewright.errors, SizeError);
    pyo3::import_exception!(squarewright.errors, GridError);
    pyo3::import_exception!(squarewright.errors, ArgumentError);
    pyo3::import_exception!(squarewright.errors, InternalError);
}

/// A core error on its way to Python, with the name of the file it is about.
#[derive(Debug)]
pub(crate) struct Failure {
    error: Error,
    name: Option<String>,
}

impl Failure {
    pub(crate) fn named(error: Error, name: Option<&str>) -> Self {
        Self { error, name: name.map(str::to_owned) }
    }
}

impl From<Error> for Failure {
    fn from(error: Error) -> Self {
        Self { error, name: None }
    }
}

impl From<Failure> for PyErr {
    fn from(Failure { error, name }: Failure) -> Self {
        let (code, what, hint) = (error.code(), error.to_string(), error.hint());
        let arguments = (code, what, hint, name);
        match code.split_once('-').map_or(code, |(family, _)| family) {
            "PIC" => errors::PictureError::new_err(arguments),
            "STOCK" | "GPL" => errors::StockError::new_err(arguments),
            "SIZE" => errors::SizeError::new_err(arguments),
            "GRID" | "COLOURS" => errors::GridError::new_err(arguments),
            "VALUE" | "COLOUR" | "PLAN" => errors::ArgumentError::new_err(arguments),
            _ => errors::InternalError::new_err(arguments),
        }
    }
}

/// Says that a length cannot be `got`, and how lengths are written.
pub(crate) fn bad_length(field: &'static str, got: String) -> PyErr {
    Failure::from(Error::Length { field, got }).into()
}

/// Says that an argument must be something else.
pub(crate) fn bad_argument(name: &'static str, must: &str, got: String) -> PyErr {
    Failure::from(Error::Argument { name, must: must.into(), got }).into()
}

/// Turns what a panic said into an exception that `except Exception` sees.
pub(crate) fn internal(words: &str) -> PyErr {
    let what = format!("something that must not happen did: {words}");
    let hint = "This is a fault of squarewright; please report these words with the picture and the call.";
    errors::InternalError::new_err(("INTERNAL", what, hint, None::<String>))
}
