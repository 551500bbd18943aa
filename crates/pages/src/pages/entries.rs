//! What a job has beside its survey: readings taken again, readings that do not count, other tunings, single strings, several saddles.

use job::{EntryAbout, EntryKind, FormField, FormTake, FormTyped, entries, entry_fields};
use maud::{Markup, html};

use super::{Tab, frame, opened, steps, to};
use crate::bench::Bench;
use crate::desk::Opened;
use crate::talk::{Ask, Reply};

/// Most values of an entry that its line in the list names.
const NAMED: usize = 6;

/// What a kind is called on the pages.
pub(super) struct KindWords {
    /// Its heading.
    pub(super) title: &'static str,
    /// One of them, in a sentence.
    pub(super) one: &'static str,
    /// What it is for.
    pub(super) intro: &'static str,
    /// The button that adds one.
    pub(super) add: &'static str,
}

/// The words of a kind.
pub(super) const fn words(kind: EntryKind) -> KindWords {
    match kind {
        EntryKind::Round => KindWords {
            title: "Read again",
            one: "a round of readings",
            intro: "Readings besides the survey, taken again or in another way. A round is one tool at one sitting. The plan goes by the instrument that agrees best with all of them.",
            add: "Add a round",
        },
        EntryKind::Doubt => KindWords {
            title: "Not believed",
            one: "what does not count",
            intro: "Readings of the survey that do not count. They stay as they were typed, and can be believed again.",
            add: "Say what does not count",
        },
        EntryKind::Tuning => KindWords {
            title: "Other tunings and sets",
            one: "another tuning or set",
            intro: "What the same saddle shall serve besides. The plan then says what each of them loses.",
            add: "Add a tuning or a set",
        },
        EntryKind::String => KindWords {
            title: "Single strings",
            one: "a string of its own",
            intro: "Where a string is otherwise than the set has it: its core by micrometer, another gauge or material.",
            add: "",
        },
        EntryKind::Saddle => KindWords {
            title: "Several saddles",
            one: "one of several saddles",
            intro: "Where some strings stand on one saddle and the rest on another, each in its own slot. What they have in common stands in the survey; what is one saddle's own stands here.",
            add: "Add a saddle",
        },
    }
}

/// Numbers and notes of the job's strings, bass to treble; notes as far as they are known.
pub(super) fn strings(opened: &Opened) -> Vec<(u32, String)> {
    if let Some(done) = &opened.judged.done {
        let strings = done.job.instrument.strings.iter();
        return strings.map(|string| (string.number, string.note.clone())).collect();
    }
    let count = opened.interview.as_ref().and_then(|interview| interview.string_count());
    (1..=count.unwrap_or(0))
        .rev()
        .map(|number| (number, String::new()))
        .collect()
}

/// What forms of this job have to know of it.
pub(super) fn about<'a>(opened: &'a Opened, strings: &'a [(u32, String)]) -> EntryAbout<'a> {
    EntryAbout {
        strings,
        profiles: &opened.stocked.profiles,
    }
}

/// Where the form of one is, or of a new one.
pub(super) fn there(opened: &Opened, kind: EntryKind, at: Option<u32>) -> String {
    let at = at.map_or_else(String::new, |at| format!("&at={at}"));
    format!("{}?of={}{at}", to(&opened.name, "entry"), kind.key())
}

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let main = html! {
        div.title-row.tight { p.where { a href=(to(&opened.name, "survey")) { "To “Survey”" } } (steps(bench, &opened, "more")) }
        h1 { "Beside the survey" }
        p.how { "Nothing of this is needed. It is for who read more than the survey asks, or has more than one set or saddle." }
        nav.jump aria-label="On this page" { ul { @for kind in EntryKind::ALL { li { a href={ "#" (kind.key()) } { (words(kind).title) } } } } }
        @for kind in EntryKind::ALL {
            section aria-labelledby=(kind.key()) {
                h2 id=(kind.key()) { (words(kind).title) }
                p.how { (words(kind).intro) }
                (of_kind(&opened, kind))
            }
        }
    };
    Reply::Page(
        200,
        frame(bench, "Beside the survey", Some((&opened, Tab::Survey)), &main),
    )
}

