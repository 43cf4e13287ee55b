//! Python bindings: each class and function wraps one of the core's and adds nothing of its own.
#![allow(clippy::doc_markdown, reason = "docstrings are numpydoc, not Markdown")]
#![allow(clippy::doc_link_with_quotes, reason = "lists of strings in examples are no links")]
#![allow(clippy::missing_errors_doc, reason = "docstrings say what is raised under Raises")]

mod array;
mod buying;
mod comparison;
mod cut;
mod edit;
mod failure;
mod figure;
mod fit;
mod grid;
mod kept;
mod layer;
mod length;
mod limits;
mod marking;
mod mounting;
mod nesting;
mod offcut;
mod paint;
mod painting;
mod panel;
mod panic;
mod picture;
mod pixelation;
mod plan;
mod planning;
mod pot;
mod press;
mod recipe;
mod recovery;
mod remedy;
mod replan;
mod repr;
mod wall;
mod wall_book;
mod wall_plan;
mod wall_told;
mod watch;
mod weak;
mod writing;

/// The compiled part of squarewright.
#[pyo3::pymodule]
mod _core {
    use pyo3::prelude::*;

    #[pymodule_export]
    use crate::buying::{PyPurchase, buy, ways};
    #[pymodule_export]
    use crate::comparison::{PySizes, contact_png, contact_words};
    #[pymodule_export]
    use crate::cut::{PyCut, PyCutPlan, plan_cuts};
    #[pymodule_export]
    use crate::fit::{PyFit, fit};
    #[pymodule_export]
    use crate::grid::PyGrid;
    #[pymodule_export]
    use crate::length::{PyLength, inches, mm};
    #[pymodule_export]
    use crate::marking::walk;
    #[pymodule_export]
    use crate::mounting::PyMounting;
    #[pymodule_export]
    use crate::nesting::{PyNestedFigure, PyNestedPanel, PyNesting, nest};
    #[pymodule_export]
    use crate::offcut::PyOffCut;
    #[pymodule_export]
    use crate::paint::{PyPaint, PyStock, stock_too_big};
    #[pymodule_export]
    use crate::painting::PyPainting;
    #[pymodule_export]
    use crate::panel::{PyAlternative, PyFitPanel, PyMargins, PyMark, PyPanel};
    #[pymodule_export]
    use crate::panic::panic_on_purpose;
    #[pymodule_export]
    use crate::picture::{PyPicture, check_size};
    #[pymodule_export]
    use crate::pixelation::pixelate;
    #[pymodule_export]
    use crate::plan::PyPlan;
    #[pymodule_export]
    use crate::planning::plan;
    #[pymodule_export]
    use crate::pot::{PyPotStep, mix_in_one_pot};
    #[pymodule_export]
    use crate::press::words;
    #[pymodule_export]
    use crate::recipe::{PyBlend, PyRecipe, blend, calibrate, mix, pin};
    #[pymodule_export]
    use crate::recovery::{PyReading, PyRecovery, recover};
    #[pymodule_export]
    use crate::remedy::{PyRemedy, PyStrengthened, strengthened};
    #[pymodule_export]
    use crate::wall::plan_wall;
    #[pymodule_export]
    use crate::wall_plan::PyWallPlan;
    #[pymodule_export]
    use crate::weak::{PyWeakSpot, PyWeakSpots, weak_spots};

    /// The version of the compiled part.
    #[pymodule_export]
    const VERSION: &str = env!("CARGO_PKG_VERSION");

    /// The largest picture file that is read, in bytes.
    #[pymodule_export]
    const FILE_BYTES: usize = squarewright::picture::limits::FILE_BYTES;

    /// The most pixels that a picture may have.
    #[pymodule_export]
    const PIXELS: u64 = squarewright::picture::limits::PIXELS;

    /// The most pixels along a side of a picture.
    #[pymodule_export]
    const SIDE: u32 = squarewright::picture::limits::SIDE;

    /// The most tiles of a contact sheet.
    #[pymodule_export]
    const TILES: usize = squarewright::sheet::MOST;

    /// The most of them side by side.
    #[pymodule_export]
    const TILES_ABREAST: usize = squarewright::sheet::ABREAST;

    /// The largest list of paints that is read, in bytes.
    #[pymodule_export]
    const STOCK_BYTES: usize = squarewright::paint::Stock::FILE_BYTES;

    /// Whether the compiled part was built without optimisation.
    #[pymodule_export]
    const DEBUG_BUILD: bool = cfg!(debug_assertions);

    #[pymodule_init]
    #[expect(clippy::unnecessary_wraps, reason = "the module asks for a result")]
    fn init(_module: &Bound<'_, PyModule>) -> PyResult<()> {
        crate::panic::hush();
        Ok(())
    }
}
