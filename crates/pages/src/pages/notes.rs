//! Notes on a plan, as they stand on a page.

use maud::{Markup, html};
use report::Note;
use saddle::Way;

use crate::plain::on_page;

pub(super) fn note(note: &Note) -> Markup {
    html! {
        p { (on_page(&note.text)) }
        @if !note.points.is_empty() { ol { @for point in &note.points { li { (on_page(point)) } } } }
    }
}

/// The ways out that can be tried: their word in addresses, and what they are.
pub(super) const WAYS: [(Way, &str, &str); 2] = [
    (Way::Thicker, "thicker", "a thicker blank in a wider slot"),
    (Way::Slot, "slot", "the slot moved"),
];

/// Strings held at the land, with the ways out, and those that can be `tried`.
pub(super) fn held(notes: &[Note], tries: &[Way]) -> Markup {
    let found = notes.iter().find(|note| note.topic == report::NoteTopic::Held);
    html! {
        @if let Some(found) = found {
            section.held-note aria-label="Held at the land" { h3 { span.tag { "held" } " Not all in tune" } (note(found))
                @if !tries.is_empty() {
                    ul.try { @for (_, word, what) in WAYS.iter().filter(|(way, ..)| tries.contains(way)) { li { a.button.quiet href={ "plan?way=" (word) } { "Try this: " (what) } } } }
                }
            }
        }
    }
}

/// What comes before the part is made, if anything does.
pub(super) fn first(notes: &[Note]) -> Markup {
    html! {
        @for found in notes.iter().filter(|note| note.is_first()) { section.say.doubt aria-label="Before you make it" { strong { "Before you make it. " } (on_page(&found.text)) } }
    }
}

pub(super) fn other_notes(notes: &[Note], id: &str) -> Markup {
    let rest: Vec<&Note> = notes
        .iter()
        .filter(|note| note.topic != report::NoteTopic::Held && !note.is_first())
        .collect();
    html! {
        @if !rest.is_empty() {
            section aria-labelledby=(id) { h2 id=(id) { "Notes" } @for one in rest { (note(one)) } }
        }
    }
}
