//! A job over a zero fret: what cannot stand beside it in other tables.

use crate::fields::f;
use crate::parts::Parts;
use crate::problem::ProblemKind as P;
use crate::table::Table;

/// Refuses a nut that is made, and a setback that is solved for, where the strings rest on a zero fret.
pub(crate) fn check(top: &Table, parts: &Parts) {
    let there = parts.nut_node.as_ref().and_then(|nut| nut.table());
    if there.is_none_or(|nut| nut.get(f!("nut.zero_fret")).is_none()) {
        return;
    }
    if let Some(node) = &parts.nut_blank {
        node.refuse(P::ZeroFretNoNutBlank {});
    }
    let target = top.get(f!("target")).and_then(|node| node.table());
    if parts.with_setback == Some(true)
        && let Some(node) = target.and_then(|table| table.get(f!("target.intonation")))
    {
        node.refuse(P::ZeroFretIntonation {});
    }
}
