//! The fields of what a job has beside its survey, by what they belong to; what stands folded, and what open.

use job::{EntryKind, FormField, FormTyped};
use maud::{Markup, html};

use super::form::{FormSaid, one};

/// What the fields are called together that say how a round was taken.
const HOW_READ: &str = "How it was read";

/// Fields that belong together, and what they are called together.
type Group<'a> = (String, Vec<&'a FormField>);

/// The form's fields. `is_asked` tells of a field that stands open with nothing in it: what of a round was chosen to be read, what of the
/// survey is there to be doubted.
pub(super) fn fields(
    kind: EntryKind,
    fields: &[FormField],
    typed: &FormTyped,
    faults: &[FormSaid],
    is_asked: &dyn Fn(&str) -> bool,
) -> Markup {
    let is_open = |group: &&Group| {
        group.1.iter().any(|field| {
            !typed.get(&field.key).is_empty() || is_asked(&field.key) || faults.iter().any(|said| said.key == field.key)
        })
    };
    match kind {
        EntryKind::Round => {
            let (how, read): (Vec<Group>, Vec<Group>) = grouped(fields)
                .into_iter()
                .partition(|(title, fields)| title.is_empty() && !fields.iter().any(|field| is_reading(&field.key)));
            let (open, folded): (Vec<_>, Vec<_>) = read.iter().partition(is_open);
            let how = (
                HOW_READ.to_owned(),
                how.into_iter().flat_map(|(_, fields)| fields).collect(),
            );
            html! {
                @for group in &open { (block(group, typed, faults)) }
                @if !open.is_empty() { (block(&how, typed, faults)) }
                details.usual open[open.is_empty()] {
                    summary { @if open.is_empty() { "What was read: open it" } @else { "More that was read in the same round" } }
                    @for group in &folded { details.usual { summary { (title(group)) } (block(group, typed, faults)) } }
                }
                @if open.is_empty() { (block(&how, typed, faults)) }
            }
        }
        EntryKind::Doubt => {
            let groups = grouped(fields);
            let open = groups.iter().filter(is_open);
            html! { @for group in open { (block(group, typed, faults)) } }
        }
        EntryKind::Tuning | EntryKind::String => {
            html! { @for group in &grouped(fields) { (block(group, typed, faults)) } }
        }
        EntryKind::Saddle => {
            let section = |group: &Group| group.0.split(": ").next().unwrap_or_default().to_owned();
            let groups = grouped(fields);
            html! {
                @for part in groups.chunk_by(|a, b| section(a) == section(b)) {
                    @let name = part.first().map(section).unwrap_or_default();
                    @if name.is_empty() { @for group in part { (block(group, typed, faults)) } } @else {
                        @let given = part.iter().flat_map(|(_, fields)| fields).filter(|field| !typed.get(&field.key).is_empty()).count();
                        details.usual open[part.iter().any(|group| is_open(&group))] {
                            summary { (name) @if given > 0 { ": " (given) " of its own" } }
                            @for group in part { @if group.0 == name { @for field in &group.1 { (one(field, typed, faults, true)) } } @else { (block(group, typed, faults)) } }
                        }
                    }
                }
            }
        }
    }
}

/// Whether a field of a round, alone in its group, is a reading, and does not say how it was taken.
fn is_reading(key: &str) -> bool {
    !matches!(key, "with" | "visit" | "doubt" | "sure_to")
}

fn title((group, fields): &Group) -> String {
    match fields.first() {
        Some(field) if group.is_empty() => field.title.clone(),
        _ => group.clone(),
    }
}

/// Fields in a row that belong together; what is alone has no name together.
fn grouped(fields: &[FormField]) -> Vec<Group<'_>> {
    let mut groups: Vec<Group> = Vec::new();
    for field in fields {
        match groups.last_mut() {
            Some((last, list)) if *last == field.group && !field.group.is_empty() => list.push(field),
            _ => groups.push((field.group.clone(), vec![field])),
        }
    }
    groups
}

fn block((group, fields): &Group, typed: &FormTyped, faults: &[FormSaid]) -> Markup {
    // Within a part of a form its own name is enough.
    let name = group.split_once(": ").map_or(group.as_str(), |(_, own)| own);
    let together = fields.len() > 1;
    let how = fields.first().map_or("", |field| field.how);
    let said_of_all = together && fields.iter().skip(1).all(|field| field.how.is_empty());
    html! {
        @if together {
            fieldset {
                legend { (name) }
                @if said_of_all && !how.is_empty() { p.how { (how) } }
                div.together { @for field in fields { (one(field, typed, faults, !said_of_all)) } }
            }
        } @else { @for field in fields { (one(field, typed, faults, true)) } }
    }
}
