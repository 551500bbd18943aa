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

/// A way out that can be tried.
pub(super) struct TriedWay {
    pub(super) way: Way,
    /// Its word in addresses.
    pub(super) word: &'static str,
    /// What it is.
    pub(super) what: &'static str,
    /// What to do once it is done.
    pub(super) then: &'static str,
}

/// Where a slot that is cut again is read.
const SLOT: &str = "When the slot is cut so, read it again: the survey's stations “The slot” and “The new saddle”.";

/// The ways out that can be tried.
pub(super) const WAYS: [TriedWay; 3] = [
    TriedWay {
        way: Way::Thicker,
        word: "thicker",
        what: "a thicker blank in a wider slot",
        then: SLOT,
    },
    TriedWay {
        way: Way::Slot,
        word: "slot",
        what: "the slot moved",
        then: SLOT,
    },
    TriedWay {
        way: Way::Nut,
        word: "nut",
        what: "the nut set so",
        then: "When the nut is set so, say it in the survey, string by string: “Nut contact behind fret 0”, at the station “Over the frets”.",
    },
];

/// Strings held at the land, with the ways out, and those that can be `tried`.
pub(super) fn held(notes: &[Note], tries: &[Way]) -> Markup {
    let found = notes.iter().find(|note| note.topic == report::NoteTopic::Held);
    html! {
        @if let Some(found) = found {
            section.held-note aria-label="Held at the land" { h3 { span.tag { "held" } " Not all in tune" } (note(found))
                @if !tries.is_empty() {
                    ul.try { @for one in tries.iter().filter_map(|way| WAYS.iter().find(|one| one.way == *way)) { li { a.button.quiet href={ "plan?way=" (one.word) } { "Try this: " (one.what) } } } }
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
