//! Everything about a wall in one value.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::buying::Wanted;
use super::days::days;
use super::done::{Done, Todo};
use super::mixed::mixed;
use super::{Asking, Boards, Buying, Days, Fault, Left, Merging, Money, Pack, Placing, Sight, merged};
use crate::colour::Rgb;
use crate::cut::Estimate;
use crate::fault::{Error, Part, Result, Watch};
use crate::length::{Length, Ratio};
use crate::paint::{Amounts, Filling, Jar, Recipe};
use crate::palette::names;
use crate::panel::Panel;
use crate::plan::{Minutes, Plan, Timed};

/// A figure of the wall.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WallFigure {
    /// Its name, one of a kind on the wall.
    pub name: String,
    /// Everything about one copy of it.
    pub plan: Arc<Plan>,
    /// How many of it there are.
    pub copies: usize,
    /// Where it hangs, from the left and from the top edge of the wall to the box round it; none when it may
    /// hang anywhere.
    pub place: Option<(Length, Length)>,
}

/// Where a jar is used.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Use {
    /// Which figure, by its place.
    pub figure: usize,
    /// The short name of the colour in the cells of that figure; "" for a ground.
    pub code: String,
    /// The cells of one copy.
    pub cells: usize,
    /// Millilitres for all copies, before any rounding.
    pub ml: f64,
}

/// A colour that is mixed once for the wall.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WallJar {
    /// Its number on the wall, from 1.
    pub number: usize,
    /// Its name in plain words.
    pub name: String,
    /// What it holds.
    #[serde(flatten)]
    pub jar: Jar,
    /// How it is mixed; none without a stock.
    pub recipe: Option<Recipe>,
    /// Where it is used.
    pub uses: Vec<Use>,
}

/// What a wall comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Totals {
    /// Figures, copies counted.
    pub figures: usize,
    /// Hands at work and waiting, figure by figure.
    pub minutes: Timed<()>,
    /// What all figures weigh, in grams.
    pub grams: Estimate,
    /// Panels.
    pub panels: usize,
    /// What is to buy, as far as it has a price.
    pub money: Money,
}

/// Everything about a wall; it never changes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WallPlan {
    schema_version: u32,
    name: String,
    panel: Panel,
    figures: Vec<WallFigure>,
    faults: Vec<Fault>,
    merging: Merging,
    jars: Vec<WallJar>,
    amounts: Amounts,
    boards: Boards,
    buying: Buying,
    days: Days,
    left: Left,
    placing: Option<Placing>,
    pitch: Option<Ratio>,
    done: Done,
}

impl WallPlan {
    /// The version of the wall's JSON; it goes up with every change that an older reader cannot take.
    pub const SCHEMA_VERSION: u32 = 1;
    /// The most figures of a wall, copies counted.
    pub const MOST: usize = 500;

    /// Plans a wall out of figures that are planned, but not mixed.
    ///
    /// # Errors
    /// [`Error::Argument`] when there is no figure, more than 500 with their copies, two of one name, or one on
    /// another panel; for what [`Asking`] does not take; [`Error::Stopped`] when the watcher asks to stop.
    pub fn new(figures: Vec<WallFigure>, asked: Asking, watch: &dyn Watch) -> Result<Self> {
        let mut asked = asked.checked()?;
        check(&figures, asked.panel)?;
        let (placing, figures) = match asked.room.take() {
            Some(room) => {
                let (placing, figures, faults) = Placing::of(room, figures, asked.earlier.as_deref(), watch)?;
                asked.faults.extend(faults);
                (Some(placing), figures)
            }
            None => (None, figures),
        };
        let pinned: Vec<Rgb> = asked.pinned.iter().map(|recipe| recipe.target).collect();
        let plans: Vec<&Plan> = figures.iter().map(|each| &*each.plan).collect();
        let merging = merged(&plans, &asked.sight, &pinned, &Part::new(watch, 0.0, 0.0))?;
        let (figures, supply) = mixed(&figures, &merging, &asked, watch)?;
        watch.check(0.6)?;
        let recipes = supply.as_ref().map_or(&[][..], |supply| &supply.recipes);
        let each: Vec<(&Amounts, usize)> =
            figures.iter().map(|each| (each.plan.amounts(), each.copies)).collect();
        let Asking { stock, amounting, left, .. } = &asked;
        let filling = Filling { recipes, stock: stock.as_ref(), asked: amounting, mixed: &left.mixes };
        let mut amounts = Amounts::together(&each, &filling)?;
        amounts.jars.sort_by_key(|jar| merging.colours.iter().position(|&colour| colour == jar.colour));
        let jars = jars(&amounts, &figures, recipes);
        let (boards, changed) = Boards::of(&figures, &asked, &Part::new(watch, 0.6, 0.8))?;
        let mut done = asked.earlier.as_deref().map_or_else(Done::default, |earlier| earlier.done.clone());
        for (figure, copy) in changed {
            // What was done to its board was done to another shape.
            done.forget(&figures[figure].name, copy);
        }
        let (buying, days) = ahead(
            (Todo { figures: &figures, done: &done }, &boards),
            (&amounts, &asked.pack, &asked.left.bottles),
            (&merging.colours, asked.hours),
            &Part::new(watch, 0.8, 0.9),
        )?;
        let Asking { name, panel, faults, left, pitch, .. } = asked;
        let schema_version = Self::SCHEMA_VERSION;
        Ok(Self {
            schema_version,
            name,
            panel,
            figures,
            faults,
            merging,
            jars,
            amounts,
            boards,
            buying,
            days,
            left,
            placing,
            pitch,
            done,
        })
    }

