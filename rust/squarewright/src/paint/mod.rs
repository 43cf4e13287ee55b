//! Paints: what a mixture will look like, and which mixture comes near to a colour.
//!
//! Paint is mixed as it takes light away, band by band (see [`Optics`]). The more is known of a paint, the
//! surer its mixtures:
//!
//! | known of a paint | how | mixtures with white come within (CIEDE2000) |
//! |---|---|---|
//! | one swatch | [`Paint::new`] | 2 to 7; dark strong paints 5 to 14 and more |
//! | a swatch and a strength | [`Paint::strength`] | 2 to 7 |
//! | a swatch and that of a tint | [`calibrate`] | 1.5 to 4.5 |
//!
//! ```
//! use squarewright::paint::{Mixing, Stock, mix};
//! use squarewright::fault::Unwatched;
//!
//! let stock = Stock::basic();
//! let found = mix(&["#5b7a3a".parse()?], &stock, &Mixing::default(), &Unwatched)?;
//! assert!(found[0][0].difference < 3.0);
//! # Ok::<(), squarewright::fault::Error>(())
//! ```

mod amount;
mod brush;
mod buy;
mod calibrate;
mod coats;
mod ground;
mod measure;
mod mixture;
mod order;
#[expect(clippy::module_inception, reason = "one noun, one file")]
mod paint;
mod pot;
mod read;
mod recipe;
mod search;
mod stock;
mod together;
mod trust;

pub use amount::{Amounting, Amounts, Jar, Layer, Need, Painted, Setting, amounts, whitest};
pub use brush::Brush;
pub use buy::{Purchase, Weighed, buy};
pub use calibrate::calibrate;
pub use coats::{Cover, cover};
pub use ground::{Ground, Manner, grounds};
pub use measure::Measure;
pub use mixture::{Blend, Optics, Surface, absorption_of, blend, reflected};
pub use order::{Ordering, Pass, Portion, Set, Turn, order};
pub use paint::{Level, Opacity, Paint, Price, Tint};
pub use pot::{Step, pot};
pub(crate) use read::reads_as_formula;
pub use read::{Format, gpl_text};
pub use recipe::{Match, Part, Recipe, Remark};
pub use search::{Mixing, Way, bucket, mix, recipes, ways};
pub use stock::Stock;
pub use together::Filling;
pub use trust::Trust;
