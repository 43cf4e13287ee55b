//! `squarewright.pixelate`.

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyIterator, PyString};
use squarewright::fault::Error;
use squarewright::grid::{self, Figure, Layout, Pixelated, Pixelating};
use squarewright::palette::Palette;
use squarewright::picture::{Shrinker, Window};

use crate::array::{self, shown};
use crate::failure::{Failure, bad_argument};
use crate::grid::{Origin, PyGrid};
use crate::picture::picture as picture_from;
use crate::watch::{guard, run, tell};

/// Pixelate a photo or a drawing down to cells that a person can paint.
///
/// Light is averaged over each cell, the colours are chosen to suit the eye, and areas are calmed until a
/// brush can follow them; edges and small vivid things such as an eye are kept. Of a flat drawing with hard
/// edges only its own colours are used, and its thin lines stay in one piece. The same picture and settings give
/// the same grid, on any machine.
///
/// Parameters
/// ----------
/// picture : Picture, path, bytes, file object, ndarray or Pillow image
///     An ndarray is uint8 of shape (height, width, 3) or (height, width, 4). See-through parts stay bare: a
///     cell is painted when half of it or more is opaque.
/// columns, rows : int, optional
///     How many cells across and down, 1 to 512. One is enough, and the other follows from the shape of the
///     picture; with both, the middle of the picture that has that shape is used.
/// colours : int, default 12
///     The most colours, 2 to 64; a picture that has fewer gives fewer. Not heeded with ``palette``.
/// brushwork : str, default "easy"
///     ``"easy"`` gives calm areas without single cells, ``"every cell"`` the nearest colour for each cell
///     by itself, ``"broad"`` few areas of four cells or more.
/// palette : array_like of uint8, shape (n, 3), or list of str, optional
///     The 1 to 64 colours to use, as sRGB or as ``"#rrggbb"``; those that no cell takes are left out.
/// candidates : array_like of uint8, shape (n, 3), or list of str, optional
///     The colours to choose from, such as those that your paints can mix.
/// figure : str or ndarray, default "whole"
///     ``"whole"`` paints all that is not see-through, ``"find"`` what stands out from the ground that the
///     border shows (all, when nothing does). A mask says it itself: bool of shape (height, width), True for
///     the figure; or uint8, 0 for ground, 255 for the figure, and anything between to be found. In a mask
///     without any value above 1, 1 is the figure.
/// crop : tuple of int, optional
///     The part to use as (left, top, right, bottom), in pixels.
/// smallest_patch : int, optional
///     The fewest cells of an area, 1 to 100; by default 2 for easy, 1 for every cell, 4 for broad brushwork.
///     A part of the figure that is smaller by itself stays.
/// calm : float, optional
///     How calm areas become, 0 to 100: 0 is not at all, 1 as for easy brushwork.
/// seed : int, default 0
///     Where chance starts from, 0 or more: another seed gives slightly other colours.
/// progress : callable, optional
///     Called with the share that is done, 0 to 1.
///
/// Returns
/// -------
/// Grid
///     Its palette runs from light to dark; its ``warnings`` say what is worth knowing about the picture, and
///     what came out otherwise than asked.
///
/// Raises
/// ------
/// PictureError
///     ``PIC-TOO-SMALL`` when the picture has fewer pixels than cells are asked for, ``PIC-SHAPE`` when it is
///     too thin for a grid, ``PIC-BLANK`` when nothing would be painted, ``PIC-…`` when it cannot be used.
/// GridError
///     ``COLOURS-RANGE`` for the number of colours.
/// ArgumentError
///     ``VALUE-BAD`` or ``COLOUR-BAD`` for another setting.
///
/// Notes
/// -----
/// Cells are means of linear light. Colours are chosen by k-means++ in Oklab and settled by squared CIEDE2000
/// differences; areas are calmed by alpha-expansion (Boykov, Veksler and Zabih 2001, doi 10.1109/34.969114).
///
/// Examples
/// --------
/// >>> pixelate("kingfisher.jpg", columns=48, colours=12)  # doctest: +SKIP
/// Grid(32 rows × 48 columns, 12 colours, 1536 cells)
#[pyfunction]
#[pyo3(signature = (picture, *, columns = None, rows = None, colours = None, brushwork = "easy", palette = None,
    candidates = None, figure = None, crop = None, smallest_patch = None, calm = None, seed = None,
    progress = None), text_signature = "(picture, *, columns=None, rows=None, colours=12, brushwork='easy', \
    palette=None, candidates=None, figure='whole', crop=None, smallest_patch=None, calm=None, seed=0, \
    progress=None)")]
