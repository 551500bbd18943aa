//! Compression across the grain of woods that bridges are made of.
//!
//! From the USDA Forest Products Laboratory's Wood Handbook (FPL-GTR-282, chapter 5), at 12 % moisture, as stress at the
//! proportional limit. The handbook could not be read when this was written, so every figure here is `from memory`. For
//! imported woods the handbook has no such column; they take its law for hardwoods by specific gravity ([`GRAVITY_LAW`]).

use numerics::math;
use serde::Serialize;

/// A wood.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Wood {
    /// Trade name.
    pub name: &'static str,
    /// Compression across the grain at the proportional limit, MPa.
    pub compression: f64,
    /// Specific gravity by whose law the figure was come by; `None`: the handbook's own table. Both from memory.
    pub specific_gravity: Option<f64>,
}

/// Factor (MPa) and power of compression across the grain by specific gravity, hardwoods at 12 % moisture: `21.6 G^2.09`.
/// Wood Handbook, chapter 5, functions of specific gravity; from memory.
pub(crate) const GRAVITY_LAW: (f64, f64) = (21.6, 2.09);

const fn table(name: &'static str, compression: f64) -> Wood {
    Wood {
        name,
        compression,
        specific_gravity: None,
    }
}

/// Domestic woods of the handbook's table, MPa.
const TABLE: [Wood; 7] = [
    table("sugar maple", 10.1),
    table("black walnut", 7.0),
    table("black cherry", 4.8),
    table("yellow birch", 6.7),
    table("American beech", 7.0),
    table("white ash", 8.0),
    table("black locust", 12.6),
];

/// Imported woods with their specific gravity at 12 % moisture.
const BY_GRAVITY: [(&str, f64); 5] = [
    ("Indian rosewood", 0.75),
    ("Brazilian rosewood", 0.80),
    ("ebony", 0.90),
    ("mahogany", 0.45),
    ("padauk", 0.64),
];

/// Every wood, by name.
#[must_use]
pub fn woods() -> Vec<Wood> {
    let heavy = BY_GRAVITY.iter().map(|&(name, gravity)| Wood {
        name,
        compression: GRAVITY_LAW.0 * math::powf(gravity, GRAVITY_LAW.1),
        specific_gravity: Some(gravity),
    });
    TABLE.into_iter().chain(heavy).collect()
}

/// The wood of that name.
#[must_use]
pub fn wood(name: &str) -> Option<Wood> {
    woods().into_iter().find(|wood| wood.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The law must pass near the table's own hardwoods, or one of the two is misremembered. Specific gravities at 12 %
    /// from the handbook's table, from memory.
    #[test]
    fn law_and_table_agree() {
        for (name, gravity) in [
            ("sugar maple", 0.63),
            ("black walnut", 0.55),
            ("black cherry", 0.50),
            ("yellow birch", 0.62),
        ] {
            let table = wood(name).unwrap().compression;
            let law = GRAVITY_LAW.0 * math::powf(gravity, GRAVITY_LAW.1);
            assert!((law / table - 1.0).abs() < 0.25, "{name}: {law:.1} against {table}");
        }
    }

    #[test]
    fn names_are_found_and_unique() {
        let all = woods();
        for wood in &all {
            assert_eq!(all.iter().filter(|w| w.name == wood.name).count(), 1);
            assert!(wood.compression > 1.0 && wood.compression < 30.0);
        }
        assert!(wood("plywood").is_none());
    }
}
