//! One palette for the wall: colours of different figures that look alike from where the wall is looked at are
//! mixed once.
//!
//! A colour gives way to one that covers more of the wall when all that is changed in a figure shows no more than
//! was asked ([`Sight`]). Two colours of one figure touch, and steps between them are seen sooner: they become
//! one only when they can hardly be told apart. Whatever the distance, colours that are not alike at all stay
//! apart, and so does a small vivid accent.

use serde::{Deserialize, Serialize};

use super::sight::{Sight, View};
use crate::colour::{Lab, Rgb, ciede2000};
use crate::fault::{Result, Watch};
use crate::palette::ramps;
use crate::plan::Plan;

/// Colours that differ by more are never made one: they look different across a room, CIEDE2000.
const ALIKE: f64 = 6.0;
/// A difference that is just seen where two colours touch, CIEDE2000.
const TOUCHING: f64 = 1.0;
/// An accent fills at most this share of its figure's cells.
const SMALL: f64 = 0.03;
/// The least chroma of an accent.
const VIVID: f64 = 35.0;
/// How far, CIEDE2000, an accent is from every other colour of its figure.
const APART: f64 = 10.0;

/// A colour that gives way to another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Merged {
    /// The colour that goes.
    pub from: Rgb,
    /// The colour that takes its place.
    pub into: Rgb,
    /// How different they are side by side, CIEDE2000.
    pub difference: f64,
    /// How much shows at the distance, CIEDE2000, of all that is changed in the figure where most does.
    pub shows: f64,
    /// The figures that it changes, by their places.
    pub figures: Vec<usize>,
}

/// The colours of the wall.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Merging {
    /// By what the colours were judged.
    pub sight: Sight,
    /// Every colour that is mixed: ramp by ramp, light to dark.
    pub colours: Vec<Rgb>,
    /// The colours that gave way.
    pub merges: Vec<Merged>,
    /// Jars when each figure is mixed by itself.
    pub jars_before: usize,
    /// Jars when the wall is mixed as one.
    pub jars_after: usize,
}

impl Merging {
    /// Gives what a colour of a figure becomes.
    pub fn becomes(&self, colour: Rgb) -> Rgb {
        self.merges.iter().find(|merge| merge.from == colour).map_or(colour, |merge| merge.into)
    }
}

/// A colour as it stands in one figure.
#[derive(Debug, Clone, Copy)]
struct Use {
    figure: usize,
    colour: Rgb,
    /// Its place in the palette of the figure; none when it is a ground.
    place: Option<usize>,
    accent: bool,
}

/// A colour with all its uses and those of the colours that gave way to it.
#[derive(Debug, Clone)]
struct Jar {
    colour: Rgb,
    area: f64,
    locked: bool,
    uses: Vec<Use>,
}

/// Finds the colours that the wall is painted in.
///
/// Colours in `locked`, such as those with a recipe of the maker's own, never give way, nor do grounds.
///
/// # Errors
/// [`Error::Stopped`](crate::fault::Error::Stopped) when the watcher asks to stop, and as [`Sight::checked`].
pub fn merged(plans: &[&Plan], sight: &Sight, locked: &[Rgb], watch: &dyn Watch) -> Result<Merging> {
    let sight = sight.checked()?;
    let mut jars: Vec<Jar> = Vec::new();
    let mut jars_before = 0;
    for (figure, plan) in plans.iter().enumerate() {
        watch.check(0.0)?;
        jars_before += add(&mut jars, figure, plan);
    }
    let look = |plan: &&Plan| View::new(plan.grid(), plan.fit().pitch, &sight);
    let mut views: Vec<View> = plans.iter().map(look).collect();
    for jar in &mut jars {
        let stays = |plan: &&Plan| plan.making().ground == Some(jar.colour);
        jar.locked = locked.contains(&jar.colour) || plans.iter().any(stays);
    }
    let raws: Vec<Rgb> = plans.iter().filter_map(|plan| plan.making().raw).collect();
    let mut becomes: Vec<usize> = (0..jars.len()).collect();
    for (_, one, other) in pairs(&jars) {
        watch.check(0.0)?;
        let (one, other) = (becomes[one], becomes[other]);
        // A colour of raw board is no paint to give way to.
        if one == other || raws.contains(&jars[one].colour) || raws.contains(&jars[other].colour) {
            continue;
        }
        let Some((into, from)) = stays(&jars, one, other) else { continue };
        if let Some(changed) = given_way(&jars[from], &jars[into], &views, sight.difference) {
            for (figure, view) in changed {
                views[figure] = view;
            }
            let Jar { area, uses, .. } = jars[from].clone();
            jars[into].area += area;
            jars[into].uses.extend(uses);
            becomes.iter_mut().filter(|place| **place == from).for_each(|place| *place = into);
        }
    }
    let kept: Vec<Rgb> =
        (0..jars.len()).filter(|&place| becomes[place] == place).map(|p| jars[p].colour).collect();
    let order = ramps(&kept).into_iter().flat_map(|ramp| ramp.shades);
    let colours: Vec<Rgb> = order.map(|place| kept[place]).collect();
    let merges = becomes.iter().enumerate().filter(|(from, into)| from != *into);
    let merges = merges.map(|(from, &into)| told(jars[from].colour, &jars[into], &views)).collect();
    Ok(Merging { sight, jars_after: colours.len(), colours, merges, jars_before })
}

