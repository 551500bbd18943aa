//! The first page: the jobs of the folder, and how to begin one.

use ::survey::Station;
use job::{Edit, EditError, Kind};
use maud::{Markup, html};

use super::list::{by_time, list};
use super::shop_file::SHOP;
use super::short::{CARRIED, carried, short};
use super::{frame, hidden, phone, store_trouble, to};
use crate::bench::{Bench, Phone};
use crate::beside::Beside;
use crate::examples;
use crate::jobs::{LeftOut, StoreError, WhyNot};
use crate::name::JobName;
use crate::naming::{TITLE, free, has, made, of_title, title_of};
use crate::notice::Notice;
use crate::talk::{Ask, Fields, Reply};

/// Most files that are no jobs that are told, and most jobs that are offered to begin from.
const SHOWN: usize = 60;

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let notice = bench.notices.of(ask);
    let (typed, why) = match notice.as_deref() {
        Some(Notice::Refused { fields, why, .. }) => (fields, why.as_str()),
        _ => (&ask.fields, ""),
    };
    let main = html! {
        h1 { "At the bench" }
        (short(ask))
        section aria-labelledby="jobs" {
            h2 id="jobs" { "Jobs" }
            (list(bench, ask))
        }
        (left_out(bench))
        section aria-labelledby="new" {
            h2 id="new" { "Begin a job" }
            (new_form(bench, typed, why))
        }
        p { a href=(SHOP) { "Your shop" } ": machines, cutters, tools, string sets and materials of your own" }
        @if !matches!(bench.phone(), Phone::Unknown) { details.fold { summary { "Open it on a phone" } (phone(bench)) } }
        @if let Some(home) = bench.home() { (home.foot) } @else { p.small { "Folder: " code { (bench.desk().store.place()) } ". The same files serve the command line. Old versions are kept beside them." } }
        @if let Some(devices) = bench.devices() { p.small { a href=(devices) { "Devices that may in here" } } }
    };
    Reply::Page(200, frame(bench, "Jobs", None, &main))
}

/// Files that are no jobs as they are, each with what to do.
fn left_out(bench: &Bench) -> Markup {
    let store = &bench.desk().store;
    let files = store.left_out();
    let mut taken = store.names();
    html! {
        @if !files.is_empty() {
            section aria-labelledby="left-out" {
                h2 id="left-out" { "Not shown" }
                ul.jobs {
                    @for LeftOut { file, why } in files.iter().take(SHOWN) {
                        li {
                            span { (file) }
                            span.small { (what_to_do(file, *why, &mut taken)) }
                        }
                    }
                }
                @if files.len() > SHOWN { p { "And " (files.len() - SHOWN) " more." } }
            }
        }
    }
}

/// What to do with a file that is no job; a name that is proposed is `taken` then.
fn what_to_do(file: &str, why: WhyNot, taken: &mut Vec<JobName>) -> String {
    match why {
        WhyNot::Link => {
            "It is a link, and nothing is read or written through links. Put the file itself here.".to_owned()
        }
        WhyNot::NoFile => "It is no plain file. A job is one file of text.".to_owned(),
        WhyNot::Name => {
            let stem: String = file
                .chars()
                .take(file.chars().count().saturating_sub(".toml".len()))
                .collect();
            let name = JobName::parse(&stem)
                .filter(|name| !has(taken, name))
                .or_else(|| made(taken, &stem));
            name.map_or_else(
                || JobName::RULE.to_owned(),
                |name| {
                    let told = format!(
                        "Its name cannot be that of a job here. Rename it to {}. {}",
                        name.file(),
                        JobName::RULE
                    );
                    taken.push(name);
                    told
                },
            )
        }
    }
}

