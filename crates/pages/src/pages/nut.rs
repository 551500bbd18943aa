//! What the pages show of a nut.

use instrument::StrungString;
use maud::{Markup, html};
use nut::{NutPlan, OpenString};
use units::BenchUnit;
use work::{NutWork, SlotLeft, SlotRead};

use super::notes::{first, note};
use super::picture;
use crate::figures::{both, heads, heads_and_action, length, moved};
use crate::pictures::nut::front;

fn drawn(nut: &NutWork, was: Option<&NutPlan>) -> Markup {
    html! {
        figure {
            (picture(front(nut.plan, nut.job.bench, was)))
            figcaption { "The nut from the front, as from the frets: floors above the seat. Dashed: the board." }
        }
    }
}

/// The short form beside the survey; pale, and by how much it moved, as it `was` before a change.
#[must_use]
pub fn brief(nut: &NutWork, was: Option<&NutPlan>) -> Markup {
    let notes = report::nut_work_notes(nut, nut.job.bench);
    html! { (first(&notes)) (drawn(nut, was)) (slots(nut, was)) (action(nut, was)) }
}

/// Everything; `beside` a saddle it stands under its own heading. Pale, and by how much it moved, as it `was` before a change.
#[must_use]
pub fn whole(nut: &NutWork, beside: bool, was: Option<&NutPlan>) -> Markup {
    let notes = report::nut_work_notes(nut, nut.job.bench);
    html! {
        section aria-labelledby="nut" {
            h2 id="nut" { (if beside { "The nut" } else { "To make" }) }
            div.pictures { (drawn(nut, was)) }
            (slots(nut, was))
        }
        section aria-labelledby="nut-plays" { h2 id="nut-plays" { (if beside { "The nut as it will play" } else { "As it will play" }) } (plays(nut, was)) (action(nut, was)) }
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

/// What moved since the nut `was` planned otherwise, string by string in words.
pub(super) fn moved_words(nut: &NutWork, was: &NutPlan) -> Vec<String> {
    let bench = nut.job.bench;
    let of_string = nut.plan.strings.iter().filter_map(|s| {
        let old = was.strings.iter().find(|old| old.number == s.number)?;
        let of = |what: &str, now: f64, then: f64| {
            (bench.number(now) != bench.number(then)).then(|| format!("{what} {}", bench.signed(now - then)))
        };
        let all = [
            of("floor up", s.floor, old.floor),
            of("along", s.u, old.u),
            of("setback", s.setback, old.setback),
        ];
        let all: Vec<String> = all.into_iter().flatten().collect();
        (!all.is_empty()).then(|| format!("nut, string {} {}", s.number, all.join(", ")))
    });
    of_string.collect()
}

fn slots(nut: &NutWork, was: Option<&NutPlan>) -> Markup {
    let (plan, bench) = (nut.plan, nut.job.bench);
    html! {
        div.scroll tabindex="0" role="region" aria-label="Slots of the nut, string by string" { table {
            caption { "Lengths in " (heads(bench.action())) ". Along: from the bass end of the blank. Floor: above the seat. Stack: feelers on the board that stop the file." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Along" } th scope="col" { "Width" } th scope="col" { "Floor" } th scope="col" { "Stack" } } }
            tbody { @for (i, (s, line)) in plan.strings.iter().zip(&plan.lines).enumerate() { tr {
                @let old = was.and_then(|was| was.strings.get(i));
                (name(line))
                td { (moved(bench, s.u, old.map(|s| s.u))) }
                td { (moved(bench, s.width, old.map(|s| s.width))) }
                td { (moved(bench, s.floor, old.map(|s| s.floor))) }
                td { (moved(bench, s.stack, old.map(|s| s.stack))) }
            } } }
        } }
    }
}

fn plays(nut: &NutWork, was: Option<&NutPlan>) -> Markup {
    let (plan, bench) = (nut.plan, nut.job.bench);
    html! {
        div.scroll tabindex="0" role="region" aria-label="The nut as it will play, string by string" { table {
            caption { "Lengths in " (heads_and_action(bench)) ". A negative setback is toward the bridge." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Gap at 1, open" } th scope="col" { "Held at 3" } th scope="col" { "Action at 12" } th scope="col" { "Setback" } } }
            tbody { @for (i, (s, line)) in plan.strings.iter().zip(&plan.lines).enumerate() { tr {
                @let old = was.and_then(|was| was.strings.get(i).zip(was.lines.get(i)));
                (name(line))
                td { (moved(bench, s.clearance, old.map(|(s, _)| s.clearance))) }
                td { (moved(bench, s.held_at_3, old.map(|(s, _)| s.held_at_3))) }
                td { (moved(bench.action(), line.action_12(), old.map(|(_, line)| line.action_12()))) }
                td { (moved(bench, s.setback, old.map(|(s, _)| s.setback))) }
            } } }
        } }
    }
}

/// Over a saddle that stays: the action now and then.
fn action(nut: &NutWork, was: Option<&NutPlan>) -> Markup {
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
                    @let old = was.and_then(|was| was.lines.iter().find(|old| old.number == line.number));
                    (name(line))
                    td { (both(bench.action(), *now)) }
                    td { (moved(bench.action(), line.action_12(), old.map(OpenString::action_12))) }
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
