//! How different two colours look.

use palette::color_difference::Ciede2000;
use palette::white_point::D65;

use super::Lab;

/// Gives the CIEDE2000 difference of two colours, in either order: about 1 is just seen, 10 is plain.
///
/// ISO/CIE 11664-6, with all weights 1. The formula is that of the `palette` crate: it gives the 34 published
/// pairs of Sharma, Wu and Dalal (2005, doi 10.1002/col.20070) to all four digits, the same value to the last
/// bit in either order, and needs no second copy here. Where two hues straddle 0° its mean hue is not turned
/// back into the circle, which moves a difference by less than 0.0002.
pub fn ciede2000(one: Lab, other: Lab) -> f64 {
    let known = |colour: Lab| palette::Lab::<D65, f64>::new(colour.l, colour.a, colour.b);
    known(one).difference(known(other))
}
