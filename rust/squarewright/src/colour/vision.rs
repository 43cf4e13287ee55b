//! How colours look to eyes that lack one kind of cone.
//!
//! G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A physiologically-based model for simulation of color
//! vision deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009, at severity 1.
//! About one man in twelve and one woman in two hundred sees red and green like this or nearly so (J. Birch,
//! Journal of the Optical Society of America A 29(3), 2012).

use super::Rgb;

/// A kind of colour vision.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Vision {
    /// Without the cones for long waves: red and green are alike, and red is dark.
    Protan,
    /// Without the cones for middle waves: red and green are alike.
    Deutan,
    /// Without the cones for short waves: blue and green are alike; rare.
    Tritan,
}

impl Vision {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Protan, Self::Deutan, Self::Tritan];

    fn matrix(self) -> [[f64; 3]; 3] {
        match self {
            Self::Protan => [
                [0.152_286, 1.052_583, -0.204_868],
                [0.114_503, 0.786_281, 0.099_216],
                [-0.003_882, -0.048_116, 1.051_998],
            ],
            Self::Deutan => [
                [0.367_322, 0.860_646, -0.227_968],
                [0.280_085, 0.672_501, 0.047_413],
                [-0.011_820, 0.042_940, 0.968_881],
            ],
            Self::Tritan => [
                [1.255_528, -0.076_749, -0.178_779],
                [-0.078_411, 0.930_809, 0.147_602],
                [0.004_733, 0.691_367, 0.303_900],
            ],
        }
    }

    /// Gives the colour that looks to others as `colour` looks to such eyes.
    pub fn seen(self, colour: Rgb) -> Rgb {
        let light = colour.linear();
        Rgb::from_linear(
            self.matrix().map(|row| row.iter().zip(light).map(|(share, part)| share * part).sum()),
        )
    }
}
