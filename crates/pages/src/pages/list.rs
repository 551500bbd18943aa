//! The list of the jobs: found by any word, the last touched first, each with how it stands.

use std::sync::Arc;
use std::time::SystemTime;

use maud::{Markup, html};

use super::{hidden, to};
use crate::ago::since;
use crate::bench::Bench;
use crate::jobs::Binned;
use crate::name::JobName;
use crate::naming::finds;
use crate::summary::Summary;
use crate::talk::Ask;

/// Jobs that stand open; those touched before them are unfolded.
const OPEN: usize = 15;
/// Most jobs of the bin that are shown.
const BINNED: usize = 50;

/// One job of the list.
struct Row {
    name: JobName,
    touched: Option<SystemTime>,
    /// The time now.
    now: SystemTime,
    summary: Result<Arc<Summary>, String>,
}

impl Row {
    fn put_away(&self) -> bool {
        self.summary.as_ref().is_ok_and(|summary| summary.put_away)
    }

    fn words(&self) -> &str {
        self.summary
            .as_ref()
            .map_or(self.name.as_str(), |summary| &summary.words)
    }
}

/// Names of the jobs, the last touched first.
pub(super) fn by_time(bench: &Bench) -> Vec<(Option<SystemTime>, JobName)> {
    let store = &bench.desk().store;
    let mut found: Vec<_> = store
        .names()
        .into_iter()
        .map(|name| (store.touched(&name), name))
        .collect();
    found.sort_by(|(a, name_a), (b, name_b)| b.cmp(a).then_with(|| name_a.cmp(name_b)));
    found
}

fn rows(bench: &Bench) -> Vec<Row> {
    let found = by_time(bench);
    let mut names: Vec<JobName> = found.iter().map(|(_, name)| name.clone()).collect();
    names.sort();
    bench.summaries.only(&names);
    let row = |(touched, name): (Option<SystemTime>, JobName)| Row {
        summary: bench
            .summaries
            .of(bench.desk(), &name)
            .map_err(|error| error.to_string()),
        touched,
        now: bench.desk().store.now(),
        name,
    };
    found.into_iter().map(row).collect()
}

/// The list, and what is put away and binned.
pub(super) fn list(bench: &Bench, ask: &Ask) -> Markup {
    let asked = ask.fields.text("q").trim();
    let all = rows(bench);
    html! {
        @if all.is_empty() {
            p { "There is no job here yet. Begin one below: a few stations, one tool at each, every reading with a drawing of how it is taken." }
        } @else {
            form.find method="get" action="/" role="search" {
                label for="find" { "Find a job" }
                input id="find" name="q" type="search" value=(asked) autocomplete="off" autocapitalize="none" spellcheck="false" aria-describedby="found";
                button.quiet { "Find" }
            }
            @if asked.is_empty() { (unsearched(&all)) } @else { (found(&all, asked)) }
        }
        (bin(bench))
    }
}

/// Those that have every word that was asked for, also of those that are put away.
fn found(all: &[Row], asked: &str) -> Markup {
    let found: Vec<&Row> = all.iter().filter(|row| finds(asked, row.words())).collect();
    html! {
        p id="found" role="status" { (found_words(found.len(), all.len())) " " a href="/#jobs" { "Show all" } }
        ul.jobs.list { @for row in found { (line(row)) } }
    }
}

fn found_words(found: usize, all: usize) -> String {
    match found {
        0 => format!("None of {all} has these words."),
        found => format!("{found} of {all}."),
    }
}

fn unsearched(all: &[Row]) -> Markup {
    let (away, here): (Vec<&Row>, Vec<&Row>) = all.iter().partition(|row| row.put_away());
    let (open, older) = here.split_at(here.len().min(OPEN));
    html! {
        p.unseen id="found" role="status" {}
        ul.jobs.list { @for row in open { (line(row)) } }
        @if !older.is_empty() { (fold(&format!("{} more, not touched for longer", older.len()), older)) }
        @if !away.is_empty() { (fold(&format!("Put away ({})", away.len()), &away)) }
    }
}

fn fold(summary: &str, rows: &[&Row]) -> Markup {
    html! { details.fold { summary { (summary) } ul.jobs.list { @for row in rows { (line(row)) } } } }
}

fn line(row: &Row) -> Markup {
    let touched = row.touched.map(|when| since(row.now, when));
    html! {
        li data-words=(row.words()) {
            @match &row.summary {
                Ok(summary) => {
                    a href=(to(&row.name, if summary.is_planned { "plan" } else { "survey" })) { (summary.title) }
                    span.small { (summary.state) @if summary.put_away { ", put away" } " \u{b7} " (row.name) ".toml" @if let Some(touched) = touched { " \u{b7} " (touched) } }
                    a.more href=(to(&row.name, "about")) aria-label={ "Rename, copy, put away or bin: " (summary.title) } { "\u{22ef}" }
                }
                Err(error) => {
                    span { (row.name) }
                    span.small { (error) }
                    a.more href=(to(&row.name, "about")) aria-label={ "Rename or bin: " (row.name) } { "\u{22ef}" }
                }
            }
        }
    }
}

