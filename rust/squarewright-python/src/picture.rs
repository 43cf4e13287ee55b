//! `squarewright.Picture`, and the argument that takes a picture.

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyDict, PyTuple, PyType};
use squarewright::picture::{Picture, decode, limits, rescue};

use crate::array::{Frozen, owned};
use crate::failure::bad_argument;
use crate::watch::{guard, run};

/// A picture in memory: upright rows of red, green, blue and opacity, 8 bits each.
#[pyclass(name = "Picture", module = "squarewright", frozen)]
#[derive(Debug)]
pub(crate) struct PyPicture {
    pub(crate) picture: Arc<Picture>,
    pub(crate) name: Option<String>,
    /// Where it was read from: never overwritten by what is made of it.
    pub(crate) path: Option<PathBuf>,
    pub(crate) warnings: Vec<String>,
}

impl PyPicture {
    fn new(picture: Picture, name: Option<String>, mut warnings: Vec<String>) -> Self {
        warnings.extend(picture.notes().iter().map(ToString::to_string));
        Self { picture: Arc::new(picture), name, path: None, warnings }
    }

    fn with_path(&self, path: Option<PathBuf>) -> Self {
        let (picture, name) = (Arc::clone(&self.picture), self.name.clone());
        Self { picture, name, path, warnings: self.warnings.clone() }
    }
}

#[pymethods]
impl PyPicture {
    /// Read a PNG, JPEG, GIF, BMP, WebP or OpenRaster file.
    ///
    /// Parameters
    /// ----------
    /// data : bytes
    ///     The whole file.
    /// name : str, optional
    ///     What the file is called in messages.
    /// allow_damaged : bool, default False
    ///     Of a PNG or JPEG that is cut short or damaged, use the rows that can be read; the others are
    ///     transparent, and a warning says how many they are.
    ///
    /// Returns
    /// -------
    /// Picture
    ///
    /// Raises
    /// ------
    /// PictureError
    ///     ``PIC-…`` with what is wrong with it.
    #[classmethod]
    #[pyo3(signature = (data, name = None, allow_damaged = false))]
    fn decode(
        _class: &Bound<'_, PyType>,
        py: Python<'_>,
        data: &Bound<'_, PyBytes>,
        name: Option<String>,
        allow_damaged: bool,
    ) -> PyResult<Self> {
        let bytes = owned(data)?;
        let read = if allow_damaged { rescue } else { decode };
        let picture = run(py, name.as_deref(), None, move |watch| read(&bytes, watch))?;
        let picture = name.iter().fold(picture, |picture, name| picture.called(name));
        Ok(Self::new(picture, name, Vec::new()))
    }

    /// Take pixels as they are.
    ///
    /// Parameters
    /// ----------
    /// data : bytes
    ///     Red, green, blue and opacity of each pixel, row by row.
    /// width, height : int
    ///     In pixels.
    /// name : str, optional
    ///     What the picture is called in messages.
    /// profile : bytes, optional
    ///     An ICC profile that describes the colours; they are converted to sRGB.
    /// warnings : sequence of str, default ()
    ///     What is worth knowing about it.
    ///
    /// Returns
    /// -------
    /// Picture
    ///
    /// Raises
    /// ------
    /// PictureError
    ///     ``PIC-PIXELS`` when there are more or fewer bytes, ``PIC-EMPTY``, ``PIC-TOO-BIG``.
    #[classmethod]
    #[expect(clippy::too_many_arguments, reason = "the class and the interpreter count too")]
    #[pyo3(signature = (data, width, height, name = None, profile = None, warnings = Vec::new()))]
    fn from_rgba(
        _class: &Bound<'_, PyType>,
        py: Python<'_>,
        data: &Bound<'_, PyBytes>,
        width: i64,
        height: i64,
        name: Option<String>,
        profile: Option<Vec<u8>>,
        warnings: Vec<String>,
    ) -> PyResult<Self> {
        let (width, height) = (side(width, "width")?, side(height, "height")?);
        let bytes = owned(data)?;
        let picture = run(py, name.as_deref(), None, move |watch| {
            let picture = Picture::from_rgba(width, height, bytes)?;
            match profile {
                Some(profile) => picture.converted(&profile, watch),
                None => Ok(picture),
            }
        })?;
        Ok(Self::new(picture, name, warnings))
    }

    /// Width in pixels.
    #[getter]
    fn width(&self) -> u32 {
        self.picture.width()
    }

