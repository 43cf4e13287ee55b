//! Pictures by chance, pixelated in any way that can be asked for.
#![no_main]

use libfuzzer_sys::arbitrary::{Arbitrary, Result, Unstructured};
use libfuzzer_sys::fuzz_target;
use squarewright::colour::Rgb;
use squarewright::fault::Unwatched;
use squarewright::grid::{Brushwork, Figure, Pixelating, pixelate};
use squarewright::palette::Palette;
use squarewright::picture::Window;
use squarewright_fuzz::picture::{SIDE, Shown};
use squarewright_fuzz::{check, watch_our_own};

/// A picture and what is asked of it.
#[derive(Debug)]
struct Case {
    shown: Shown,
    asked: Pixelating,
}

/// Takes up to `most` colours.
fn colours(bytes: &mut Unstructured<'_>, most: usize) -> Result<Vec<Rgb>> {
    (0..bytes.int_in_range(0..=most)?).map(|_| Ok(Rgb(bytes.arbitrary()?))).collect()
}

fn window(bytes: &mut Unstructured<'_>) -> Result<Window> {
    let mut side = || bytes.int_in_range(0..=SIDE as u32);
    Ok(Window { left: side()?, top: side()?, width: side()?, height: side()? })
}

fn figure(bytes: &mut Unstructured<'_>) -> Result<Figure> {
    Ok(match bytes.int_in_range(0..=3)? {
        0 => Figure::Find,
        1 => Figure::Mask(bytes.arbitrary()?),
        _ => Figure::Whole,
    })
}

impl<'a> Arbitrary<'a> for Case {
    fn arbitrary(bytes: &mut Unstructured<'a>) -> Result<Self> {
        let cells = |bytes: &mut Unstructured<'a>| bytes.int_in_range(0..=70);
        let asked = Pixelating {
            columns: if bytes.arbitrary()? { Some(cells(bytes)?) } else { None },
            rows: if bytes.ratio(1, 4)? { Some(cells(bytes)?) } else { None },
            colours: bytes.int_in_range(1..=65)?,
            brushwork: *bytes.choose(&[Brushwork::Easy, Brushwork::EveryCell, Brushwork::Broad])?,
            palette: if bytes.ratio(1, 4)? { Palette::new(colours(bytes, 9)?).ok() } else { None },
            candidates: if bytes.ratio(1, 4)? { colours(bytes, 9)? } else { Vec::new() },
            figure: figure(bytes)?,
            crop: if bytes.ratio(1, 4)? { Some(window(bytes)?) } else { None },
            smallest_patch: if bytes.ratio(1, 4)? { Some(bytes.arbitrary()?) } else { None },
            calm: if bytes.ratio(1, 4)? { Some(bytes.arbitrary()?) } else { None },
            seed: bytes.arbitrary()?,
        };
        Ok(Self { asked, shown: bytes.arbitrary()? })
    }
}

fuzz_target!(init: watch_our_own(), |case: Case| {
    let mut asked = case.asked;
    let picture = case.shown.picture();
    if let Figure::Mask(mask) = &mut asked.figure {
        // one of another length is refused; most are to be used
        if mask.len() % 8 != 0 {
            mask.resize(picture.pixels().len() / 4, 128);
        }
    }
    match pixelate(&picture, &asked, &Unwatched) {
        Ok(made) => assert!(made.grid.palette().len() <= asked.colours.max(9)),
        Err(error) => check(&error),
    }
});