fn of_kind(opened: &Opened, kind: EntryKind) -> Markup {
    let strings = strings(opened);
    let about = about(opened, &strings);
    let there_are = entries(&opened.text, kind, &about);
    if kind == EntryKind::String {
        return each_string(opened, &strings, &about, &there_are);
    }
    let add = (kind != EntryKind::Doubt || there_are.is_empty()).then(|| words(kind).add);
    html! {
        @if there_are.is_empty() { p.how { "None." } } @else {
            ul.jobs.list { @for (at, typed) in &there_are {
                li {
                    span { (told(kind, &about, typed)) }
                    span.small { a.act href=(there(opened, kind, Some(*at))) aria-label={ "Change " (words(kind).one) ", " (at) } { "Change" } }
                }
            } }
        }
        @if let Some(add) = add { p { a.button.quiet href=(there(opened, kind, None)) { (add) } } }
    }
}

/// The strings, each with what it has of its own.
fn each_string(opened: &Opened, strings: &[(u32, String)], about: &EntryAbout, own: &[(u32, FormTyped)]) -> Markup {
    html! {
        @if strings.is_empty() { p.how { "Say first which strings there are." } }
        ul.jobs.list { @for (number, note) in strings {
            @let typed = own.iter().find(|(at, _)| at == number).map(|(_, typed)| typed);
            li {
                span { (number) " " (note) @if let Some(typed) = typed { ": " (told(EntryKind::String, about, typed)) } }
                span.small { a.act href=(there(opened, EntryKind::String, Some(*number))) aria-label={ "Change string " (number) } { "Change" } }
            }
        } }
    }
}

/// An entry in a line: what it has, as it was typed.
pub(super) fn told(kind: EntryKind, about: &EntryAbout, typed: &FormTyped) -> String {
    let fields = entry_fields(kind, about, typed);
    let given: Vec<&FormField> = fields
        .iter()
        .filter(|field| !typed.get(&field.key).is_empty())
        .collect();
    let mut parts: Vec<String> = Vec::new();
    let mut last = "";
    for field in given.iter().take(NAMED) {
        let value = shown(field, typed.get(&field.key));
        match (field.group.as_str(), kind) {
            ("", EntryKind::Saddle) => parts.push(value),
            ("", _) => parts.push(format!("{}: {value}", field.title)),
            (group, _) if group == last => {
                if let Some(part) = parts.last_mut() {
                    part.push_str(&format!(", {} {value}", field.title));
                }
            }
            (group, _) => parts.push(format!("{group}: {} {value}", field.title)),
        }
        last = &field.group;
    }
    let more = given.len().saturating_sub(NAMED);
    let more = if more > 0 {
        format!("; {more} more")
    } else {
        String::new()
    };
    format!("{}{more}", parts.join("; "))
}

/// What stands in a field, as its form shows it.
fn shown(field: &FormField, text: &str) -> String {
    match &field.take {
        FormTake::Choice(list) => {
            let found = list.iter().find(|(value, _)| value == text);
            found.map_or_else(|| text.to_owned(), |(_, shown)| shown.clone())
        }
        take if take.unit().is_empty() => text.to_owned(),
        take => format!("{text} {}", take.unit()),
    }
}

/// A way to what there is of a kind, with how much that is.
pub(super) fn link(opened: &Opened, kind: EntryKind) -> Markup {
    let strings = strings(opened);
    let count = entries(&opened.text, kind, &about(opened, &strings)).len();
    html! {
        a href={ (to(&opened.name, "more")) "#" (kind.key()) } { (words(kind).title.to_lowercase()) }
        @if count > 0 { " (" (count) ")" }
    }
}

/// Ways to all of it.
pub(super) fn links(opened: &Opened) -> Markup {
    html! {
        p.small {
            "Beside the survey: "
            @for (i, kind) in EntryKind::ALL.into_iter().enumerate() { @if i > 0 { ", " } (link(opened, kind)) }
            "."
        }
    }
}

/// What a problem of something here is called, and where it is mended.
pub(super) fn of_problem(opened: &Opened, field: &str) -> Option<(String, Option<String>)> {
    let list = |kind: EntryKind| format!("{}#{}", to(&opened.name, "more"), kind.key());
    EntryKind::ALL.into_iter().find_map(|kind| {
        let rest = field.strip_prefix(kind.key())?;
        let of = match (kind, rest.split_once(']')) {
            (_, None) if rest.is_empty() || kind == EntryKind::Doubt && rest.starts_with('.') => list(kind),
            (EntryKind::String, Some(_)) if rest.starts_with('[') => list(kind),
            (_, Some((at, _))) => there(opened, kind, Some(at.strip_prefix('[')?.parse().ok()?)),
            _ => return None,
        };
        Some((words(kind).title.to_owned(), Some(of)))
    })
}