/// What was binned: it lies beside the old versions until it is taken out.
fn bin(bench: &Bench) -> Markup {
    let store = &bench.desk().store;
    let binned = store.binned();
    let title = |binned: &Binned| -> String {
        let text = store.read_binned(binned.number).unwrap_or_default();
        let table: toml::Table = text.parse().unwrap_or_default();
        let title = table.get("title").and_then(toml::Value::as_str);
        title.unwrap_or(binned.name.as_str()).to_owned()
    };
    html! {
        @if !binned.is_empty() {
            details.fold {
                summary { "Bin (" (binned.len()) ")" }
                p.small { "What is binned stays here, with its old versions." }
                ul.jobs.list {
                    @for binned in binned.iter().take(BINNED) {
                        @let title = title(binned);
                        li {
                            span { (title) }
                            span.small { (binned.name) ".toml" @if let Some(when) = binned.when { " \u{b7} binned " (since(store.now(), when)) } }
                            form.more method="post" action="/unbin" {
                                (hidden(bench, None))
                                input type="hidden" name="number" value=(binned.number);
                                button.quiet aria-label={ "Take out of the bin: " (title) } { "Take out" }
                            }
                        }
                    }
                }
                @if binned.len() > BINNED { p { "And " (binned.len() - BINNED) " that were binned before." } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use job::Profiles;

    use super::*;
    use crate::examples::EXAMPLES;
    use crate::jobs::{Jobs, Version};
    use crate::memory::MemoryJobs;
    use crate::route::reply;
    use crate::talk::{Fields, Method, Reply};

    fn name(text: &str) -> JobName {
        JobName::parse(text).unwrap()
    }

    fn bench(jobs: MemoryJobs) -> Bench {
        Bench::new(Box::new(jobs), Profiles::built_in(), "token".to_owned())
    }

    fn home(bench: &Bench, query: &str) -> String {
        match reply(bench, Method::Get, "/", Fields::parse(query.as_bytes()), false) {
            Reply::Page(200, page) => page.into_string(),
            other => panic!("{other:?}"),
        }
    }

    /// Every job is judged once, and again only when its text is another.
    #[test]
    fn five_hundred_jobs_are_judged_once() {
        const MANY: usize = 500;
        let jobs = MemoryJobs::default();
        for i in 0..MANY {
            let (_, text) = EXAMPLES[i % EXAMPLES.len()];
            jobs.create(&name(&format!("job-{i}")), &format!("# {i}\n{text}"))
                .unwrap();
        }
        let bench = bench(jobs);
        let first = home(&bench, "");
        assert_eq!(first.matches("<li data-words").count(), MANY);
        assert_eq!(bench.summaries.judged(), MANY);
        home(&bench, "q=job-77");
        assert_eq!(bench.summaries.judged(), MANY);
        let store = &bench.desk().store;
        let changed = name("job-3");
        let text = store.read(&changed).unwrap();
        store
            .save(&changed, &Version::of(&text), &format!("{text}\n# more\n"))
            .unwrap();
        store
            .change_beside(&name("job-4"), &|_| "put_away = true\n".to_owned())
            .unwrap();
        let again = home(&bench, "");
        assert_eq!(bench.summaries.judged(), MANY + 1, "what is kept beside is not judged");
        assert!(again.contains("Put away (1)"));
        let at = |job: &str| again.find(&format!("/job/{job}/about")).unwrap();
        assert!(at("job-3") < at("job-499"), "the last touched first");
    }

    #[test]
    fn a_job_is_found_by_any_word() {
        let jobs = MemoryJobs::default();
        let (_, text) = EXAMPLES[0];
        let with =
            |title: &str, more: &str| format!("{}\n{more}", text.replace("title = \"", &format!("title = \"{title} ")));
        jobs.create(&name("one"), &with("Grüße", "[book]\nserial = \"A-1234\"\n"))
            .unwrap();
        jobs.create(&name("two"), &with("Second", "")).unwrap();
        jobs.create(&name("slip"), "title = [").unwrap();
        let bench = bench(jobs);
        for (asked, found) in [
            ("gruesse", "one"),
            ("GR%C3%9CSSE+a-1234", "one"),
            ("second", "two"),
            ("slip", "slip"),
            ("two", "two"),
        ] {
            let page = home(&bench, &format!("q={asked}"));
            assert!(
                page.contains("1 of 3.") && page.contains(&format!("/job/{found}/about")),
                "{asked}: {page}"
            );
        }
        assert!(home(&bench, "q=nowhere").contains("None of 3 has these words."));
        assert!(home(&bench, "").contains("the file has a slip"));
    }
}
