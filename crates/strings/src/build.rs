//! A string's properties from what it is made of.

use crate::{Stiffness, StringModel};
use numerics::math;
use std::f64::consts::PI;
use thiserror::Error;

/// Square root of three.
const SQRT_3: f64 = 1.732_050_807_568_877_2;

/// What a core or a plain string is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Density, g/cm3.
    pub density: f64,
    /// Young's modulus, GPa.
    pub modulus: f64,
}

impl Material {
    /// Music wire: 7.85 g/cm3 and 200 GPa. Common values for high-carbon steel wire, from memory of handbook tables.
    pub const STEEL: Self = Self {
        density: 7.85,
        modulus: 200.0,
    };
}

/// Cross-section of a core.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoreShape {
    /// Round; its size is the diameter.
    Round,
    /// Hexagonal; its size is measured across the flats.
    Hexagonal,
}

/// Core of a wound string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Core {
    /// Diameter (round) or width across flats (hexagonal), mm.
    pub size: f64,
    /// Cross-section.
    pub shape: CoreShape,
    /// What it is made of.
    pub material: Material,
}

impl Core {
    /// Cross-section area, mm2.
    #[must_use]
    pub fn area(&self) -> f64 {
        match self.shape {
            CoreShape::Round => PI * math::powi(self.size, 2) / 4.0,
            CoreShape::Hexagonal => 0.5 * SQRT_3 * math::powi(self.size, 2),
        }
    }

    /// Second moment of area, mm4.
    #[must_use]
    pub(crate) fn second_moment(&self) -> f64 {
        match self.shape {
            CoreShape::Round => PI * math::powi(self.size, 4) / 64.0,
            CoreShape::Hexagonal => 5.0 * SQRT_3 / 144.0 * math::powi(self.size, 4),
        }
    }

    /// Diameter that the wrap lies on, mm: across the corners of a hexagonal core.
    #[must_use]
    pub(crate) fn wrapped_diameter(&self) -> f64 {
        match self.shape {
            CoreShape::Round => self.size,
            CoreShape::Hexagonal => 2.0 * self.size / SQRT_3,
        }
    }

    /// Axial stiffness E A in N and bending stiffness E I in N mm2.
    fn stiffness(&self) -> Stiffness {
        // GPa is kN/mm2.
        let modulus = 1000.0 * self.material.modulus;
        Stiffness::Elastic {
            axial: modulus * self.area(),
            bending: modulus * self.second_moment(),
        }
    }
}

/// Close single wrap of round wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Winding {
    /// Density of the wrap wire, g/cm3.
    pub density: f64,
}

/// Why a string cannot be built from its parts.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BuildError {
    /// A size, density or modulus is zero, negative or not finite.
    #[error("a size, density or modulus of the string is not a positive number")]
    NotPositive,
    /// The core, mm, leaves no room for a wrap within the gauge, mm.
    #[error("a core {core:.3} mm thick leaves no room for a wrap in a string of {gauge:.3} mm")]
    NoRoomForWrap {
        /// Wrapped diameter of the core, mm.
        core: f64,
        /// Outer diameter, mm.
        gauge: f64,
    },
}

fn positive(values: &[f64]) -> Result<(), BuildError> {
    if values.iter().all(|v| v.is_finite() && *v > 0.0) {
        Ok(())
    } else {
        Err(BuildError::NotPositive)
    }
}

/// A plain string of `diameter` mm.
///
/// # Errors
/// [`BuildError::NotPositive`].
pub fn plain(diameter: f64, material: Material) -> Result<StringModel, BuildError> {
    positive(&[diameter, material.density, material.modulus])?;
    let core = Core {
        size: diameter,
        shape: CoreShape::Round,
        material,
    };
    Ok(StringModel {
        outer_diameter: diameter,
        linear_density: material.density * core.area(),
        stiffness: core.stiffness(),
    })
}

/// A wound string of outer diameter `gauge` mm. The core carries the load.
///
/// Linear density of a close wrap of wire w on diameter d: `rho_c A + rho_w (pi^2/4) w (d + w)`, one turn of wire of
/// section `pi w^2/4` and length `pi (d + w)` each w along the string.
///
/// # Errors
/// [`BuildError`].
pub fn wound(gauge: f64, core: Core, winding: Winding) -> Result<StringModel, BuildError> {
    positive(&[
        gauge,
        core.size,
        core.material.density,
        core.material.modulus,
        winding.density,
    ])?;
    let d = core.wrapped_diameter();
    let w = 0.5 * (gauge - d);
    if w <= 0.0 {
        return Err(BuildError::NoRoomForWrap { core: d, gauge });
    }
    Ok(StringModel {
        outer_diameter: gauge,
        linear_density: core.material.density * core.area() + winding.density * PI * PI / 4.0 * w * (d + w),
        stiffness: core.stiffness(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hexagonal_core_against_its_definition() {
        // Area and second moment of a regular hexagon as six triangles: A = 3/2 sqrt3 a^2, I = 5 sqrt3/16 a^4 with side a.
        let f = 0.4f64;
        let a = f / SQRT_3;
        let core = Core {
            size: f,
            shape: CoreShape::Hexagonal,
            material: Material::STEEL,
        };
        assert!((core.area() - 1.5 * SQRT_3 * a * a).abs() < 1e-15);
        assert!((core.second_moment() - 5.0 * SQRT_3 / 16.0 * math::powi(a, 4)).abs() < 1e-15);
        assert!((core.wrapped_diameter() - 2.0 * a).abs() < 1e-15);
    }

    #[test]
    fn wrap_is_the_volume_of_a_coil() {
        let core = Core {
            size: 0.45,
            shape: CoreShape::Round,
            material: Material::STEEL,
        };
        let string = wound(1.35, core, Winding { density: 8.8 }).unwrap();
        let (d, w) = (0.45, 0.45);
        let turn = PI * w * w / 4.0 * PI * (d + w); // mm3 in each w of length
        let want = 7.85 * PI * d * d / 4.0 + 8.8 * turn / w;
        assert!((string.linear_density - want).abs() < 1e-12);
    }

    #[test]
    fn refuses_a_core_thicker_than_the_string() {
        let core = Core {
            size: 0.5,
            shape: CoreShape::Hexagonal,
            material: Material::STEEL,
        };
        assert!(matches!(
            wound(0.55, core, Winding { density: 8.8 }),
            Err(BuildError::NoRoomForWrap { .. })
        ));
        assert_eq!(plain(0.0, Material::STEEL), Err(BuildError::NotPositive));
        assert_eq!(plain(f64::NAN, Material::STEEL), Err(BuildError::NotPositive));
    }
}