fn new_form(bench: &Bench, typed: &Fields, why: &str) -> Markup {
    let jobs = by_time(bench);
    let jobs = || jobs.iter().map(|(_, name)| name).take(SHOWN);
    let from = typed.get("from").unwrap_or("kind");
    let option = |value: String, label: &str| html! { option value=(value) selected[value == from] { (label) } };
    html! {
        form.stack method="post" action="/new" {
            (hidden(bench, None))
            (carried(typed))
            @if !why.is_empty() { p.say.refused role="alert" { span.mark aria-hidden="true" { "\u{2715}" } " " (why) } }
            p {
                label for="new-title" { "What is it?" }
                input id="new-title" name="title" value=(typed.text("title")) maxlength=(TITLE) required autocomplete="off" aria-describedby="new-title-how";
                span.how id="new-title-how" { "A few words for the sheets, such as: Parlour guitar, new bone saddle." }
            }
            @for (key, name) in BEGUN_WITH { (begun_with(key, name, typed.get(name))) }
            details open[from != "kind" || !typed.text("name").is_empty()] {
                summary { "Begin from another job, or name its file" }
                p {
                    label for="new-from" { "Start from" }
                    select id="new-from" name="from" {
                        (option("kind".to_owned(), "What is usual on this kind of instrument"))
                        @if jobs().next().is_some() {
                            optgroup label="A copy of a job" {
                                @for name in jobs() { (option(format!("job:{name}"), name.as_str())) }
                            }
                            optgroup label="A second saddle or nut for the same instrument" {
                                @for name in jobs() { (option(format!("again:{name}"), &format!("{name}, once more"))) }
                            }
                        }
                        optgroup label="An invented example, to look around" {
                            @for (name, _) in examples::EXAMPLES { (option(format!("example:{name}"), name)) }
                        }
                    }
                }
                p {
                    label for="new-name" { "Name of its file" }
                    input id="new-name" name="name" value=(typed.text("name")) maxlength="200" autocomplete="off" autocapitalize="none" spellcheck="false" aria-describedby="new-name-how";
                    span.how id="new-name-how" { "May be left empty. Any name: the file's is made from it." }
                }
            }
            p { button { "Begin" } }
        }
    }
}

/// What a job is begun with: the key of the question, and the name of the field.
const BEGUN_WITH: [(&str, &str); 3] = [("ask.kind", "kind"), ("ask.part", "part"), ("unit", "unit")];

/// A choice of the survey's on the first page.
fn begun_with(key: &str, name: &str, typed: Option<&str>) -> Markup {
    let question = ::survey::questions().find(|question| question.key == key);
    let Some((question, Kind::Choice(choices))) = question.map(|question| (question, question.kind)) else {
        return html! {};
    };
    let id = format!("new-{name}");
    let first = typed.or_else(|| choices.first().map(|(value, _)| *value));
    html! {
        p {
            label for=(id) { (question.title) }
            select id=(id) name=(name) {
                @for (value, meaning) in choices {
                    option value=(value) selected[first == Some(*value)] { (value) @if !meaning.is_empty() { ": " (meaning) } }
                }
            }
        }
    }
}

