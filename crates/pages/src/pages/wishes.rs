//! What becomes of wishes that share a line or a contact.

use maud::{Markup, html};
use report::{ACTIONS_WORDS, TUNINGS_WORDS, tuning_head, weight};
use saddle::{StringActions, Tuning, Wishes};
use units::BenchUnit;

use crate::figures::{both, cents, heads};

/// Both tables, as far as there is something to say.
pub(crate) fn wishes(wishes: &Wishes, bench: BenchUnit) -> Markup {
    html! {
        @if !wishes.actions.is_empty() {
            section aria-labelledby="two-frets" {
                h2 id="two-frets" { "Action wished at two frets" }
                p.how { (ACTIONS_WORDS) }
                (actions(&wishes.actions, bench))
            }
        }
        @if !wishes.tunings.is_empty() {
            section aria-labelledby="tunings" {
                h2 id="tunings" { "For every tuning" }
                p.how { (TUNINGS_WORDS) }
                @for tuning in &wishes.tunings { (tuned(tuning)) }
            }
        }
    }
}

fn actions(strings: &[StringActions], bench: BenchUnit) -> Markup {
    let off = |mm: f64| html! { span.n { (bench.signed(mm)) } " " span.o { (bench.other().signed(mm)) } };
    html! {
        div.scroll tabindex="0" role="region" aria-label="Actions wished, string by string" { table {
            caption { "Lengths in " (heads(bench)) "." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Fret" } th scope="col" { "Weight" } th scope="col" { "Wanted" } th scope="col" { "Will be" } th scope="col" { "Off" } } }
            tbody { @for s in strings { @for wish in &s.wishes { tr {
                th scope="row" { (s.number) " " (s.note) }
                td { span.n { (wish.fret) } }
                td { span.n { (weight(wish)) } }
                td { (both(bench, wish.wanted)) }
                td { (both(bench, wish.planned)) }
                td { (off(wish.off)) }
            } } } }
        } }
    }
}

fn tuned(tuning: &Tuning) -> Markup {
    let rms = |value: f64| html! { span.n { (numerics::fixed(value, 1)) } };
    html! {
        div.scroll tabindex="0" role="region" aria-label=(tuning_head(tuning)) { table {
            caption { (tuning_head(tuning)) }
            thead { tr { th scope="col" { "String" } th scope="col" { "Cents at 12" } th scope="col" { "1 to 12" } th scope="col" { "Alone, at 12" } th scope="col" { "1 to 12" } th scope="col" { "Loses" } th scope="col" { "Tension, N" } } }
            tbody { @for s in &tuning.strings { tr {
                th scope="row" { (s.number) " " (s.note) }
                td { span.n { (cents(s.cents_12)) } }
                td { (rms(s.rms_cents)) }
                td { span.n { (cents(s.alone.cents_12)) } }
                td { (rms(s.alone.rms_cents)) }
                td { span.n { (numerics::fixed(s.loses, 1)) } }
                td { (rms(s.tension)) }
            } } }
        } }
    }
}
