//! What the pages of the shop have in common: their addresses, which jobs name a thing, and how the file of the shop's own is saved.

use job::{ShopFile, ShopKind, StringSpec, shop_names};
use maud::{Markup, html};
use toml::{Table, Value};

use crate::bench::Bench;
use crate::jobs::StoreError;

/// Where the page is.
pub const SHOP: &str = "/shop";
/// Most jobs, or slips, that are named.
pub(super) const SHOWN: usize = 20;

/// What is said where the file of the shop's own was changed since the page was made.
pub(super) const CHANGED: &str = "What your shop has was changed elsewhere, in another tab or by hand, after this page was opened. Nothing was saved.";

/// An address with a kind and the name of a thing.
pub(super) fn there(page: &str, kind: ShopKind, which: &str, name: &str) -> String {
    let query = form_urlencoded::Serializer::new(String::new())
        .append_pair("kind", kind.key())
        .append_pair(which, name)
        .finish();
    format!("{SHOP}/{page}?{query}")
}

/// Where a kind is on the page.
pub(super) fn at(kind: ShopKind) -> String {
    format!("{SHOP}#{}", kind.key())
}

/// Ways to the page, where lists hold what it has.
#[must_use]
pub fn links(kinds: &[ShopKind]) -> Markup {
    html! {
        p.small {
            "Of your own, in “Your shop”: "
            @for (i, kind) in kinds.iter().enumerate() { @if i > 0 { ", " } a href=(at(*kind)) { (kind.words().1.to_lowercase()) } }
            "."
        }
    }
}

/// The jobs that name a thing, each with a way to it, and what becomes of them when it is `changed`, or else taken away.
pub(super) fn named_by(bench: &Bench, kind: ShopKind, name: &str, changed: bool) -> Markup {
    let store = &bench.desk().store;
    let names = store.names().into_iter();
    let called = called(bench, kind, name);
    let by: Vec<_> = names
        .filter(|job| {
            store
                .read(job)
                .is_ok_and(|text| called.iter().any(|called| names_it(&text, called)))
        })
        .collect();
    let or_set = if called.len() > 1 {
        ", or a string set that has it"
    } else {
        ""
    };
    let is_built_in = shop_names(kind).iter().any(|built_in| built_in == name);
    let jobs = match by.len() {
        0 => format!("No job names it{or_set}."),
        1 => format!("1 job names it{or_set}"),
        more => format!("{more} jobs name it{or_set}"),
    };
    let then = match (changed, is_built_in) {
        (true, false) => ", and goes by what is kept here. Under another name it is not found there.",
        (true, true) => ", and goes by what is kept here. Under another name the built-in one is taken there.",
        (false, true) => "; without it the built-in one of its name is taken there:",
        (false, false) => "; without it nothing is planned there until another is named:",
    };
    html! {
        p { (jobs) @if !by.is_empty() { (then) } }
        @if !by.is_empty() {
            ul { @for job in by.iter().take(SHOWN) { li { a href=(super::to(job, "survey")) { (job) } } } @if by.len() > SHOWN { li { "and " (by.len() - SHOWN) " more" } } }
        }
    }
}

/// What a job may call that goes by a thing: the thing, and of what strings are made of the sets that have it.
fn called(bench: &Bench, kind: ShopKind, name: &str) -> Vec<String> {
    let profiles = &bench.desk().stocked().profiles;
    let has = |string: &StringSpec| match kind {
        ShopKind::StringMaterial => [&string.material, &string.core_material]
            .into_iter()
            .any(|of| of.as_deref() == Some(name)),
        ShopKind::Wrap => string.wrap.as_deref() == Some(name),
        _ => false,
    };
    let sets = profiles
        .string_sets()
        .filter(|set| profiles.string_set(set).is_some_and(|set| set.strings.iter().any(has)));
    std::iter::once(name).chain(sets).map(str::to_owned).collect()
}

/// Whether a job's text has a value of this name, apart from what is written for people.
fn names_it(text: &str, name: &str) -> bool {
    fn has(value: &Value, name: &str) -> bool {
        match value {
            Value::String(text) => text.trim() == name,
            Value::Array(list) => list.iter().any(|value| has(value, name)),
            Value::Table(table) => table.values().any(|value| has(value, name)),
            _ => false,
        }
    }
    // Most jobs do not even hold the word.
    if !text.contains(name) {
        return false;
    }
    let table: Option<Table> = text.parse().ok();
    let values = table.iter().flatten();
    values
        .filter(|(key, _)| !matches!(key.as_str(), "title" | "notes" | "book"))
        .any(|(_, value)| has(value, name))
}

/// Why the file was not saved.
pub(super) enum Unsaved {
    /// It was changed since the page was made.
    Changed,
    /// Something else of it would not hold then.
    Refused(String),
    /// The home of the jobs.
    Store(StoreError),
}

/// Saves the file, if it is still of the version that the page showed, and sound as a whole.
pub(super) fn save(bench: &Bench, version: &str, file: &ShopFile) -> Result<(), Unsaved> {
    let desk = bench.desk();
    let from = desk.stocked().version();
    if from.as_str() != version {
        return Err(Unsaved::Changed);
    }
    let text = file.text();
    if let Err(problems) = desk.with_own(&text) {
        let why: Vec<String> = problems.iter().map(|problem| problem.what().replace('`', "")).collect();
        return Err(Unsaved::Refused(format!(
            "Nothing was saved, since something else of your own would not hold then. {}",
            why.join(" ")
        )));
    }
    match desk.store.save_profiles(&from, &text) {
        Ok(_) => Ok(()),
        Err(StoreError::Changed) => Err(Unsaved::Changed),
        Err(error) => Err(Unsaved::Store(error)),
    }
}

/// A name for one's own that is begun from another, and free.
pub(super) fn proposed(own: &ShopFile, kind: ShopKind, from: &str) -> String {
    let mine = format!("my {}", from.strip_prefix("my ").unwrap_or(from));
    let taken = own.names(kind);
    let numbered = (2..).map(|number| format!("{mine} {number}"));
    std::iter::once(mine.clone())
        .chain(numbered)
        .find(|name| !taken.contains(name))
        .unwrap_or(mine)
}
