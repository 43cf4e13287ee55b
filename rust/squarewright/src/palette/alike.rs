//! Colours that many people cannot tell apart.

use crate::colour::{Lab, Rgb, Vision, ciede2000};

/// Colours at least this different look different to most people.
const DIFFERENT: f64 = 10.0;
/// Colours less different than this look alike.
const ALIKE: f64 = 5.0;

/// Two colours that look different to most people and alike to some.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alike {
    /// Place of the first.
    pub one: usize,
    /// Place of the second.
    pub other: usize,
    /// To whom they look most alike.
    pub vision: Vision,
    /// How different they look to them, CIEDE2000.
    pub difference: f64,
}

/// Lists the pairs of colours that look alike to people with another colour vision, in order.
pub fn alike(colours: &[Rgb]) -> Vec<Alike> {
    let difference = |one: Rgb, other: Rgb| ciede2000(Lab::from(one), Lab::from(other));
    let mut found = Vec::new();
    for (other, &second) in colours.iter().enumerate() {
        for (one, &first) in colours[..other].iter().enumerate() {
            let seen =
                Vision::ALL.map(|vision| (difference(vision.seen(first), vision.seen(second)), vision));
            let Some((difference, vision)) = seen
                .into_iter()
                .filter(|(seen, _)| *seen < ALIKE && difference(first, second) > DIFFERENT)
                .min_by(|a, b| a.0.total_cmp(&b.0))
            else {
                continue;
            };
            found.push(Alike { one, other, vision, difference });
        }
    }
    found.sort_by_key(|pair| (pair.one, pair.other));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the matrices of Machado and others (2009) worked out in another language: these two are 48 apart
    /// to most people and 1.5 to those without the cones for middle waves.
    #[test]
    fn a_dark_green_and_a_dark_red_look_alike_to_some() {
        let colours = ["#315c38", "#7f2f3f", "#f6c915"].map(|code| code.parse().expect("a colour"));
        let [pair] = alike(&colours)[..] else { panic!("one pair") };
        assert_eq!((pair.one, pair.other, pair.vision), (0, 1, Vision::Deutan));
        assert!((pair.difference - 1.5).abs() < 0.3, "{}", pair.difference);
    }

    #[test]
    fn shades_of_grey_look_the_same_to_all() {
        assert!(alike(&[Rgb([40; 3]), Rgb([128; 3]), Rgb([220; 3])]).is_empty());
        for vision in Vision::ALL {
            let Rgb([r, g, b]) = vision.seen(Rgb([128; 3]));
            assert!([r, g, b].iter().all(|code| code.abs_diff(128) <= 1));
        }
    }
}
