//! What the cautions for a blank depend on.

use job::{BlankMaterial, Dust};

/// What the cautions for a blank depend on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Hazards {
    /// A plastic or resin-bound blank, which softens with heat.
    pub synthetic: bool,
    /// Its material may be protected by law.
    pub check_law: bool,
    /// The job accepts more pressure on the front wall than is safe.
    pub front_wall_accepted: bool,
    /// The job accepts less of the saddle in the slot than is safe.
    pub slot_accepted: bool,
}

impl Hazards {
    /// Those of a material.
    #[must_use]
    pub fn of(material: &BlankMaterial) -> Self {
        Self {
            synthetic: material.dust == Dust::Synthetic,
            check_law: material.check_law,
            ..Self::default()
        }
    }

    /// Those of two blanks on one bench.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            synthetic: self.synthetic || other.synthetic,
            check_law: self.check_law || other.check_law,
            front_wall_accepted: self.front_wall_accepted || other.front_wall_accepted,
            slot_accepted: self.slot_accepted || other.slot_accepted,
        }
    }
}
