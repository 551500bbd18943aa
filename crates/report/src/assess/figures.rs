//! Figures and limits of findings as text.

use crate::figures::{degrees, fixed, length};
use assess::{Bound, Finding, Quantity};
use units::BenchUnit;

/// A figure in its unit, lengths in both.
pub(super) fn figure(quantity: Quantity, value: f64, bench: BenchUnit) -> String {
    match quantity {
        Quantity::Length => length(bench, value),
        Quantity::Angle => degrees(value),
        Quantity::Cents => format!("{} cents", fixed(value, 1)),
        Quantity::Share => format!("{} %", fixed(100.0 * value, 0)),
    }
}

/// A limit in one unit.
fn bound(quantity: Quantity, value: f64, bench: BenchUnit) -> String {
    match quantity {
        Quantity::Length => bench.show(value),
        _ => figure(quantity, value, bench),
    }
}

/// `at least 63.0 thou (common practice, no source)`; nothing without limits.
pub(super) fn limit(finding: &Finding, bench: BenchUnit) -> Option<String> {
    let show = |b: Bound| bound(finding.quantity, b.value, bench);
    let sources = |a: Bound, b: Bound| {
        let (a, b) = (a.source.words(), b.source.words());
        if a == b { a.to_owned() } else { format!("{a}; {b}") }
    };
    Some(match (finding.least, finding.most) {
        (Some(least), Some(most)) => format!("{} to {} ({})", show(least), show(most), sources(least, most)),
        (Some(least), None) => format!("at least {} ({})", show(least), least.source.words()),
        (None, Some(most)) => format!("at most {} ({})", show(most), most.source.words()),
        (None, None) => return None,
    })
}
