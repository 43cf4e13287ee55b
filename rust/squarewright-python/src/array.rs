//! Arrays out, and bytes, cells and colours in. NumPy is imported only when an array is asked for.

use std::borrow::Cow;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PySlice, PyString};
use squarewright::colour::Rgb;
use squarewright::fault::Error;
use squarewright::grid::Grid;

use crate::failure::Failure;

/// Bytes that are copied between two looks at the signals: a few milliseconds' worth.
const STRETCH: usize = 16 << 20;

/// Takes a copy of bytes; Ctrl-C is seen on the way.
pub(crate) fn owned(data: &Bound<'_, PyBytes>) -> PyResult<Vec<u8>> {
    let mut bytes = Vec::with_capacity(data.as_bytes().len());
    for stretch in data.as_bytes().chunks(STRETCH) {
        bytes.extend_from_slice(stretch);
        data.py().check_signals()?;
    }
    Ok(bytes)
}

/// The most colours that are taken from a caller at once.
const MOST_COLOURS: usize = 1 << 16;

/// A read-only array in the making.
#[derive(Debug)]
pub(crate) struct Frozen<'a> {
    bytes: Cow<'a, [u8]>,
    kind: &'static str,
    shape: Vec<usize>,
}

impl Frozen<'static> {
    pub(crate) fn uint8(bytes: Vec<u8>, shape: &[usize]) -> Self {
        Self { bytes: bytes.into(), kind: "uint8", shape: shape.to_vec() }
    }

    pub(crate) fn bool(marks: impl Iterator<Item = bool>, shape: &[usize]) -> Self {
        Self { bytes: marks.map(u8::from).collect(), kind: "bool", shape: shape.to_vec() }
    }

    pub(crate) fn int16(numbers: impl Iterator<Item = i16>, shape: &[usize]) -> Self {
        Self { bytes: numbers.flat_map(i16::to_ne_bytes).collect(), kind: "int16", shape: shape.to_vec() }
    }

    pub(crate) fn int64(numbers: impl Iterator<Item = usize>, shape: &[usize]) -> Self {
        let bytes = numbers.flat_map(|number| i64::try_from(number).unwrap_or(i64::MAX).to_ne_bytes());
        Self { bytes: bytes.collect(), kind: "int64", shape: shape.to_vec() }
    }
}

impl<'a> Frozen<'a> {
    pub(crate) fn view(bytes: &'a [u8], shape: &[usize]) -> Self {
        Self { bytes: bytes.into(), kind: "uint8", shape: shape.to_vec() }
    }
}

impl<'py> IntoPyObject<'py> for Frozen<'_> {
    type Target = PyAny;
    type Output = Bound<'py, PyAny>;
    type Error = PyErr;

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        let numpy = py.import("numpy")?;
        let bytes = numpy.call_method1("empty", (self.bytes.len(), "uint8"))?;
        for (index, stretch) in self.bytes.chunks(STRETCH).enumerate() {
            let start = index * STRETCH;
            let place = PySlice::new(py, signed(start), signed(start + stretch.len()), 1);
            bytes.set_item(place, numpy.call_method1("frombuffer", (PyBytes::new(py, stretch), "uint8"))?)?;
            py.check_signals()?;
        }
        let array = bytes.call_method1("view", (self.kind,))?.call_method1("reshape", (self.shape,))?;
        // a lost assignment fails loudly
        array.getattr("flags")?.setattr("writeable", false)?;
        Ok(array)
    }
}

/// Gives a place as Python counts places.
fn signed(place: usize) -> isize {
    isize::try_from(place).unwrap_or(isize::MAX)
}

