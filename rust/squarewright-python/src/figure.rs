//! The figure that is to be planned: a grid, or a picture that is recovered first.

use std::path::PathBuf;

use pyo3::prelude::*;
use squarewright::grid::{Background, Grid, Recovering};
use squarewright::plan::Door;

use crate::failure::Failure;
use crate::grid::PyGrid;
use crate::picture::picture;
use crate::recovery::{PyRecovery, found};

/// A grid with where it came from.
#[derive(Debug)]
pub(crate) struct Figure {
    pub(crate) grid: Grid,
    pub(crate) door: Door,
    pub(crate) recovery: Option<PyRecovery>,
    pub(crate) notes: Vec<String>,
    pub(crate) name: Option<String>,
    pub(crate) path: Option<PathBuf>,
}

/// Takes a `Grid` or a `Recovery`, or recovers the picture that is given instead.
pub(crate) fn figure(
    value: &Bound<'_, PyAny>,
    background: Background,
    progress: Option<&Bound<'_, PyAny>>,
) -> PyResult<Figure> {
    if let Ok(grid) = value.cast::<PyGrid>() {
        let PyGrid { grid, origin } = grid.get();
        let door = if origin.is_pixelated { Door::Pixelated } else { Door::Given };
        let (notes, path) = (origin.warnings.clone(), origin.path.clone());
        return Ok(Figure { grid: grid.clone(), door, recovery: None, notes, name: None, path });
    }
    if let Ok(recovery) = value.cast::<PyRecovery>() {
        return recovered(recovery.get().clone(), None);
    }
    let picture = picture(value)?;
    let picture = picture.get();
    let asked = Recovering { background, ..Recovering::default() };
    recovered(found(value.py(), picture, asked, progress)?, picture.name.as_deref())
}

/// Takes the best reading of a picture when it is sure.
fn recovered(recovery: PyRecovery, name: Option<&str>) -> PyResult<Figure> {
    let best = &recovery.recovery.best;
    let grid = best.sure().map_err(|error| Failure::named(error, name))?;
    let notes = recovery.notes.iter().cloned();
    let notes = notes.chain(best.warnings.iter().map(ToString::to_string)).collect();
    let door = Door::Recovered { pitch_px: best.pitch_px, confidence: best.confidence };
    let path = recovery.path.clone();
    Ok(Figure { grid, door, name: name.map(stem), path, notes, recovery: Some(recovery) })
}

/// Gives a file's name without its ending.
fn stem(name: &str) -> String {
    name.rsplit_once('.').map_or(name, |(stem, _)| stem).to_owned()
}
