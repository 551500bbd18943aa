//! Lengths and cents as the page shows them. All rounding and conversion is in `units`.

use maud::{Markup, html};
use units::BenchUnit;

/// A length in both units, the bench's own first and larger.
#[must_use]
pub fn both(bench: BenchUnit, mm: f64) -> Markup {
    html! { span.n { (bench.number(mm)) } " " span.o { (bench.other().number(mm)) } }
}

/// As [`both`]; a dash where there is none.
#[must_use]
pub fn maybe(bench: BenchUnit, mm: Option<f64>) -> Markup {
    mm.map_or_else(|| html! { span.n { "–" } }, |mm| both(bench, mm))
}

/// A length with both units in words: `94.5 thou (2.40 mm)`.
#[must_use]
pub fn length(bench: BenchUnit, mm: f64) -> String {
    format!("{} ({})", bench.show(mm), bench.other().show(mm))
}

/// Cents with one decimal and a sign.
#[must_use]
pub fn cents(value: f64) -> String {
    numerics::signed(value, 1)
}

/// Both unit names for the head of a column.
#[must_use]
pub fn heads(bench: BenchUnit) -> String {
    format!("{}, {}", bench.name(), bench.other().name())
}

/// As [`heads`], for a table with a column of actions, which some benches read in a unit of its own.
#[must_use]
pub fn heads_and_action(bench: BenchUnit) -> String {
    let action = bench.action().name();
    if action == bench.name() {
        heads(bench)
    } else {
        format!("{}; action in {action}", heads(bench))
    }
}

/// A length as [`both`] shows it, with how far it moved from where it `was`, if that can be seen.
#[must_use]
pub fn moved(bench: BenchUnit, mm: f64, was: Option<f64>) -> Markup {
    let by = was
        .filter(|was| bench.number(*was) != bench.number(mm))
        .map(|was| mm - was)
        // Two figures that are rounded apart may lie together.
        .filter(|by| bench.number(*by) != bench.number(0.0));
    html! { (both(bench, mm)) @if let Some(by) = by { " " span.moved { (bench.signed(by)) } } }
}

/// Cents with how far they moved.
#[must_use]
pub fn moved_cents(value: f64, was: Option<f64>) -> Markup {
    let by = was.filter(|was| cents(*was) != cents(value)).map(|was| value - was);
    html! { span.n { (cents(value)) } @if let Some(by) = by { " " span.moved { (cents(by)) } } }
}
