//! How different two colours look: CIEDE2000 (ISO/CIE 11664-6).

use palette::color_difference::Ciede2000;
use palette::white_point::D65;

use super::Lab;

/// Gives the CIEDE2000 difference of two colours, all weights 1.
///
/// The `palette` crate does the sum; the tests hold it against the 34 pairs of Sharma, Wu and Dalal 2005
/// (doi 10.1002/col.20070).
pub fn ciede2000(a: Lab, b: Lab) -> f64 {
    let of = |lab: Lab| palette::Lab::<D65, f64>::new(lab.l, lab.a, lab.b);
    of(a).difference(of(b))
}