#[expect(clippy::too_many_arguments, reason = "the keyword arguments of the public function")]
pub(crate) fn pixelate(
    picture: &Bound<'_, PyAny>,
    columns: Option<&Bound<'_, PyAny>>,
    rows: Option<&Bound<'_, PyAny>>,
    colours: Option<&Bound<'_, PyAny>>,
    brushwork: &str,
    palette: Option<&Bound<'_, PyAny>>,
    candidates: Option<&Bound<'_, PyAny>>,
    figure: Option<&Bound<'_, PyAny>>,
    crop: Option<&Bound<'_, PyAny>>,
    smallest_patch: Option<&Bound<'_, PyAny>>,
    calm: Option<&Bound<'_, PyAny>>,
    seed: Option<&Bound<'_, PyAny>>,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyGrid> {
    let asked = Asked {
        columns,
        rows,
        colours,
        brushwork,
        palette,
        candidates,
        figure,
        crop,
        smallest_patch,
        calm,
        seed,
    };
    let (asked, mask_shape) = asked.read()?;
    let py = picture.py();
    let bands = py.import("squarewright.arrays")?.call_method1("bands", (picture,))?;
    if !bands.is_none() && mask_shape.is_none() {
        return from_bands(&bands, asked, progress);
    }
    let picture = picture_from(picture)?;
    let picture = picture.get();
    let (height, width) = (picture.picture.height(), picture.picture.width());
    if let Some(got) = mask_shape.filter(|&shape| shape != (height as usize, width as usize)) {
        let must = format!("a mask of shape ({height}, {width}), as the picture");
        return Err(bad_argument("figure", &must, format!("{got:?}")));
    }
    let pixels = Arc::clone(&picture.picture);
    let made =
        run(py, picture.name.as_deref(), progress, move |watch| grid::pixelate(&pixels, &asked, watch))?;
    Ok(wrapped(made, &picture.warnings, picture.path.clone()))
}

/// What Python asks of a pixelated picture.
#[derive(Debug, Default)]
pub(crate) struct Asked<'a, 'py> {
    pub(crate) columns: Option<&'a Bound<'py, PyAny>>,
    pub(crate) rows: Option<&'a Bound<'py, PyAny>>,
    pub(crate) colours: Option<&'a Bound<'py, PyAny>>,
    pub(crate) brushwork: &'a str,
    pub(crate) palette: Option<&'a Bound<'py, PyAny>>,
    pub(crate) candidates: Option<&'a Bound<'py, PyAny>>,
    pub(crate) figure: Option<&'a Bound<'py, PyAny>>,
    pub(crate) crop: Option<&'a Bound<'py, PyAny>>,
    pub(crate) smallest_patch: Option<&'a Bound<'py, PyAny>>,
    pub(crate) calm: Option<&'a Bound<'py, PyAny>>,
    pub(crate) seed: Option<&'a Bound<'py, PyAny>>,
}

impl Asked<'_, '_> {
    /// Reads it; a mask comes with its shape.
    pub(crate) fn read(&self) -> PyResult<(Pixelating, Option<(usize, usize)>)> {
        let usual = Pixelating::default();
        let listed = array::colours;
        let (figure, mask_shape) = self.figure.map_or(Ok((Figure::Whole, None)), figure_from)?;
        let palette = self.palette.map(listed).transpose()?;
        let asked = Pixelating {
            columns: self.columns.map(|value| count(value, "columns")).transpose()?,
            rows: self.rows.map(|value| count(value, "rows")).transpose()?,
            colours: self.colours.map_or(Ok(usual.colours), colours_from)?,
            brushwork: self.brushwork.parse().map_err(Failure::from)?,
            palette: palette.map(Palette::new).transpose().map_err(Failure::from)?,
            candidates: self.candidates.map(listed).transpose()?.unwrap_or_default(),
            figure,
            crop: self.crop.map(window).transpose()?,
            smallest_patch: self.smallest_patch.map(|value| count(value, "smallest_patch")).transpose()?,
            calm: self.calm.map(calm_from).transpose()?,
            seed: self.seed.map_or(Ok(usual.seed), seed_from)?,
        };
        Ok((asked, mask_shape))
    }
}

