//! How a string resists stretching and bending.

use numerics::Real;
use serde::ser::SerializeStruct;
use serde::{Serialize, Serializer};

/// How a string resists stretching and bending.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stiffness<R = f64> {
    /// By the stiffness of what carries the load: all of a plain string, the core of a wound one.
    Elastic {
        /// Axial stiffness E A, N.
        axial: R,
        /// Bending stiffness E I, N mm2.
        bending: R,
    },
    /// As measured by stretching: `kappa = 2 R + 1` with R = dln f / dln L; no unit. See [`Stiffness::from_response`].
    Measured {
        /// Stretch stiffness, no unit; about 50 for nylon.
        kappa: R,
        /// Bending stiffness over that of a round string of one piece with this kappa, no unit: 1 as published.
        bending: R,
    },
}

impl<R: Serialize + Copy> Serialize for Stiffness<R> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (by, axial, bending, kappa) = match *self {
            Self::Elastic { axial, bending } => ("construction", Some(axial), Some(bending), None),
            Self::Measured { kappa, .. } => ("stretch-response", None, None, Some(kappa)),
        };
        let mut out = serializer.serialize_struct("Stiffness", 4)?;
        out.serialize_field("by", by)?;
        out.serialize_field("axial", &axial)?;
        out.serialize_field("bending", &bending)?;
        out.serialize_field("kappa", &kappa)?;
        out.end()
    }
}

impl Stiffness {
    /// From a measured stretch response R = dln f / dln L (no unit, positive), as the paper measured it for nylon.
    #[must_use]
    pub fn from_response(response: f64) -> Self {
        Self::Measured {
            kappa: 2.0 * response + 1.0,
            bending: 1.0,
        }
    }
}

impl<R: Real> Stiffness<R> {
    /// Stretch stiffness E A and bending stiffness E I each times its own factor.
    #[must_use]
    pub fn factored(self, factors: Factors<R>) -> Self {
        let Factors { axial: a, bending: b } = factors;
        match self {
            Self::Elastic { axial, bending } => Self::Elastic {
                axial: a * axial,
                bending: b * bending,
            },
            Self::Measured { kappa, bending } => Self::Measured {
                kappa: a * kappa,
                // A common factor of both is in kappa already.
                bending: b / a * bending,
            },
        }
    }

    /// The same with numbers that are constants.
    #[must_use]
    pub fn lifted(of: Stiffness) -> Self {
        match of {
            Stiffness::Elastic { axial, bending } => Self::Elastic {
                axial: R::from(axial),
                bending: R::from(bending),
            },
            Stiffness::Measured { kappa, bending } => Self::Measured {
                kappa: R::from(kappa),
                bending: R::from(bending),
            },
        }
    }

    /// Stretch stiffness times `c`, bending term B0 times the root of `c`: as for a wrong modulus.
    #[must_use]
    pub fn scaled(self, c: R) -> Self {
        self.factored(Wrong::Modulus.factors(c))
    }
}

/// Factors on the two stiffnesses of a string, no unit, positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factors<R = f64> {
    /// On stretch stiffness E A.
    pub axial: R,
    /// On bending stiffness E I.
    pub bending: R,
}

/// What is wrong with a string's description where its stiffness is; it ties bending to stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wrong {
    /// The size of what carries the load, its shape being right: A goes as the square of the size and I as its fourth power, so E I
    /// goes as E A squared.
    Size,
    /// Its modulus: E I goes as E A.
    Modulus,
}

impl Wrong {
    /// Both factors, where stretch stiffness is wrong by the factor `axial`, no unit, positive.
    #[must_use]
    pub fn factors<R: Real>(self, axial: R) -> Factors<R> {
        let bending = match self {
            Self::Size => axial * axial,
            Self::Modulus => axial,
        };
        Factors { axial, bending }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Core, CoreShape, Material, Winding, wound};
    use numerics::math;

    #[test]
    fn a_thicker_core_and_a_stiffer_one_are_told_apart_by_their_bending() {
        let built = |size: f64, modulus: f64| {
            let core = Core {
                size,
                shape: CoreShape::Hexagonal,
                material: Material { density: 7.85, modulus },
            };
            wound(1.35, core, Winding { density: 8.8 }).unwrap().stiffness
        };
        let same = |left: Stiffness, right: Stiffness| match (left, right) {
            (Stiffness::Elastic { axial: a, bending: b }, Stiffness::Elastic { axial: c, bending: d }) => {
                assert!((a / c - 1.0).abs() < 1e-12 && (b / d - 1.0).abs() < 1e-12);
            }
            _ => panic!("built of parts"),
        };
        let start = built(0.45, 200.0);
        same(
            start.factored(Wrong::Size.factors(math::powi(1.05f64, 2))),
            built(0.45 * 1.05, 200.0),
        );
        same(start.factored(Wrong::Modulus.factors(1.05)), built(0.45, 210.0));
    }

    #[test]
    fn a_measured_string_keeps_bending_apart_from_stretch() {
        let start = Stiffness::from_response(25.0);
        let Stiffness::Measured { kappa, bending } = start.factored(Wrong::Size.factors(1.2)) else {
            panic!("measured");
        };
        // B0 squared goes as kappa times bending: by the square of the factor.
        assert!((kappa / 51.0 - 1.2).abs() < 1e-12 && (kappa * bending / 51.0 - 1.44).abs() < 1e-12);
        assert_eq!(
            start.scaled(1.2),
            Stiffness::Measured {
                kappa: 1.2 * 51.0,
                bending: 1.0
            }
        );
    }
}
