//! `squarewright.Recipe`, `squarewright.Blend` and what makes them.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyType};
use squarewright::colour::Rgb;
use squarewright::fault::Result;
use squarewright::paint::{self, Blend, Match, Mixing, Paint, Part, Recipe, Surface};

use crate::array::{colour, shown};
use crate::failure::bad_argument;
use crate::kept::{Kept, kept, restored};
use crate::paint::{PyPaint, PyStock};
use crate::watch::{guard, run};

/// What a mixture looks like, and how far to trust that.
#[pyclass(name = "Blend", module = "squarewright", frozen, eq, subclass)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyBlend(pub(crate) Blend);

#[pymethods]
impl PyBlend {
    /// The nearest screen colour as ``"#rrggbb"``.
    #[getter]
    fn hex(&self) -> String {
        self.0.colour.to_string()
    }

    /// The same as red, green, blue.
    #[getter]
    fn colour(&self) -> (u8, u8, u8) {
        self.0.colour.0.into()
    }

    /// The CIELAB colour: L*, a*, b*.
    #[getter]
    fn lab(&self) -> (f64, f64, f64) {
        (self.0.lab.l, self.0.lab.a, self.0.lab.b)
    }

    /// How far to trust it: ``"trust it"``, ``"dab first"`` or ``"test card first"``.
    #[getter]
    fn trust(&self) -> &'static str {
        self.0.trust.words()
    }

    /// How far real paint lies from the prediction in most cases, CIEDE2000.
    #[getter]
    fn expected(&self) -> (f64, f64) {
        self.0.trust.range()
    }

    fn __repr__(&self) -> String {
        format!("Blend(\"{}\", {:?})", self.0.colour, self.0.trust.words())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept::<Self>(py, &self.0)
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<Self> {
        restored(text).map(Self)
    }
}

/// Whole parts of paints for a colour, and what they make.
#[pyclass(name = "Recipe", module = "squarewright", frozen, eq, extends = PyBlend)]
#[derive(Debug, PartialEq)]
pub(crate) struct PyRecipe(pub(crate) Recipe);

/// A recipe on its way to Python.
pub(crate) struct NewRecipe(pub(crate) Recipe);

impl<'py> IntoPyObject<'py> for NewRecipe {
    type Target = PyRecipe;
    type Output = Bound<'py, PyRecipe>;
    type Error = PyErr;

    fn into_pyobject(self, py: Python<'py>) -> PyResult<Self::Output> {
        let blend = PyClassInitializer::from(PyBlend(self.0.blend));
        Bound::new(py, blend.add_subclass(PyRecipe(self.0)))
    }
}

#[pymethods]
impl PyRecipe {
    /// The colour that is wanted, as ``"#rrggbb"``.
    #[getter]
    fn target(&self) -> String {
        self.0.target.to_string()
    }

    /// The parts of each paint by its name, the most first.
    #[getter]
    fn parts<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        listed(py, &self.0.parts)
    }

    /// How far that is from the wanted colour, CIEDE2000.
    #[getter]
    fn difference(&self) -> f64 {
        self.0.difference
    }

    /// How near that is: ``"close"``, ``"fair"`` or ``"test first"``.
    #[getter]
    fn nearness(&self) -> &'static str {
        match self.0.nearness() {
            Match::Close => "close",
            Match::Fair => "fair",
            Match::TestFirst => "test first",
        }
    }

    /// Whether the maker chose it.
    #[getter]
    fn pinned(&self) -> bool {
        self.0.pinned
    }

    /// Simpler ways: a bottle as it is, or with one drop of a dark paint.
    #[getter]
    fn alternatives(&self) -> Vec<NewRecipe> {
        self.0.alternatives.iter().cloned().map(NewRecipe).collect()
    }

    /// What there is to know about how it was found.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.0.notes.iter().map(ToString::to_string).collect()
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("Recipe(\"{}\": {}, {:?})", self.0.target, self.0, self.0.blend.trust.words())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (String,))> {
        let text =
            serde_json::to_string(&self.0).map_err(|error| crate::failure::internal(&error.to_string()))?;
        Ok((py.get_type::<Self>().getattr("_restore")?, (text,)))
    }

    #[classmethod]
    fn _restore(_class: &Bound<'_, PyType>, text: &str) -> PyResult<NewRecipe> {
        let bad = |error: serde_json::Error| bad_argument("recipe", "a recipe", error.to_string());
        serde_json::from_str(text).map(NewRecipe).map_err(bad)
    }
}