/// Gives a grid to Python, with what is worth knowing about it and where it came from.
pub(crate) fn wrapped(made: Pixelated, warnings: &[String], path: Option<PathBuf>) -> PyGrid {
    let remarks = made.remarks.iter().map(ToString::to_string);
    let warnings = warnings.iter().cloned().chain(remarks).collect();
    PyGrid::new(made.grid, Origin { warnings, path, is_pixelated: true })
}

/// Height, width, channels and the rows of an array.
type Bands<'py> = (u32, u32, usize, Bound<'py, PyIterator>);

/// Pixelates an array that comes in bands of rows, so that it is never copied as a whole.
fn from_bands(
    bands: &Bound<'_, PyAny>,
    asked: Pixelating,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<PyGrid> {
    let py = bands.py();
    let (height, width, channels, bands): Bands<'_> = bands.extract()?;
    let layout = guard(|| Layout::new((width, height), &asked))?;
    let mut shrinker = Shrinker::new(layout.window, &[layout.fine_size()]);
    for band in bands {
        let band = band?.cast_into::<PyBytes>()?;
        let (rows, stride) = (band.as_bytes(), width as usize * channels);
        py.detach(|| {
            rows.chunks(stride).for_each(|row| match channels {
                3 => shrinker.row::<3>(row),
                _ => shrinker.row::<4>(row),
            });
        });
        py.check_signals()?;
        tell(progress, 0.3 * shrinker.share_of(height))?;
    }
    let fine = shrinker.finish().swap_remove(0);
    let made = run(py, None, progress, move |watch| grid::pixelate_shrunk(&fine, layout, &asked, watch))?;
    Ok(wrapped(made, &[], None))
}

fn count(value: &Bound<'_, PyAny>, name: &'static str) -> PyResult<usize> {
    let whole = value.extract::<usize>().ok();
    whole.ok_or_else(|| bad_argument(name, "a whole number above 0", shown(value)))
}

fn colours_from(value: &Bound<'_, PyAny>) -> PyResult<usize> {
    let whole = value.extract::<usize>().ok();
    whole.ok_or_else(|| Failure::from(Error::ColourCount { got: shown(value) }).into())
}

pub(crate) fn seed_from(value: &Bound<'_, PyAny>) -> PyResult<u64> {
    let whole = value.extract::<u64>().ok();
    whole.ok_or_else(|| bad_argument("seed", "a whole number, 0 to 2^64 - 1", shown(value)))
}

fn calm_from(value: &Bound<'_, PyAny>) -> PyResult<f64> {
    value.extract::<f64>().map_err(|_| bad_argument("calm", "a number from 0 to 100", shown(value)))
}

fn window(value: &Bound<'_, PyAny>) -> PyResult<Window> {
    let bad = || {
        bad_argument("crop", "(left, top, right, bottom) in pixels, left < right, top < bottom", shown(value))
    };
    let (left, top, right, bottom): (u32, u32, u32, u32) = value.extract().map_err(|_| bad())?;
    let side = |start: u32, end: u32| end.checked_sub(start).filter(|&side| side > 0).ok_or_else(bad);
    Ok(Window { left, top, width: side(left, right)?, height: side(top, bottom)? })
}

/// Reads the figure setting; a mask comes with its shape.
fn figure_from(value: &Bound<'_, PyAny>) -> PyResult<(Figure, Option<(usize, usize)>)> {
    if let Ok(text) = value.cast::<PyString>() {
        return match text.to_str()? {
            "whole" => Ok((Figure::Whole, None)),
            "find" => Ok((Figure::Find, None)),
            _ => Err(bad_argument("figure", "\"whole\", \"find\" or a mask", shown(value))),
        };
    }
    let mask = value.py().import("squarewright.arrays")?.call_method1("mask", (value,))?;
    let (height, width, bytes): (usize, usize, Bound<'_, PyBytes>) = mask.extract()?;
    Ok((Figure::Mask(bytes.as_bytes().to_vec()), Some((height, width))))
}