/// Reads a colour: `"#rrggbb"` or three whole numbers.
pub(crate) fn colour(value: &Bound<'_, PyAny>) -> PyResult<Rgb> {
    if let Ok(text) = value.cast::<PyString>() {
        return Ok(text.to_str()?.parse::<Rgb>().map_err(Failure::from)?);
    }
    let channels: Option<Vec<u8>> = value.try_iter().ok().and_then(|items| {
        // a fourth item is one too many, and there may be no end to them
        items.take(4).map(|item| item.ok()?.extract::<u8>().ok()).collect::<Option<Vec<u8>>>()
    });
    match channels.as_deref() {
        Some(&[r, g, b]) => Ok(Rgb([r, g, b])),
        _ => Err(Failure::from(Error::Colour { got: shown(value) }).into()),
    }
}

/// Reads the colours of a palette.
pub(crate) fn colours(value: &Bound<'_, PyAny>) -> PyResult<Vec<Rgb>> {
    let bad = || Failure::from(Error::Colour { got: shown(value) });
    if value.is_instance_of::<PyString>() {
        return Err(bad().into());
    }
    let items = value.try_iter().map_err(|_| bad())?;
    let found = items.take(MOST_COLOURS + 1).map(|item| colour(&item?)).collect::<PyResult<Vec<Rgb>>>()?;
    if found.len() > MOST_COLOURS {
        let (must, got) = (format!("{MOST_COLOURS} or fewer"), "more".into());
        return Err(Failure::from(Error::Argument { name: "colours", must, got }).into());
    }
    Ok(found)
}

/// Refuses an array of a shape that no grid has, before anything is taken out of it.
fn check_shape(value: &Bound<'_, PyAny>) -> Result<(), Failure> {
    let shape = value.getattr("shape").and_then(|shape| shape.extract::<Vec<usize>>());
    match shape.as_deref() {
        Err(_) => Ok(()),
        Ok(&[rows, columns]) if rows <= Grid::SIDE && columns <= Grid::SIDE => Ok(()),
        Ok(&[rows, columns]) => Err(too_many(&format!("{rows} rows × {columns} columns"))),
        Ok(shape) => {
            let what = format!("the cells are of shape {shape:?}, not (rows, columns)");
            Err(Failure::from(Error::Grid { what }))
        }
    }
}

fn too_many(what: &str) -> Failure {
    Failure::from(Error::Grid { what: format!("{what}; each is 1 to {}", Grid::SIDE) })
}

/// Reads whole numbers of shape (rows, columns), row by row.
pub(crate) fn cells(value: &Bound<'_, PyAny>) -> PyResult<(usize, usize, Vec<i16>)> {
    let bad = |what: String| Failure::from(Error::Grid { what });
    check_shape(value)?;
    let value = match value.getattr("tolist") {
        Ok(listed) => listed.call0()?,
        Err(_) => value.clone(),
    };
    let not_rows = || bad("the cells are not rows of whole numbers".into());
    let (mut numbers, mut rows, mut columns) = (Vec::new(), 0, None);
    for row in value.try_iter().map_err(|_| not_rows())? {
        let before = numbers.len();
        for (column, cell) in row?.try_iter().map_err(|_| not_rows())?.enumerate() {
            let cell = cell?;
            let number = cell.extract::<i16>().map_err(|_| {
                bad(format!("cell row {rows} column {column} is {}, not a palette place", shown(&cell)))
            })?;
            numbers.push(number);
            if column == Grid::SIDE {
                return Err(too_many(&format!("more than {column} columns")).into());
            }
        }
        let count = numbers.len() - before;
        if *columns.get_or_insert(count) != count {
            return Err(
                bad(format!("row {rows} has {count} cells, the rows before it another number")).into()
            );
        }
        rows += 1;
        if rows > Grid::SIDE {
            return Err(too_many(&format!("more than {} rows", Grid::SIDE)).into());
        }
    }
    Ok((rows, columns.unwrap_or(0), numbers))
}

/// Shows a value as its `repr`, cut short.
pub(crate) fn shown(value: &Bound<'_, PyAny>) -> String {
    let text = value.repr().map_or_else(|_| "that value".into(), |text| text.to_string());
    if text.chars().count() <= 60 { text } else { text.chars().take(57).collect::<String>() + "..." }
}
