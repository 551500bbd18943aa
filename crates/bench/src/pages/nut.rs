//! What the pages show of a nut.

use job::Dust;
use maud::{Markup, html};
use nut::OpenString;
use nut::filing::{PresentString, SlotWork};
use report::{Hazards, NoteTopic};
use saddle::StrungString;

use super::notes::note;
use super::picture;
use crate::desk::NutShown;
use crate::figures::{both, heads, length};
use crate::pictures::nut::front;

/// What its cautions depend on.
#[must_use]
pub fn hazards(nut: &NutShown) -> Hazards {
    Hazards {
        synthetic: nut.material.dust == Dust::Synthetic,
        check_law: nut.material.check_law,
    }
}

fn drawn(nut: &NutShown) -> Markup {
    html! {
        figure {
            (picture(front(nut.plan, nut.bench)))
            figcaption { "The nut from the front, as from the frets: floors above the seat. Dashed: the board." }
        }
    }
}

/// The short form beside the survey.
#[must_use]
pub fn brief(nut: &NutShown) -> Markup {
    html! { (drawn(nut)) (slots(nut)) (action(nut)) }
}

/// Everything; `beside` a saddle it stands under its own heading.
#[must_use]
pub fn whole(nut: &NutShown, beside: bool) -> Markup {
    let notes = report::nut_notes(nut.plan, nut.bench);
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
        details { summary { "Every figure of the nut, as the command prints it" } pre tabindex="0" { (page(nut)) } }
    }
}

/// The page that the command prints.
#[must_use]
pub fn page(nut: &NutShown) -> String {
    report::NutPage {
        title: nut.title,
        remarks: nut.remarks,
        nut: nut.plan,
        notes: &report::nut_notes(nut.plan, nut.bench),
        hazards: hazards(nut),
        bench: nut.bench,
    }
    .text()
}

fn name(line: &OpenString) -> Markup {
    html! { th scope="row" { (line.number) " " (line.note) } }
}

fn slots(nut: &NutShown) -> Markup {
    let (plan, bench) = (nut.plan, nut.bench);
    html! {
        div.scroll tabindex="0" role="region" aria-label="Slots of the nut, string by string" { table {
            caption { "Lengths in " (heads(bench)) ". Along: from the bass end of the blank. Floor: above the seat. Stack: feelers on the board that stop the file." }
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

fn plays(nut: &NutShown) -> Markup {
    let (plan, bench) = (nut.plan, nut.bench);
    html! {
        div.scroll tabindex="0" role="region" aria-label="The nut as it will play, string by string" { table {
            caption { "Lengths in " (heads(bench)) ". A negative setback is toward the bridge." }
            thead { tr { th scope="col" { "String" } th scope="col" { "Gap at 1, open" } th scope="col" { "Held at 3" } th scope="col" { "Action at 12" } th scope="col" { "Setback" } } }
            tbody { @for (s, line) in plan.strings.iter().zip(&plan.lines) { tr {
                (name(line))
                td { (both(bench, s.clearance)) }
                td { (both(bench, s.held_at_3)) }
                td { (both(bench, line.action_12())) }
                td { (both(bench, s.setback)) }
            } } }
        } }
    }
}

/// Over a saddle that stays: the action now and then.
fn action(nut: &NutShown) -> Markup {
    let bench = nut.bench;
    let known: Vec<(&OpenString, f64)> = nut
        .plan
        .lines
        .iter()
        .filter_map(|line| Some((line, line.now?.action_12)))
        .collect();
    html! {
        @if !known.is_empty() {
            div.scroll tabindex="0" role="region" aria-label="Action at fret 12, now and then" { table {
                caption { "The saddle stays: action at fret 12 in " (heads(bench)) "." }
                thead { tr { th scope="col" { "String" } th scope="col" { "Now" } th scope="col" { "With the new nut" } } }
                tbody { @for (line, now) in &known { tr {
                    (name(line))
                    td { (both(bench, *now)) }
                    td { (both(bench, line.action_12())) }
                } } }
            } }
        }
    }
}

/// What one stroke in a slot does, as the command prints it.
#[must_use]
pub fn filing(nut: &NutShown) -> Markup {
    html! {
        p.how { "What one stroke in a slot does, and from the proud slot to the final one. Nothing here changes the job." }
        pre tabindex="0" { (report::nut_filing_page(nut.title, nut.plan, hazards(nut), nut.bench)) }
    }
}

/// What is left to do in the slots, string by string.
#[must_use]
pub fn left(nut: &NutShown, read: &[StrungString]) -> Markup {
    let page = report::nut_fit_page(nut.title, nut.plan, read, hazards(nut), nut.bench);
    html! {
        ul.left { @for (line, read) in nut.plan.lines.iter().zip(read) { (card(nut, line, read)) } }
        details { summary { "Every figure of the slots, as the command prints it" } pre tabindex="0" { (page) } }
    }
}

fn card(nut: &NutShown, line: &OpenString, read: &StrungString) -> Markup {
    let bench = nut.bench;
    let verdict = read.clearance.map(|clearance| {
        let standing = PresentString::read(line, clearance, read.action_12.unwrap_or_else(|| line.action_12()));
        standing.verdict(line.action_1())
    });
    let (state, sign, word) = match verdict {
        None => ("", "–", "gap not read"),
        Some(SlotWork::Good) => ("kept", "✓", "slot good"),
        Some(SlotWork::File(_)) => ("doubt", "!", "file the slot"),
        Some(SlotWork::TooLow(_)) => ("refused", "✕", "slot too low"),
    };
    html! {
        li.card.(state) {
            h3 { (line.number) " " (line.note) span.verdict-word { span.mark aria-hidden="true" { (sign) } " " (word) } }
            @match verdict {
                Some(SlotWork::File(then)) => { p { "Floor down by " strong { (length(bench, then.by)) } ". Action at 12 then: " (length(bench, then.action_12)) "." } }
                Some(SlotWork::TooLow(then)) => { p { "Fill it, or make the nut again: the floor must come up by " strong { (length(bench, -then.by)) } "." } }
                _ => {}
            }
        }
    }
}

/// The order of work, as points.
#[must_use]
pub fn order(nut: &NutShown) -> Vec<String> {
    let notes = report::nut_notes(nut.plan, nut.bench);
    let order = notes.into_iter().find(|note| note.topic == NoteTopic::OrderOfWork);
    order.map_or_else(Vec::new, |note| note.points)
}
