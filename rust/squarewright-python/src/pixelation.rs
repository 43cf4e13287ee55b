//! `squarewright.pixelate`.

use std::sync::Arc;

use pyo3::prelude::*;
use squarewright::grid::{self, Brushwork, Pixelating};

use crate::grid::PyGrid;
use crate::picture::picture as picture_from;
use crate::watch::run;

/// Pixelate.
#[pyfunction]
#[pyo3(signature = (picture, *, columns = None, rows = None, colours = 12, brushwork = "easy", seed = 0))]
pub(crate) fn pixelate(
    picture: &Bound<'_, PyAny>,
    columns: Option<usize>,
    rows: Option<usize>,
    colours: usize,
    brushwork: &str,
    seed: u64,
) -> PyResult<PyGrid> {
    let brushwork = match brushwork {
        "easy" => Brushwork::Easy,
        "broad" => Brushwork::Broad,
        _ => Brushwork::EveryCell,
    };
    let asked = Pixelating { columns, rows, colours, brushwork, seed, ..Pixelating::default() };
    let picture = picture_from(picture)?;
    let pixels = Arc::clone(&picture.get().picture);
    let grid = run(picture.py(), None, None, move |watch| grid::pixelate(&pixels, &asked, watch))?;
    Ok(PyGrid(grid))
}