/// Begins a job: under any title, and in a file of any name, from which its own is made.
#[must_use]
pub fn begin(bench: &Bench, ask: &Ask) -> Reply {
    let title = title_of(ask.fields.text("title"));
    if title.is_empty() {
        return refused(bench, ask, "A job needs a few words that say what it is.");
    }
    let given = ask.fields.text("name").trim().trim_end_matches(".toml");
    let desk = bench.desk();
    let from = ask.fields.get("from").unwrap_or("kind");
    let (kind, which) = from.split_once(':').unwrap_or((from, ""));
    let of_job = |again: bool| match JobName::parse(which).map(|other| desk.store.read(&other)) {
        Some(Ok(text)) => copied(&text, &title, again),
        _ => Err("There is no job of this name to copy."),
    };
    let mut beside = Beside::default();
    let text = match kind {
        "kind" => {
            let mut given = vec![("title", title.as_str())];
            given.extend(
                BEGUN_WITH
                    .iter()
                    .filter_map(|(key, name)| Some((*key, offered(key, ask.fields.text(name))?))),
            );
            let typed = |(name, key): &(&str, &'static str)| {
                Some((*key, ask.fields.get(name).filter(|text| !text.trim().is_empty())?))
            };
            let mut carried: Vec<(&str, &str)> = CARRIED.iter().filter_map(typed).collect();
            if carried.iter().any(|(key, _)| *key == "instrument.scale") {
                carried.insert(0, ("ask.scale", "scale"));
            }
            let (text, kept) = desk.fresh(&given, &carried);
            beside = kept;
            Ok(text)
        }
        "example" => examples::text(which).map_or(Err("There is no example of this name."), |text| {
            copied(text, &title, false)
        }),
        "job" => of_job(false),
        "again" => of_job(true),
        _ => Err("There is nothing of this kind to start from."),
    };
    let text = match text {
        Ok(text) => text,
        Err(why) => return refused(bench, ask, why),
    };
    let mut taken = desk.store.names();
    let (name, begun) = loop {
        let name = if given.is_empty() {
            of_title(&taken, &title)
        } else {
            free(&taken, given)
        };
        match desk.store.create(&name, &text) {
            // Somebody was quicker.
            Err(StoreError::Exists) if !taken.contains(&name) => taken.push(name),
            begun => break (name, begun),
        }
    };
    match begun.and_then(|()| desk.store.change_beside(&name, &|_| beside.text())) {
        Ok(()) => Reply::See(match kind {
            "example" | "job" => to(&name, "plan"),
            // What is wanted is looked at once, whatever is usual.
            _ => format!("{}?at={}", to(&name, "ask"), Station::Wanted.key()),
        }),
        Err(error) => store_trouble(bench, ask, &error, "/"),
    }
}

/// The first page again, with what was sent and why it was refused.
fn refused(bench: &Bench, ask: &Ask, why: &str) -> Reply {
    let notice = Notice::Refused {
        fields: ask.fields.clone(),
        why: why.to_owned(),
        told: Vec::new(),
        of: None,
    };
    bench.notices.see("/#new", notice)
}

/// The choice of a question, if it is one of those offered.
fn offered<'t>(key: &str, text: &'t str) -> Option<&'t str> {
    let question = ::survey::questions().find(|question| question.key == key)?;
    let Kind::Choice(choices) = question.kind else {
        return None;
    };
    choices.iter().any(|(value, _)| *value == text).then_some(text)
}

/// A job's text with another title; `again` leaves out what was read after stringing up and what is filed, which is of the part that was made.
fn copied(text: &str, title: &str, again: bool) -> Result<String, &'static str> {
    let copied = || {
        let mut edit = Edit::of(text)?;
        edit.set("title", title)?;
        if again {
            edit.remove("strung");
            edit.remove("filing");
        }
        Ok(edit.text())
    };
    copied().map_err(|_: EditError| "That job cannot be read, so it cannot be copied.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_not_shown_is_told_how_to_be() {
        let mut taken = vec![JobName::parse("upper").unwrap()];
        for (file, new) in [
            ("My guitar 1928.toml", "my-guitar-1928.toml"),
            ("My_guitar 1928.toml", "my-guitar-1928-2.toml"),
            ("Grüße an Jörg.toml", "gruesse-an-joerg.toml"),
            ("Jo\u{308}rg.toml", "jorg.toml"),
            ("Jörg's Ångström.toml", "joerg-s-angstroem.toml"),
            ("Lute.TOML", "Lute.toml"),
            ("UPPER.TOML", "upper-2.toml"),
            ("con.toml", "job.toml"),
            ("琵琶.toml", "job-2.toml"),
            ("\u{fffd}.toml", "job-3.toml"),
        ] {
            let told = what_to_do(file, WhyNot::Name, &mut taken);
            assert!(told.contains(&format!("Rename it to {new}. ")), "{file}: {told}");
        }
        let long = what_to_do(&format!("{}.toml", "ü".repeat(70)), WhyNot::Name, &mut taken);
        assert!(
            long.contains(&format!("Rename it to {}.toml", "ue".repeat(20))),
            "{long}"
        );
    }
}
