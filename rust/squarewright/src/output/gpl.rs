//! The colours of a plan as the palette text of free image editors.

use crate::colour::Rgb;
use crate::paint::gpl_text;
use crate::plan::Plan;

/// Lists the colours by code and name, then the paints that they are mixed from.
pub fn palette_gpl(plan: &Plan) -> String {
    let colours = plan.tally().iter().map(|tally| (tally.colour, format!("{} {}", tally.code, tally.name)));
    // No code ends in a colon, so that no paint can be called like a colour.
    let paints = plan.amounts().paints.iter().map(|need| &need.paint);
    let paints = paints.map(|paint| (paint.colour, format!("paint: {}", paint.name)));
    let all: Vec<(Rgb, String)> = colours.chain(paints).collect();
    gpl_text(plan.name(), all.iter().map(|(colour, name)| (*colour, &**name)))
}
