//! Slots and the strings that run in them.

use nut::{NutPlan, NutString, OpenString};

/// Slots beside their strings, bass to treble.
pub(super) fn pairs(nut: &NutPlan) -> impl Iterator<Item = (&NutString, &OpenString)> + Clone {
    nut.strings.iter().zip(&nut.lines)
}

/// A saddle that stays: the strings are known as they stand now.
pub(super) fn saddle_stays(nut: &NutPlan) -> bool {
    nut.lines.iter().any(|line| line.now.is_some())
}