    /// Height in pixels.
    #[getter]
    fn height(&self) -> u32 {
        self.picture.height()
    }

    /// What the picture is called in messages, or None.
    #[getter]
    fn name(&self) -> Option<&str> {
        self.name.as_deref()
    }

    #[getter]
    fn _path(&self) -> Option<&PathBuf> {
        self.path.as_ref()
    }

    /// Gives the same picture, with the path that it was read from.
    fn _at(&self, path: PathBuf) -> Self {
        self.with_path(Some(path))
    }

    /// What is worth knowing about the file.
    #[getter]
    fn warnings(&self) -> Vec<String> {
        self.warnings.clone()
    }

    /// What a JPEG says about its compression: a dict with ``progressive``, ``turned`` and ``components``,
    /// each with ``sampling`` and ``quantisation``; None for other files.
    #[getter]
    fn jpeg<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyDict>>> {
        let Some(facts) = self.picture.jpeg() else { return Ok(None) };
        let mut components = Vec::with_capacity(facts.components.len());
        for component in &facts.components {
            let part = PyDict::new(py);
            part.set_item("sampling", component.sampling)?;
            part.set_item("quantisation", component.quantisation.to_vec())?;
            components.push(part);
        }
        let found = PyDict::new(py);
        found.set_item("progressive", facts.progressive)?;
        found.set_item("turned", facts.turned)?;
        found.set_item("components", components)?;
        Ok(Some(found))
    }

    /// Give the pixels: red, green, blue and opacity, row by row.
    ///
    /// Returns
    /// -------
    /// bytes
    fn to_bytes<'py>(&self, py: Python<'py>) -> Bound<'py, PyBytes> {
        PyBytes::new(py, self.picture.pixels())
    }

    /// Give the pixels as an array.
    ///
    /// Returns
    /// -------
    /// ndarray of uint8, shape (height, width, 4)
    ///     Red, green, blue and opacity; read-only.
    fn to_array(&self) -> Frozen<'_> {
        let shape = [self.picture.height() as usize, self.picture.width() as usize, 4];
        Frozen::view(self.picture.pixels(), &shape)
    }

    fn __eq__(&self, other: &Self) -> bool {
        let (one, two) = (&self.picture, &other.picture);
        (one.width(), one.height()) == (two.width(), two.height()) && one.pixels() == two.pixels()
    }

    fn __hash__(&self) -> u64 {
        use std::hash::{DefaultHasher, Hash, Hasher};
        let mut hasher = DefaultHasher::new();
        (self.picture.width(), self.picture.pixels()).hash(&mut hasher);
        hasher.finish()
    }

    fn __repr__(&self) -> String {
        format!("Picture({} × {} pixels)", self.picture.width(), self.picture.height())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        if let Some(path) = &self.path {
            let bare = self.with_path(None);
            let at = py.import("operator")?.getattr("methodcaller")?.call1(("_at", path))?;
            return Ok((at, (bare,).into_pyobject(py)?));
        }
        let restore = py.get_type::<Self>().getattr("from_rgba")?;
        let size = (self.width(), self.height());
        let no_profile = None::<Vec<u8>>;
        let told = (self.to_bytes(py), size.0, size.1, self.name(), no_profile, &self.warnings);
        Ok((restore, told.into_pyobject(py)?))
    }
}

/// Refuse a picture of more pixels than are read, before it is unpacked.
///
/// Parameters
/// ----------
/// width, height : int
///     In pixels.
///
/// Raises
/// ------
/// PictureError
///     ``PIC-TOO-BIG`` or ``PIC-EMPTY``.
#[pyfunction]
pub(crate) fn check_size(width: i64, height: i64) -> PyResult<()> {
    let (width, height) = (side(width, "width")?, side(height, "height")?);
    guard(|| Ok(limits::check_size(width, height)?))
}

fn side(value: i64, name: &'static str) -> PyResult<u32> {
    u32::try_from(value).map_err(|_| bad_argument(name, "a count of pixels", value.to_string()))
}

/// Takes a `Picture`, or whatever `squarewright.pictures.load` can make one of.
pub(crate) fn picture<'py>(value: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyPicture>> {
    if let Ok(picture) = value.cast::<PyPicture>() {
        return Ok(picture.clone());
    }
    let loaded = value.py().import("squarewright.pictures")?.call_method1("load", (value,))?;
    Ok(loaded.cast_into::<PyPicture>()?)
}
