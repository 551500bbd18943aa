//! What the pages show of a nut.

use instrument::StrungString;
use maud::{Markup, html};
use nut::OpenString;
use units::BenchUnit;
use work::{NutWork, SlotLeft, SlotRead};

use super::notes::{first, note};
use super::picture;
use crate::figures::{both, heads, heads_and_action, length};
use crate::pictures::nut::front;

fn drawn(nut: &NutWork) -> Markup {
    html! {
        figure {
            (picture(front(nut.plan, nut.job.bench)))
            figcaption { "The nut from the front, as from the frets: floors above the seat. Dashed: the board." }
        }
    }
}

/// The short form beside the survey.
#[must_use]
pub fn brief(nut: &NutWork) -> Markup {
    let notes = report::nut_work_notes(nut, nut.job.bench);
    html! { (first(&notes)) (drawn(nut)) (slots(nut)) (action(nut)) }
}

/// Everything; `beside` a saddle it stands under its own heading.
#[must_use]
pub fn whole(nut: &NutWork, beside: bool) -> Markup {
    let notes = report::nut_work_notes(nut, nut.job.bench);
    html! {
        section aria-labelledby="nut" {
            h2 id="nut" { (if beside { "The nut" } else { "To make" }) }
            div.pictures { (drawn(nut)) }
            (slots(nut))
        }
        section aria-labelledby="nut-plays" { h2 id="nut-plays" { (if beside { "The nut as it will play" } else { "As it will play" }) } (plays(nut)) (action(nut)) }
        section aria-labelledby="nut-notes" {
            h2 id="nut-notes" { (if beside { "Notes on the nut" } else { "Notes" }) }
            @for one in &notes { (note(one)) }
        }
        details { summary { "Every figure of the nut, as the command prints it" } pre tabindex="0" { (report::nut_page(nut, nut.job.bench)) } }
    }
}

fn name(line: &OpenString) -> Markup {
    html! { th scope="row" { (line.number) " " (line.note) } }
}

fn slots(nut: &NutWork) -> Markup {
    let (plan, bench) = (nut.plan, nut.job.bench);
    html! {
        div.scroll tabindex="0" role="region" aria-label="Slots of the nut, string by string" { table {
            caption { "Lengths in " (heads(bench.action())) ". Along: from the bass end of the blank. Floor: above the seat. Stack: feelers on the board that stop the file." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Along" } th scope="col" { "Width" } th scope="col" { "Floor" } th scope="col" { "Stack" } } }
            tbody { @for (s, line) in plan.strings.iter().zip(&plan.lines) { tr {
                (name(line))
                td { (both(bench, s.u)) }
                td { (both(bench, s.width)) }
                td { (both(bench, s.floor)) }
                td { (both(bench, s.stack)) }
            } } }
        } }
    }
}

fn plays(nut: &NutWork) -> Markup {
    let (plan, bench) = (nut.plan, nut.job.bench);
    html! {
        div.scroll tabindex="0" role="region" aria-label="The nut as it will play, string by string" { table {
            caption { "Lengths in " (heads_and_action(bench)) ". A negative setback is toward the bridge." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Gap at 1, open" } th scope="col" { "Held at 3" } th scope="col" { "Action at 12" } th scope="col" { "Setback" } } }
            tbody { @for (s, line) in plan.strings.iter().zip(&plan.lines) { tr {
                (name(line))
                td { (both(bench, s.clearance)) }
                td { (both(bench, s.held_at_3)) }
                td { (both(bench.action(), line.action_12())) }
                td { (both(bench, s.setback)) }
            } } }
        } }
    }
}

/// Over a saddle that stays: the action now and then.
fn action(nut: &NutWork) -> Markup {
    let bench = nut.job.bench;
    let known: Vec<(&OpenString, f64)> = nut
        .plan
        .lines
        .iter()
        .filter_map(|line| Some((line, line.now?.action_12)))
        .collect();
    html! {
        @if !known.is_empty() {
            div.scroll tabindex="0" role="region" aria-label="Action at fret 12, now and then" { table {
                caption { "The saddle stays: action at fret 12 in " (heads(bench.action())) "." }
                thead { tr { th scope="col" { "String" } th scope="col" { "Now" } th scope="col" { "With the new nut" } } }
                tbody { @for (line, now) in &known { tr {
                    (name(line))
                    td { (both(bench.action(), *now)) }
                    td { (both(bench.action(), line.action_12())) }
                } } }
            } }
        }
    }
}

/// What one stroke in a slot does, as the command prints it.
#[must_use]
pub fn filing(nut: &NutWork) -> Markup {
    html! {
        p.how { "What one stroke in a slot does, and from the proud slot to the final one. Nothing here changes the job." }
        pre tabindex="0" { (report::nut_filing_page(&nut.job.title, nut.plan, nut.hazards(), nut.job.bench)) }
    }
}

/// What is left to do in the slots, string by string.
#[must_use]
pub fn left(nut: &NutWork, read: &[StrungString]) -> Markup {
    let slots = nut.slots(read);
    let page = report::nut_fit_page(&nut.job.title, &slots, nut.hazards(), nut.job.bench);
    html! {
        ul.left { @for (line, slot) in nut.plan.lines.iter().zip(&slots.slots) { (card(nut.job.bench, line, *slot)) } }
        @if let Some(left) = report::slots_left(&slots, nut.job.bench) { p { (left) } }
        details { summary { "Every figure of the slots, as the command prints it" } pre tabindex="0" { (page) } }
    }
}

fn card(bench: BenchUnit, line: &OpenString, slot: Option<SlotRead>) -> Markup {
    let left = slot.map(|slot| slot.left);
    let (state, sign, word) = match left {
        None => ("", "–", "gap not read"),
        Some(SlotLeft::Good) => ("kept", "✓", "slot good"),
        Some(SlotLeft::Low(..)) => ("kept", "✓", "low, leave it"),
        Some(SlotLeft::File(_)) => ("doubt", "!", "file the slot"),
        Some(SlotLeft::TooLow(_)) => ("refused", "✕", "slot too low"),
    };
    html! {
        li.card.(state) {
            h3 { (line.number) " " (line.note) span.verdict-word { span.mark aria-hidden="true" { (sign) } " " (word) } }
            @match left {
                Some(SlotLeft::Low(by, _)) => { p { "Gap over fret 1 " strong { (length(bench, by)) } " under the one wanted." } }
                Some(SlotLeft::File(then)) => { p { "Floor down by " strong { (length(bench, then.by)) } ". Action at 12 then: " (length(bench.action(), then.action_12)) "." } }
                Some(SlotLeft::TooLow(then)) => { p { "Fill it, or make the nut again: the floor must come up by " strong { (length(bench, -then.by)) } "." } }
                _ => {}
            }
        }
    }
}
