//! Figures by chance on panels by chance: planned, cut, strengthened, written and read.
#![no_main]

use libfuzzer_sys::arbitrary::{Arbitrary, Result, Unstructured};
use libfuzzer_sys::fuzz_target;
use squarewright::colour::Rgb;
use squarewright::cut::Cutting;
use squarewright::fault::Unwatched;
use squarewright::grid::Grid;
use squarewright::length::Length;
use squarewright::palette::Palette;
use squarewright::panel::{Fitting, Panel, Size};
use squarewright::plan::{Door, Making, Plan, Source};
use squarewright_fuzz::{check, watch_our_own};

/// A figure, a board, and what is asked of both.
#[derive(Debug)]
struct Case {
    side: (usize, usize),
    cells: Vec<u8>,
    panel: (Length, Length),
    fitting: Fitting,
    cutting: Cutting,
    making: Making,
}

/// Takes a length: most often one that a maker would give.
fn length(bytes: &mut Unstructured<'_>) -> Result<Length> {
    if bytes.ratio(1, 16)? {
        let longest = Length::LONGEST.units();
        return Ok(Length::from_units(bytes.int_in_range(-longest..=longest)?));
    }
    Ok(Length::inches(bytes.int_in_range(0..=400)?, 16))
}

fn fitting(bytes: &mut Unstructured<'_>) -> Result<Fitting> {
    let size = match bytes.int_in_range(0..=5)? {
        0 => Size::Pitch(length(bytes)?.ratio()),
        1 => Size::Width(length(bytes)?.ratio()),
        2 => Size::Height(length(bytes)?.ratio()),
        _ => Size::Largest,
    };
    let panels = |bytes: &mut Unstructured<'_>| -> Result<Option<usize>> {
        if bytes.ratio(1, 4)? { Ok(Some(bytes.int_in_range(0..=5)?)) } else { Ok(None) }
    };
    let (across, down) = (panels(bytes)?, panels(bytes)?);
    let margin = if bytes.arbitrary()? { length(bytes)? } else { Length::from_units(0) };
    Ok(Fitting { size, across, down, margin, ..Fitting::default() })
}

fn cutting(bytes: &mut Unstructured<'_>) -> Result<Cutting> {
    if bytes.arbitrary()? {
        return Ok(Cutting::default());
    }
    let usual = Cutting::default();
    Ok(Cutting {
        clearance: length(bytes)?,
        smallest_piece: length(bytes)?,
        thickness: if bytes.arbitrary()? { Some(length(bytes)?) } else { None },
        light_cut: length(bytes)?,
        fresh_edge: length(bytes)?,
        ..usual
    })
}

impl<'a> Arbitrary<'a> for Case {
    fn arbitrary(bytes: &mut Unstructured<'a>) -> Result<Self> {
        let fitting = fitting(bytes)?;
        let cutting = cutting(bytes)?;
        let panel = (length(bytes)?, length(bytes)?);
        let making = Making { raw: bytes.arbitrary::<Option<[u8; 3]>>()?.map(Rgb), ..Making::default() };
        let side = (bytes.int_in_range(1..=24)?, bytes.int_in_range(1..=24)?);
        let cells = bytes.bytes(bytes.len().min(side.0 * side.1))?.to_vec();
        Ok(Self { side, cells, panel, fitting, cutting, making })
    }
}

fn worked(case: &Case) -> squarewright::fault::Result<()> {
    let (rows, columns) = case.side;
    let cell = |at: usize| case.cells.get(at).map(|byte| byte % 5).filter(|&cell| cell < 3);
    let palette = Palette::new(vec![Rgb([200, 30, 40]), Rgb([30, 40, 200]), Rgb([9, 9, 9])])?;
    let grid = Grid::new(rows, columns, (0..rows * columns).map(cell).collect(), palette)?;
    let panel = Panel::new(case.panel.0, case.panel.1)?;
    let source = Source { name: "pond".into(), door: Door::Given };
    let plan = Plan::new(source, grid, panel, &case.fitting, case.making)?.cut(&case.cutting, &Unwatched)?;
    let written = plan.to_json();
    let again = Plan::from_json(&written).expect("what was written is read");
    assert_eq!(again.to_json(), written);
    plan.remedies();
    plan.strengthened(&Unwatched)?.cut(&case.cutting, &Unwatched)?;
    Ok(())
}

fuzz_target!(init: watch_our_own(), |case: Case| {
    if let Err(error) = worked(&case) {
        check(&error);
    }
});
