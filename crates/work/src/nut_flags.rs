//! How much the flags of a nut's plan matter.

use nut::Flag;

use crate::{NutWork, Severity};

/// How much a flag matters: a nut without a slot, with a floor in the board, or higher than its blank cannot be made, and one over which a
/// string does not bear at the front edge buzzes and plays out of tune, as one does that touches a fret.
#[must_use]
pub fn flag_severity(flag: &Flag) -> Severity {
    match flag {
        Flag::NoSlot { .. } | Flag::BelowBoard { .. } | Flag::Low(_) | Flag::Bearing { .. } => Severity::Stop,
        Flag::Deep { .. }
        | Flag::ThinWall { .. }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_buzzes_or_cannot_be_made_stops() {
        let string = 1;
        for (flag, severity) in [
            (Flag::NoSlot { string }, Severity::Stop),
            (Flag::BelowBoard { string }, Severity::Stop),
            (Flag::Low(0.1), Severity::Stop),
            (Flag::Bearing { string, needed: 0.005 }, Severity::Stop),
            (Flag::EdgeOnly { string, down: 0.05 }, Severity::Mind),
            (Flag::Deep { string, depth: 2.0 }, Severity::Mind),
            (
                Flag::ThinWall {
                    strings: [2, 1],
                    wall: 0.4,
                },
                Severity::Mind,
            ),
            (Flag::Edge { string, left: 1.0 }, Severity::Mind),
            (Flag::Bend { string, angle: 0.3 }, Severity::Mind),
            (Flag::Short(1.0), Severity::Mind),
            (Flag::Shelf(3.0), Severity::Mind),
        ] {
            assert_eq!(flag_severity(&flag), severity, "{flag:?}");
        }
    }
}