    /// Gives the same wall when so much of it is done: what is to buy and the painting days are those of the rest.
    ///
    /// # Errors
    /// As [`Done::checked`]; [`Error::Stopped`] when the watcher asks to stop.
    pub fn after(&self, done: Done, watch: &dyn Watch) -> Result<Self> {
        let done = done.checked()?;
        let (buying, days) = ahead(
            (Todo { figures: &self.figures, done: &done }, &self.boards),
            (&self.amounts, &self.buying.panels.pack, &self.left.bottles),
            (&self.merging.colours, self.days.hours),
            watch,
        )?;
        Ok(Self { buying, days, done, ..self.clone() })
    }

    /// Gives what is done.
    pub fn done(&self) -> &Done {
        &self.done
    }

    /// Gives the pitch of the whole wall; none where each figure has its own.
    pub fn pitch(&self) -> Option<Ratio> {
        self.pitch
    }

    /// Gives the name that the pages bear.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Gives the board, as measured.
    pub fn panel(&self) -> Panel {
        self.panel
    }

    /// Gives the figures in their order.
    pub fn figures(&self) -> &[WallFigure] {
        &self.figures
    }

    /// Lists the figures that could not be planned.
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// Gives the colours of the wall, and those that gave way.
    pub fn merging(&self) -> &Merging {
        &self.merging
    }

    /// Tells from where the wall is looked at.
    pub fn sight(&self) -> Sight {
        self.merging.sight
    }

    /// Gives the jars: every colour is mixed once.
    pub fn jars(&self) -> &[WallJar] {
        &self.jars
    }

    /// Gives how much of everything that comes out of bottles.
    pub fn amounts(&self) -> &Amounts {
        &self.amounts
    }

    /// Gives the boards and what lies on each.
    pub fn boards(&self) -> &Boards {
        &self.boards
    }

    /// Gives what to buy.
    pub fn buying(&self) -> &Buying {
        &self.buying
    }

    /// Gives the painting days.
    pub fn days(&self) -> &Days {
        &self.days
    }

    /// Gives what was left of earlier work.
    pub fn left(&self) -> &Left {
        &self.left
    }

    /// Gives where each figure hangs, copy by copy in their order; none when no wall was asked for.
    pub fn placing(&self) -> Option<&Placing> {
        self.placing.as_ref()
    }

    /// Gives the figures as they hang: which one each is, and which of its copies from 0.
    pub fn hung(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        let copies = |(figure, each): (usize, &WallFigure)| (0..each.copies).map(move |copy| (figure, copy));
        self.figures.iter().enumerate().flat_map(copies)
    }

