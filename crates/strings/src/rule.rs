//! What a wound string is likely to be where nothing but its gauge is known.

use crate::{CoreShape, Stiffness, StringModel};
use numerics::math;

/// Smallest and largest gauge of a nylon-cored string that [`on_nylon`] answers for, mm: the published gauges, a quarter further.
pub const NYLON_GAUGES: (f64, f64) = (0.59, 1.37);

/// Size of the steel core of a wound string of outer diameter `gauge` mm, in mm: across the flats of a hexagonal core; the diameter of a
/// round one is that of the same area.
///
/// `0.22 + 0.175 gauge`, a line through the 19 wound gauges of this program's bronze and nickel sets, 0.51 to 1.42 mm, whose cores are
/// from memory: they lie within 6 % of it, 2.5 % in the root mean square. Cores of one gauge differ by some 7 % from maker to maker (from memory),
/// and the low E of the bronze sets is probably 2 to 6 % too thick: sure to a tenth of itself, so stretch stiffness to a fifth.
#[must_use]
pub fn steel_core(gauge: f64, shape: CoreShape) -> f64 {
    let flats = 0.22 + 0.175 * gauge;
    match shape {
        CoreShape::Hexagonal => flats,
        CoreShape::Round => flats * (2.0 * 3f64.sqrt() / std::f64::consts::PI).sqrt(),
    }
}

/// A string of outer diameter `gauge` mm, wound with silver-plated copper on nylon; `None` outside [`NYLON_GAUGES`].
///
/// Linear density `4.38 gauge^2.65` g/m (gauge in mm), a power law through the three wound strings of M. B. Anderson and R. G. Beausoleil,
/// J. Acoust. Soc. Am. 156(1), 683 (2024), within 2.3 % of each; stretch response 25, their mean, of 22.5 to 28.6. Stretch stiffness is sure to
/// a fifth: they differ by an eighth, sets by some more (from memory).
#[must_use]
pub fn on_nylon(gauge: f64) -> Option<StringModel> {
    let (least, most) = NYLON_GAUGES;
    (least..=most).contains(&gauge).then(|| StringModel {
        outer_diameter: gauge,
        linear_density: 4.38 * math::powf(gauge, 2.65),
        stiffness: Stiffness::from_response(25.0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Core, Material};

    /// Wound strings of the paper's set: gauge mm, linear density g/m.
    const PUBLISHED: [(f64, f64); 3] = [(0.736, 1.920), (0.890, 3.289), (1.092, 5.470)];

    #[test]
    fn the_nylon_rule_meets_the_published_set_and_no_more() {
        for (gauge, density) in PUBLISHED {
            let found = on_nylon(gauge).unwrap().linear_density;
            assert!((found / density - 1.0).abs() < 0.025, "{gauge}: {found}");
        }
        for gauge in [0.0, 0.58, 1.38, f64::NAN, f64::INFINITY] {
            assert_eq!(on_nylon(gauge), None);
        }
    }

    #[test]
    fn a_round_core_by_the_rule_carries_as_much_as_a_hexagonal_one() {
        let area = |shape| {
            Core {
                size: steel_core(1.0, shape),
                shape,
                material: Material::STEEL,
            }
            .area()
        };
        assert!((area(CoreShape::Round) / area(CoreShape::Hexagonal) - 1.0).abs() < 1e-12);
    }
}
