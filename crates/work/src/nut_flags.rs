//! How much the flags of a nut's plan matter.

use nut::Flag;

use crate::{NutWork, Severity};

/// How much a flag matters: a nut without a slot, with a floor in the board, or higher than its blank cannot be made.
#[must_use]
pub fn flag_severity(flag: &Flag) -> Severity {
    match flag {
        Flag::NoSlot { .. } | Flag::BelowBoard { .. } | Flag::Low(_) => Severity::Stop,
        Flag::Deep { .. }
        | Flag::ThinWall { .. }
        | Flag::Bearing { .. }
        | Flag::EdgeOnly { .. }
        | Flag::Edge { .. }
        | Flag::Bend { .. }
        | Flag::Short(_)
        | Flag::Shelf(_) => Severity::Mind,
    }
}

impl NutWork<'_> {
    /// Whether this nut is not to be made as planned.
    #[must_use]
    pub fn stops(&self) -> bool {
        self.plan
            .flags
            .iter()
            .any(|flag| flag_severity(flag) <= Severity::Unsafe)
    }
}