/// Adds the colours of a figure and counts its jars.
fn add(jars: &mut Vec<Jar>, figure: usize, plan: &Plan) -> usize {
    let areas = plan.painted_areas();
    for area in &areas {
        let colour = area.colour;
        let tally = plan.tally().iter().find(|tally| tally.colour == colour);
        let accent = tally.is_some_and(|tally| is_accent(plan, colour, tally.cells));
        let place = jars.iter().position(|jar| jar.colour == colour).unwrap_or(jars.len());
        if place == jars.len() {
            jars.push(Jar { colour, area: 0.0, locked: false, uses: Vec::new() });
        }
        jars[place].area += area.area();
        let own = tally.map(|tally| tally.index);
        jars[place].uses.push(Use { figure, colour, place: own, accent });
    }
    areas.len()
}

fn is_accent(plan: &Plan, colour: Rgb, cells: usize) -> bool {
    let lab = Lab::from(colour);
    let alone = |other: Rgb| other == colour || ciede2000(lab, Lab::from(other)) >= APART;
    cells as f64 <= SMALL * plan.grid().figure_cells() as f64
        && lab.chroma() >= VIVID
        && plan.tally().iter().all(|tally| alone(tally.colour))
}

/// Lists pairs of jars that are alike, the nearest first.
fn pairs(jars: &[Jar]) -> Vec<(f64, usize, usize)> {
    let labs: Vec<Lab> = jars.iter().map(|jar| Lab::from(jar.colour)).collect();
    let mut pairs = Vec::new();
    for (other, &second) in labs.iter().enumerate() {
        for (one, &first) in labs[..other].iter().enumerate() {
            // CIEDE2000 never weighs a step of lightness by more than 1.75.
            if (first.l - second.l).abs() <= ALIKE * 1.75 {
                let difference = ciede2000(first, second);
                pairs.extend((difference <= ALIKE).then_some((difference, one, other)));
            }
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    pairs
}

/// Tells which of two jars stays and which may go; none when neither may.
fn stays(jars: &[Jar], one: usize, other: usize) -> Option<(usize, usize)> {
    let (first, second) = (&jars[one], &jars[other]);
    if first.locked && second.locked {
        return None;
    }
    let is_second = second.locked || !first.locked && second.area > first.area;
    Some(if is_second { (other, one) } else { (one, other) })
}

/// Looks at the figures of one jar when they are painted out of another; none when that shows too much.
fn given_way(from: &Jar, into: &Jar, views: &[View], most: f64) -> Option<Vec<(usize, View)>> {
    let may = |each: &Use| {
        let difference = ciede2000(Lab::from(each.colour), Lab::from(into.colour));
        let touches = into.uses.iter().any(|other| other.figure == each.figure);
        difference <= if touches || each.accent { TOUCHING.min(most) } else { ALIKE }
    };
    if !from.uses.iter().all(may) {
        return None;
    }
    let mut figures: Vec<usize> = from.uses.iter().map(|each| each.figure).collect();
    figures.sort_unstable();
    figures.dedup();
    let change = (from.colour, into.colour);
    let look = |figure: usize| {
        let own = from.uses.iter().filter(|each| each.figure == figure);
        let places: Vec<u8> = own.filter_map(|each| u8::try_from(each.place?).ok()).collect();
        let view = views[figure].changed(&places, change);
        (view.shows() <= most).then_some((figure, view))
    };
    figures.into_iter().map(look).collect()
}

fn told(from: Rgb, into: &Jar, views: &[View]) -> Merged {
    let figures: Vec<usize> =
        into.uses.iter().filter(|each| each.colour == from).map(|each| each.figure).collect();
    Merged {
        from,
        into: into.colour,
        difference: ciede2000(Lab::from(from), Lab::from(into.colour)),
        shows: figures.iter().map(|&figure| views[figure].shows()).fold(0.0, f64::max),
        figures,
    }
}