/// Predict a mixture of paints.
///
/// Light is taken away wavelength by wavelength, as paint does it (Kubelka and Munk 1931).
///
/// Parameters
/// ----------
/// parts : list of (Paint or colour, float)
///     Each paint, or its colour as ``"#rrggbb"``, and how much of it; whole numbers or not.
/// surface : tuple of float, optional
///     The shares of light that the surface of the layer throws back outside and inside (Saunderson 1942),
///     such as ``(0.02, 0.4)``: better for tints of dark and strong paints, worse for greys. By default none.
///
/// Returns
/// -------
/// Blend
///
/// Raises
/// ------
/// ArgumentError
///     ``VALUE-BAD`` when there is no paint, or a part is not above zero.
///
/// Examples
/// --------
/// >>> blend([("#f6c915", 10), ("#262626", 1)]).hex  # olive  # doctest: +SKIP
#[pyfunction]
#[pyo3(signature = (parts, *, surface = None))]
pub(crate) fn blend(parts: &Bound<'_, PyAny>, surface: Option<(f64, f64)>) -> PyResult<PyBlend> {
    let must = "a list of pairs: a paint or a colour, and how much of it";
    let bad = |value: &Bound<'_, PyAny>| bad_argument("parts", must, shown(value));
    let mut known: Vec<(Paint, f64)> = Vec::new();
    for item in parts.try_iter().map_err(|_| bad(parts))? {
        let item = item?;
        let (paint, amount): (Bound<'_, PyAny>, f64) = item.extract().map_err(|_| bad(&item))?;
        let paint = match paint.cast::<PyPaint>() {
            Ok(paint) => paint.get().0.clone(),
            Err(_) => swatch(colour(&paint)?),
        };
        known.push((paint, amount));
    }
    let parts: Vec<(&Paint, f64)> = known.iter().map(|(paint, amount)| (paint, *amount)).collect();
    guard(|| paint::blend(&parts, self::surface(surface)?)).map(PyBlend)
}

/// Gives the surface that was asked for, if one was.
pub(crate) fn surface(shares: Option<(f64, f64)>) -> Result<Surface> {
    shares.map_or(Ok(Surface::NONE), |(outer, inner)| Surface::new(outer, inner))
}

/// Gives the parts of each paint by its name.
pub(crate) fn listed<'py>(py: Python<'py>, parts: &[Part]) -> PyResult<Bound<'py, PyDict>> {
    let dict = PyDict::new(py);
    for part in parts {
        dict.set_item(&part.paint, part.parts)?;
    }
    Ok(dict)
}

fn swatch(colour: Rgb) -> Paint {
    Paint::new(colour.to_string(), colour)
}

/// Find recipes for a colour, the best first.
///
/// All mixtures are tried. Of those that look alike the one is taken that needs the fewest paints to be bought,
/// the fewest paints and the fewest parts. Of a stock above 64 paints the likeliest 64 are tried, and a note
/// says so.
///
/// Parameters
/// ----------
/// colour : str or tuple of int
///     The colour that is wanted.
/// stock : Stock
///     The paints.
/// max_paints : int, default 3
///     The most paints in a recipe, 1 to 4.
/// max_parts : int or dict of int to int, default 12
///     The most parts in a recipe; of two paints twice as many, as pale tints need them. Or for each number of
///     paints: 12 means ``{2: 24, 3: 12}``.
/// tolerance : float, default 3
///     The difference (CIEDE2000) that is good enough.
///
/// Returns
/// -------
/// list of Recipe
///     The best, then others that use other paints. When nothing comes within the tolerance, the nearest
///     alone, with a note.
///
/// Raises
/// ------
/// ArgumentError
///     ``VALUE-BAD`` for settings that cannot be, ``COLOUR-BAD`` for no colour.
#[pyfunction]
#[pyo3(signature = (colour, stock, max_paints = 3, max_parts = None, tolerance = 3.0))]
pub(crate) fn mix(
    colour: &Bound<'_, PyAny>,
    stock: &Bound<'_, PyStock>,
    max_paints: usize,
    max_parts: Option<&Bound<'_, PyAny>>,
    tolerance: f64,
) -> PyResult<Vec<NewRecipe>> {
    let max_parts = self::max_parts(max_parts)?;
    let asked = Mixing { max_paints, max_parts, tolerance, ..Mixing::default() };
    let (wanted, known) = (self::colour(colour)?, stock.get().0.clone());
    let mut found = run(colour.py(), None, None, move |watch| paint::mix(&[wanted], &known, &asked, watch))?;
    Ok(found.remove(0).into_iter().map(NewRecipe).collect())
}

