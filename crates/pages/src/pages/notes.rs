//! Notes on a plan, as they stand on a page.

use maud::{Markup, html};
use report::Note;

pub(super) fn note(note: &Note) -> Markup {
    html! {
        p { (note.text) }
        @if !note.points.is_empty() { ol { @for point in &note.points { li { (point) } } } }
    }
}

/// Strings held at the land, with the ways out.
pub(super) fn held(notes: &[Note]) -> Markup {
    let found = notes.iter().find(|note| note.topic == report::NoteTopic::Held);
    html! {
        @if let Some(found) = found {
            section.held-note aria-label="Held at the land" { h3 { span.tag { "held" } " Not all in tune" } (note(found)) }
        }
    }
}

/// What comes before the part is made, if anything does.
pub(super) fn first(notes: &[Note]) -> Markup {
    html! {
        @for found in notes.iter().filter(|note| note.is_first()) { section.say.doubt aria-label="Before you make it" { strong { "Before you make it. " } (found.text) } }
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
