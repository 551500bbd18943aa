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

/// A figure in one unit.
pub(super) fn short(quantity: Quantity, value: f64, bench: BenchUnit) -> String {
    match quantity {
        Quantity::Length => bench.show(value),
        _ => figure(quantity, value, bench),
    }
}

/// `at least 63.0 thou (common practice, no source)`; nothing without limits.
pub(super) fn limit(finding: &Finding, bench: BenchUnit) -> Option<String> {
    let show = |b: Bound| short(finding.quantity, b.value, bench);
    let sources = |a: Bound, b: Bound| {
        let (a, b) = (a.source.words(), b.source.words());
        if a == b { a.to_owned() } else { format!("{a}; {b}") }
    };
    Some(match (finding.least, finding.most) {
        (Some(least), Some(most)) => format!(
            "{} ({})",
            range(finding.quantity, least, most, bench),
            sources(least, most)
        ),
        (Some(least), None) => format!("at least {} ({})", show(least), least.source.words()),
        (None, Some(most)) => format!("at most {} ({})", show(most), most.source.words()),
        (None, None) => return None,
    })
}

/// Limits without their source.
pub(super) fn bare_limit(finding: &Finding, bench: BenchUnit) -> String {
    let show = |b: Bound| short(finding.quantity, b.value, bench);
    match (finding.least, finding.most) {
        (Some(least), Some(most)) => range(finding.quantity, least, most, bench),
        (Some(least), None) => format!("at least {}", show(least)),
        (None, Some(most)) => format!("at most {}", show(most)),
        (None, None) => "-".to_owned(),
    }
}

/// `0.100 to 0.650 mm`: the unit once.
fn range(quantity: Quantity, least: Bound, most: Bound, bench: BenchUnit) -> String {
    let number = |b: Bound| match quantity {
        Quantity::Length => bench.number(b.value),
        Quantity::Angle => fixed(b.value.to_degrees(), 1),
        Quantity::Cents => fixed(b.value, 1),
        Quantity::Share => fixed(100.0 * b.value, 0),
    };
    let unit = match quantity {
        Quantity::Length => bench.name(),
        Quantity::Angle => "degrees",
        Quantity::Cents => "cents",
        Quantity::Share => "%",
    };
    format!("{} to {} {unit}", number(least), number(most))
}