pub(crate) fn max_parts(value: Option<&Bound<'_, PyAny>>) -> PyResult<[u8; 4]> {
    let Some(value) = value else { return Ok(Mixing::default().max_parts) };
    let must = "a whole number such as 12, or a dict such as {2: 24, 3: 12}";
    let bad = |value: &Bound<'_, PyAny>| bad_argument("max_parts", must, shown(value));
    let Ok(given) = value.cast::<PyDict>() else {
        return value.extract::<u8>().map(Mixing::parts).map_err(|_| bad(value));
    };
    let mut parts = Mixing::default().max_parts;
    for (paints, most) in given {
        let place: usize = paints.extract().map_err(|_| bad(value))?;
        let most: u8 = most.extract().map_err(|_| bad(value))?;
        *place.checked_sub(1).and_then(|place| parts.get_mut(place)).ok_or_else(|| bad(value))? = most;
    }
    Ok(parts)
}

/// Take a recipe of your own for a colour, and work out what it makes.
///
/// Parameters
/// ----------
/// colour : str or tuple of int
///     The colour that it is for.
/// parts : dict of str to int
///     Whole parts of each paint by its name.
/// stock : Stock
///     The paints.
///
/// Returns
/// -------
/// Recipe
///     To be given to ``plan`` under ``pinned``.
///
/// Raises
/// ------
/// ArgumentError
///     ``VALUE-BAD`` when a paint is not in the stock, or parts are not whole and above zero.
#[pyfunction]
pub(crate) fn pin(
    colour: &Bound<'_, PyAny>,
    parts: &Bound<'_, PyDict>,
    stock: &Bound<'_, PyStock>,
) -> PyResult<NewRecipe> {
    let target = self::colour(colour)?;
    let must = "names of paints with whole numbers above zero";
    let part = |(name, count): (Bound<'_, PyAny>, Bound<'_, PyAny>)| {
        let pair = name.extract::<String>().ok().zip(count.extract::<u32>().ok());
        pair.ok_or_else(|| bad_argument("parts", must, format!("{}: {}", shown(&name), shown(&count))))
    };
    let parts = parts.iter().map(part).collect::<PyResult<Vec<_>>>()?;
    guard(|| Recipe::pinned(target, &parts, &stock.get().0)).map(NewRecipe)
}

/// Learn how a paint tints from one painted test mix with white.
///
/// Mix about one part in ten for a dark or strong paint and one in four for a light one, paint two coats, let
/// them dry and read the colour beside the painted white.
///
/// Parameters
/// ----------
/// paint : Paint
///     The paint.
/// tint_colour : str or tuple of int
///     The dried colour of the mix.
/// share : float
///     How much of the mix is the paint: one part in ten of all is 0.1.
/// white : Paint, str or tuple of int
///     The white, or its colour.
/// surface : tuple of float, optional
///     As in ``blend``.
///
/// Returns
/// -------
/// Paint
///     The same paint with its strength and its second swatch.
///
/// Raises
/// ------
/// ArgumentError
///     ``VALUE-BAD`` when the share is not between 0 and 1 or the mix shows nothing of the paint.
#[pyfunction]
#[pyo3(signature = (paint, tint_colour, share, white, *, surface = None))]
pub(crate) fn calibrate(
    paint: &Bound<'_, PyPaint>,
    tint_colour: &Bound<'_, PyAny>,
    share: f64,
    white: &Bound<'_, PyAny>,
    surface: Option<(f64, f64)>,
) -> PyResult<PyPaint> {
    let white = match white.cast::<PyPaint>() {
        Ok(white) => white.get().0.colour,
        Err(_) => colour(white)?,
    };
    let tint = colour(tint_colour)?;
    guard(|| paint::calibrate(&paint.get().0, tint, share, white, self::surface(surface)?)).map(PyPaint)
}