    /// Adds everything up, figure by figure.
    pub fn totals(&self) -> Totals {
        let none = Timed { what: (), work: Minutes::default(), wait: Minutes::default() };
        let mut totals = Totals {
            figures: 0,
            minutes: none,
            grams: Estimate::default(),
            panels: self.boards.count(),
            money: self.buying.money(),
        };
        for each in &self.figures {
            let (hours, copies) = (each.plan.hours().total(), each.copies as f64);
            totals.figures += each.copies;
            totals.minutes.work = totals.minutes.work.and(hours.work.times(copies));
            totals.minutes.wait = totals.minutes.wait.and(hours.wait.times(copies));
            totals.grams = totals.grams.plus(each.plan.hanging().grams().times(copies));
        }
        totals
    }

    /// Writes the wall as JSON with [`WallPlan::SCHEMA_VERSION`].
    ///
    /// # Panics
    /// Never: every part of a wall can be written.
    pub fn to_json(&self) -> String {
        let mut text = serde_json::to_string_pretty(self).expect("a wall can be written as JSON");
        text.push('\n');
        text
    }

    /// Reads a wall back from its JSON.
    ///
    /// # Errors
    /// [`Error::PlanVersion`] for a wall of another version, [`Error::Argument`] when the text is no such wall.
    pub fn from_json(text: &str) -> Result<Self> {
        #[derive(Deserialize)]
        struct Versioned {
            schema_version: u32,
        }
        let must = "a wall as written by to_json()";
        let bad = |error: serde_json::Error| Error::Argument {
            name: "wall",
            must: must.into(),
            got: error.to_string(),
        };
        let Versioned { schema_version: got } = serde_json::from_str(text).map_err(bad)?;
        if got != Self::SCHEMA_VERSION {
            return Err(Error::PlanVersion { got, reads: Self::SCHEMA_VERSION });
        }
        serde_json::from_str(text).map_err(bad)
    }
}

/// What fills the jars: how much, how panels are sold, what is left in bottles.
type Sold<'a> = (&'a Amounts, &'a Pack, &'a [(String, f64)]);

/// Works out what is to buy and when to paint what, of all that is left to do.
fn ahead(
    (todo, boards): (Todo<'_>, &Boards),
    (amounts, pack, left): Sold<'_>,
    (colours, hours): (&[Rgb], f64),
    watch: &dyn Watch,
) -> Result<(Buying, Days)> {
    let wanted = Wanted { todo, panels: boards.needed(todo), amounts, pack: pack.clone(), left };
    let buying = Buying::new(&wanted, watch)?;
    Ok((buying, days(todo, boards, (colours, hours), &Part::new(watch, 1.0, 1.0))?))
}

fn check(figures: &[WallFigure], panel: Panel) -> Result<()> {
    let bad = |must: String, got: String| Err(Error::Argument { name: "figures", must, got });
    let all: usize = figures.iter().map(|each| each.copies).sum();
    if all == 0 || all > WallPlan::MOST {
        return bad(format!("1 to {}, copies counted", WallPlan::MOST), all.to_string());
    }
    for (place, each) in figures.iter().enumerate() {
        if figures[..place].iter().any(|other| other.name == each.name) {
            return bad("of different names".into(), format!("{:?} twice", each.name));
        }
        if each.plan.fit().panel != panel {
            return bad(format!("all on panels of {panel}"), format!("{:?} on another", each.name));
        }
    }
    Ok(())
}

fn jars(amounts: &Amounts, figures: &[WallFigure], recipes: &[Recipe]) -> Vec<WallJar> {
    let colours: Vec<Rgb> = amounts.jars.iter().map(|jar| jar.colour).collect();
    let uses = |colour: Rgb| {
        let uses = figures.iter().enumerate().filter_map(|(figure, each)| {
            let jar = each.plan.amounts().jars.iter().find(|jar| jar.colour == colour)?;
            let tally = each.plan.tally().iter().find(|tally| tally.colour == colour);
            let (code, cells) = tally.map_or((String::new(), 0), |tally| (tally.code.clone(), tally.cells));
            Some(Use { figure, code, cells, ml: jar.ml * each.copies as f64 })
        });
        uses.collect()
    };
    let numbered = amounts.jars.iter().zip(names(&colours)).enumerate();
    numbered
        .map(|(place, (jar, name))| WallJar {
            number: place + 1,
            name,
            jar: jar.clone(),
            recipe: recipes.iter().find(|recipe| recipe.target == jar.colour).cloned(),
            uses: uses(jar.colour),
        })
        .collect()
}
