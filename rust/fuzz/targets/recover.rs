//! Copies of sprites, and pixels by chance, as pictures to recover.
#![no_main]

use libfuzzer_sys::arbitrary::{Arbitrary, Result, Unstructured};
use libfuzzer_sys::fuzz_target;
use squarewright::colour::Rgb;
use squarewright::fault::Unwatched;
use squarewright::grid::{Background, Hint, Recovering, Region, recover};
use squarewright_fuzz::picture::Shown;
use squarewright_fuzz::{check, watch_our_own};

/// A picture and what is asked of it.
#[derive(Debug)]
struct Case {
    shown: Shown,
    asked: Recovering,
}

impl<'a> Arbitrary<'a> for Case {
    fn arbitrary(bytes: &mut Unstructured<'a>) -> Result<Self> {
        let background = match bytes.int_in_range(0..=3)? {
            0 => Background::Colour(Rgb(bytes.arbitrary()?)),
            1 => Background::Keep,
            _ => Background::Auto,
        };
        let hint = match bytes.int_in_range(0..=5)? {
            0 => Some(Hint::Cells { columns: bytes.arbitrary()?, rows: bytes.arbitrary()? }),
            1 => {
                Some(Hint::Cells { columns: bytes.int_in_range(1..=32)?, rows: bytes.int_in_range(1..=32)? })
            }
            2 => Some(Hint::Pitch(bytes.arbitrary()?)),
            _ => None,
        };
        let region = match bytes.int_in_range(0..=5)? {
            0 => Some(Region::Corners(bytes.arbitrary()?)),
            1 => {
                let mut side = || bytes.int_in_range(0..=96_u32);
                Some(Region::Box { left: side()?, top: side()?, right: side()?, bottom: side()? })
            }
            _ => None,
        };
        let most_cells = bytes.int_in_range(1..=512)?;
        let asked = Recovering { background, region, hint, most_cells };
        Ok(Self { asked, shown: bytes.arbitrary()? })
    }
}

fuzz_target!(init: watch_our_own(), |case: Case| {
    let picture = case.shown.picture();
    match recover(&picture, &case.asked, &Unwatched) {
        Ok(found) => {
            let grid = &found.best.grid;
            assert!(grid.rows() <= case.asked.most_cells && grid.columns() <= case.asked.most_cells);
        }
        Err(error) => check(&error),
    }
});
