//! The old versions of a job: what differs from one to the next, each to be looked at and brought back.

use std::time::SystemTime;

use maud::{Markup, html};

use super::{Tab, frame, hidden, opened, steps, store_trouble, to, unchanged};
use crate::ago::since;
use crate::bench::Bench;
use crate::desk::Opened;
use crate::differs::{Difference, differences};
use crate::jobs::{Old, OldVersion, StoreError};
use crate::notice::Notice;
use crate::talk::{Ask, Reply};

/// Most versions on one page.
const SHOWN: usize = 30;
/// Most differences that are told of one change in the list.
const DIFFERENCES: usize = 6;

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let all = bench.desk().store.versions(&opened.name);
    let of = |kind: Old| -> Vec<OldVersion> { all.iter().copied().filter(|old| old.kind == kind).collect() };
    let (before, undone, aside) = (of(Old::Before), of(Old::Undone), of(Old::Aside));
    let from: usize = ask.fields.text("from").parse().unwrap_or(0).min(before.len());
    let next = from + SHOWN;
    let main = html! {
        div.title-row { h1 { "Old versions" } (steps(bench, &opened, "versions")) }
        p.how { "Every change is kept. What is brought back becomes the newest, and what was there before it stays in this list." }
        @if all.is_empty() { p { "This job was not changed yet." } }
        @if !undone.is_empty() && from == 0 {
            h2 { "Undone, and can be done again" }
            (chain(bench, &opened, &undone, None))
        }
        @if !before.is_empty() {
            h2 { "Changes, the last first" }
            (chain(bench, &opened, before.get(from..).unwrap_or_default(), from.checked_sub(1).and_then(|last| before.get(last))))
            @if next < before.len() { p { a.button.quiet href={ (to(&opened.name, "versions")) "?from=" (next) } { "Older" } } }
        }
        @if !aside.is_empty() && from == 0 {
            h2 { "Undone before something else was changed" }
            p.how { "Each against the job as it is now." }
            (apart(bench, &opened, &aside))
        }
    };
    Reply::Page(200, frame(bench, "Old versions", Some((&opened, Tab::Other)), &main))
}

fn text(bench: &Bench, opened: &Opened, old: &OldVersion) -> Option<String> {
    bench.desk().store.read_version(&opened.name, old.kind, old.number).ok()
}

/// Versions one after the other, each against the one beside it that is nearer to now; the first against `last`, or the job as it is.
fn chain(bench: &Bench, opened: &Opened, versions: &[OldVersion], last: Option<&OldVersion>) -> Markup {
    let mut nearer = last
        .and_then(|last| text(bench, opened, last))
        .unwrap_or_else(|| opened.text.clone());
    let rows = versions.iter().take(SHOWN).filter_map(|old| {
        let text = text(bench, opened, old)?;
        let differs = match old.kind {
            // What doing it again would change.
            Old::Undone => differences(&nearer, &text),
            _ => differences(&text, &nearer),
        };
        nearer = text;
        Some((*old, differs))
    });
    let rows: Vec<(OldVersion, Vec<Difference>)> = rows.filter(|(_, differs)| !differs.is_empty()).collect();
    html! { ul.jobs.list.versions { @for (old, differs) in &rows { (row(bench, opened, old, differs)) } } }
}

fn apart(bench: &Bench, opened: &Opened, versions: &[OldVersion]) -> Markup {
    html! {
        ul.jobs.list.versions {
            @for old in versions.iter().take(SHOWN) {
                @if let Some(text) = text(bench, opened, old) { (row(bench, opened, old, &differences(&opened.text, &text))) }
            }
        }
    }
}

fn row(bench: &Bench, opened: &Opened, old: &OldVersion, differs: &[Difference]) -> Markup {
    let told = told_when(bench, old.when);
    let bring = match old.kind {
        Old::Before => "Back to before this",
        Old::Undone | Old::Aside => "Bring this back",
    };
    html! {
        li {
            span { (list(differs, DIFFERENCES)) }
            span.small { (told) " \u{b7} " a href=(look(opened, old)) aria-label={ "Look at it, " (told) } { "Look at it" } }
            (bring_back(bench, opened, old, bring, &told))
        }
    }
}

fn list(differs: &[Difference], most: usize) -> Markup {
    html! {
        @for one in differs.iter().take(most) { span.differs { (one.words()) } }
        @if differs.len() > most { span.differs { "And " (differs.len() - most) " more." } }
    }
}

fn told_when(bench: &Bench, when: Option<SystemTime>) -> String {
    let now = bench.desk().store.now();
    when.map_or_else(|| "some time ago".to_owned(), |when| since(now, when))
}

fn look(opened: &Opened, old: &OldVersion) -> String {
    format!(
        "{}?kind={}&number={}",
        to(&opened.name, "version"),
        old.kind.key(),
        old.number
    )
}

fn bring_back(bench: &Bench, opened: &Opened, old: &OldVersion, label: &str, told: &str) -> Markup {
    html! {
        form.more method="post" action=(to(&opened.name, "back")) {
            (hidden(bench, Some(opened)))
            input type="hidden" name="kind" value=(old.kind.key());
            input type="hidden" name="number" value=(old.number);
            button.quiet aria-label={ (label) ", " (told) } { (label) }
        }
    }
}

/// The old version that an address or a form names.
fn asked(bench: &Bench, ask: &Ask, opened: &Opened) -> Result<(OldVersion, String), StoreError> {
    let kind = Old::of(ask.fields.text("kind")).ok_or(StoreError::Missing)?;
    let number = ask.fields.text("number").parse().map_err(|_| StoreError::Missing)?;
    let store = &bench.desk().store;
    let found = store
        .versions(&opened.name)
        .into_iter()
        .find(|old| (old.kind, old.number) == (kind, number));
    Ok((
        found.ok_or(StoreError::Missing)?,
        store.read_version(&opened.name, kind, number)?,
    ))
}

