//! What weak spots and remedies are asked for with.

use pyo3::prelude::*;
use squarewright::outline::{Inks, Limits};

use crate::array;
use crate::failure::bad_argument;
use crate::length::{positive, whole};

/// The thresholds as the caller gives them; lengths that are left out have the core's defaults.
pub(crate) struct Asked<'a, 'py> {
    pub(crate) pitch: &'a Bound<'py, PyAny>,
    pub(crate) thickness: Option<&'a Bound<'py, PyAny>>,
    pub(crate) severe_width: Option<&'a Bound<'py, PyAny>>,
    pub(crate) severe_load: i64,
    pub(crate) caution_width: Option<&'a Bound<'py, PyAny>>,
    pub(crate) caution_load: i64,
    pub(crate) slender: i64,
    pub(crate) slot: Option<&'a Bound<'py, PyAny>>,
    pub(crate) pinhole: Option<&'a Bound<'py, PyAny>>,
}

impl Asked<'_, '_> {
    pub(crate) fn read(&self) -> PyResult<Limits> {
        let usual = Limits::new(positive(self.pitch, "pitch")?);
        let length = |value: Option<&Bound<'_, PyAny>>, field, usual| {
            value.map_or(Ok(usual), |value| whole(value, field))
        };
        let count = |value: i64, name| {
            usize::try_from(value).map_err(|_| bad_argument(name, "0 or more", value.to_string()))
        };
        Ok(Limits {
            pitch: usual.pitch,
            thickness: length(self.thickness, "thickness", usual.thickness)?,
            severe_width: length(self.severe_width, "severe_width", usual.severe_width)?,
            severe_load: count(self.severe_load, "severe_load")?,
            caution_width: length(self.caution_width, "caution_width", usual.caution_width)?,
            caution_load: count(self.caution_load, "caution_load")?,
            slender: count(self.slender, "slender")?,
            slot: length(self.slot, "slot", usual.slot)?,
            pinhole: length(self.pinhole, "pinhole", usual.pinhole)?,
        })
    }
}

pub(crate) fn inks(colour: Option<&Bound<'_, PyAny>>, ground: Option<&Bound<'_, PyAny>>) -> PyResult<Inks> {
    Ok(Inks {
        outline: colour.map(array::colour).transpose()?,
        ground: ground.map(array::colour).transpose()?,
    })
}