/// The reply where there is no such version any more.
fn gone(bench: &Bench, ask: &Ask, opened: &Opened) -> Reply {
    super::trouble(
        bench,
        ask,
        404,
        "There is no such version any more.",
        &to(&opened.name, "versions"),
    )
}

/// One old version: what differs from the job as it is, how it stood, and its text.
#[must_use]
pub fn one(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let Ok((old, text)) = asked(bench, ask, &opened) else {
        return gone(bench, ask, &opened);
    };
    let judged = bench.desk().judge(&text);
    let differs = differences(&opened.text, &text);
    let told = told_when(bench, old.when);
    let main = html! {
        h1 { "As it was" }
        p { "Put away " (told) ". " @match judged.errors() { 0 => "It could be planned.", errors => { (errors) " to go." } } }
        div.go {
            (bring_back(bench, &opened, &old, "Bring this back", &told))
            a.button.quiet href=(to(&opened.name, "versions")) { "Old versions" }
        }
        h2 { "Now, and as it was" }
        @if differs.is_empty() { p { "It is as the job is now." } }
        ul.differences { @for one in &differs { li { (one.words()) } } }
        details { summary { "The whole of it" } pre tabindex="0" { (text) } }
    };
    Reply::Page(200, frame(bench, "As it was", Some((&opened, Tab::Other)), &main))
}

/// Brings an old version back, as the newest.
#[must_use]
pub fn back(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match unchanged(bench, ask, "versions") {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let there = to(&opened.name, "versions");
    let Ok((old, text)) = asked(bench, ask, &opened) else {
        return gone(bench, ask, &opened);
    };
    match bench.desk().store.save(&opened.name, &opened.version, &text) {
        Ok(_) => {
            let words = format!("Brought back, as it was {}.", told_when(bench, old.when));
            bench.notices.see(&there, Notice::Done { words, back: None })
        }
        Err(error) => store_trouble(bench, ask, &error, &there),
    }
}

#[cfg(test)]
mod tests {
    use job::Profiles;

    use super::*;
    use crate::jobs::{Jobs, Version};
    use crate::memory::MemoryJobs;
    use crate::name::JobName;
    use crate::route::reply;
    use crate::talk::{Fields, Method};

    fn page(bench: &Bench, path: &str) -> String {
        let (path, query) = path.split_once('?').unwrap_or((path, ""));
        match reply(bench, Method::Get, path, Fields::parse(query.as_bytes()), false) {
            Reply::Page(200, page) => page.into_string(),
            other => panic!("{other:?}"),
        }
    }

    fn send(bench: &Bench, path: &str, fields: &str) -> String {
        let version = Version::of(&bench.desk().store.read(&JobName::parse("a").unwrap()).unwrap());
        let fields = format!("version={}&{fields}", version.as_str());
        match reply(bench, Method::Post, path, Fields::parse(fields.as_bytes()), false) {
            Reply::See(there) => there,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn changes_are_listed_looked_at_and_brought_back() {
        let jobs = MemoryJobs::default();
        let a = JobName::parse("a").unwrap();
        let text = |title: &str| {
            include_str!("../../../../examples/parlour.toml")
                .replace("title = \"Parlour", &format!("title = \"{title}"))
        };
        jobs.create(&a, &text("One")).unwrap();
        for (old, new) in [("One", "Two"), ("Two", "Three")] {
            jobs.save(&a, &Version::of(&text(old)), &text(new)).unwrap();
        }
        let bench = Bench::new(Box::new(jobs), Profiles::built_in(), "token".to_owned());
        let list = page(&bench, "/job/a/versions");
        let place = |words: &str| list.find(words).unwrap_or_else(|| panic!("{words}: {list}"));
        assert!(
            place("Name of the job: Two") < place("Name of the job: One"),
            "the last first"
        );
        // Undo says what it takes back, stays where it was asked, and says what it took.
        assert!(list.contains("title=\"Undo: Name of the job: Three"), "{list}");
        let there = send(&bench, "/job/a/undo", "back=ask%3Fat%3Dfrets");
        assert!(there.starts_with("/job/a/ask?at=frets&said="), "{there}");
        let shown = page(&bench, &there);
        assert!(shown.contains("Undone: Name of the job: Three"), "{shown}");
        assert!(shown.contains("title=\"Do again: Name of the job: Two"), "{shown}");
        // Nowhere else, whatever is sent.
        let there = send(&bench, "/job/a/redo", "back=//elsewhere/x");
        assert!(there.starts_with("/job/a/survey?said="), "{there}");
        let one = page(&bench, "/job/a/version?kind=before&number=1");
        assert!(
            one.contains("Name of the job: Three") && one.contains("Bring this back"),
            "{one}"
        );
        let there = send(&bench, "/job/a/back", "kind=before&number=1");
        assert!(page(&bench, &there).contains("Brought back, as it was just now."));
        assert_eq!(bench.desk().store.read(&a).unwrap(), text("One"));
        let there = send(&bench, "/job/a/undo", "");
        assert!(there.starts_with("/job/a/survey?said="));
        assert_eq!(bench.desk().store.read(&a).unwrap(), text("Three"));
        let missing = reply(
            &bench,
            Method::Get,
            "/job/a/version",
            Fields::parse(b"kind=before&number=77"),
            false,
        );
        assert!(matches!(missing, Reply::Page(404, _)));
    }
}
