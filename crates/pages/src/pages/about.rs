//! What is done with a job as a whole: renamed, copied, put away, binned and taken out again.

use job::Edit;
use maud::html;

use super::{Tab, frame, hidden, opened, store_trouble, to, trouble, unchanged};
use crate::bench::Bench;
use crate::beside::Beside;
use crate::desk::Opened;
use crate::jobs::StoreError;
use crate::name::JobName;
use crate::naming::{TITLE, free, of_title, title_of};
use crate::notice::{Notice, WayBack};
use crate::talk::{Ask, Reply};

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let title = opened.title();
    let away = opened.beside.put_away;
    let main = html! {
        h1 { "This job" }
        p { a href="/" { "All jobs" } " \u{b7} " a href=(to(&opened.name, "versions")) { "Old versions" } }
        section aria-labelledby="rename" {
            h2 id="rename" { "Rename" }
            form.stack method="post" action=(to(&opened.name, "rename")) {
                (hidden(bench, Some(&opened)))
                @if opened.interview.is_some() {
                    p {
                        label for="title" { "What is it?" }
                        input id="title" name="title" value=(title) maxlength=(TITLE) autocomplete="off";
                    }
                }
                p {
                    label for="name" { "Name of its file" }
                    input id="name" name="name" value=(opened.name) maxlength="200" autocomplete="off" autocapitalize="none" spellcheck="false" aria-describedby="name-how";
                    span.how id="name-how" { "Any name: the file's is made from it. Left empty, it is made from the title. Old versions go along." }
                }
                p { button { "Rename" } }
            }
        }
        @if opened.interview.is_some() {
            section aria-labelledby="copy" {
                h2 id="copy" { "Copy" }
                form.stack method="post" action="/new" {
                    (hidden(bench, None))
                    p {
                        label for="copy-title" { "What is the copy?" }
                        input id="copy-title" name="title" value={ (title) ", copy" } maxlength=(TITLE) autocomplete="off";
                    }
                    p {
                        button name="from" value={ "job:" (opened.name) } { "Copy" } " "
                        button.quiet name="from" value={ "again:" (opened.name) } { "Once more for the same instrument" }
                    }
                    p.how { "Once more: without what was filed and read after stringing up, which is of the part that was made." }
                }
            }
        }
        @if let Some(home) = bench.home() { ((home.of_job)(&opened.name)) }
        section aria-labelledby="away" {
            h2 id="away" { "Put away, or bin" }
            p.how { "What is put away leaves the list, and is still found by its words. What is binned leaves the folder, and comes back whole." }
            div.go {
                form method="post" action=(to(&opened.name, "away")) {
                    (hidden(bench, None))
                    input type="hidden" name="away" value=(if away { "no" } else { "yes" });
                    button.quiet { (if away { "Back into the list" } else { "Put away" }) }
                }
                form method="post" action=(to(&opened.name, "bin")) {
                    (hidden(bench, None))
                    button.quiet { "Bin" }
                }
            }
        }
    };
    Reply::Page(200, frame(bench, "This job", Some((&opened, Tab::Other)), &main))
}

/// Gives a job another title, and its file another name.
#[must_use]
pub fn rename(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match unchanged(bench, ask, "about") {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let title = ask.fields.get("title").map(title_of).filter(|title| !title.is_empty());
    let title = title.filter(|title| *title != opened.title());
    let text = title
        .as_ref()
        .map_or_else(|| Ok(opened.text.clone()), |title| titled(&opened, title));
    let text = match text {
        Ok(text) => text,
        Err(why) => return trouble(bench, ask, 422, &why, &to(&opened.name, "about")),
    };
    let typed = ask.fields.text("name").trim().trim_end_matches(".toml");
    let store = &bench.desk().store;
    let mut taken = store.names();
    taken.retain(|name| *name != opened.name);
    loop {
        let name = match typed {
            "" => of_title(&taken, title.as_deref().unwrap_or(&opened.title())),
            own if own == opened.name.as_str() => opened.name.clone(),
            typed => free(&taken, typed),
        };
        match store.rename(&opened.name, &opened.version, &name, &text) {
            // Something is kept under that name, or somebody was quicker.
            Err(StoreError::Exists) if !taken.contains(&name) => taken.push(name),
            Err(error) => return store_trouble(bench, ask, &error, &to(&opened.name, "about")),
            Ok(_) => {
                let title = title.unwrap_or_else(|| opened.title());
                let words = format!("Renamed: {title}, {}", name.file());
                return bench
                    .notices
                    .see(&to(&name, "about"), Notice::Done { words, back: None });
            }
        }
    }
}

fn titled(opened: &Opened, title: &str) -> Result<String, String> {
    let mut edit = Edit::of(&opened.text).map_err(crate::patch::refused)?;
    edit.set("title", title).map_err(crate::patch::refused)?;
    Ok(edit.text())
}

/// The title of a job that may be one that cannot be read.
fn title(bench: &Bench, name: &JobName) -> String {
    let summary = bench.summaries.of(bench.desk(), name);
    summary.map_or_else(|_| name.to_string(), |summary| summary.title.clone())
}

/// The job of an address, whether it can be read or not.
fn named(bench: &Bench, ask: &Ask) -> Result<JobName, Reply> {
    let name = JobName::parse(&ask.name).filter(|name| bench.desk().store.names().contains(name));
    name.ok_or_else(|| store_trouble(bench, ask, &StoreError::Missing, "/"))
}

/// Puts a job away, or back into the list.
#[must_use]
pub fn away(bench: &Bench, ask: &Ask) -> Reply {
    let name = match named(bench, ask) {
        Ok(name) => name,
        Err(reply) => return reply,
    };
    let put_away = ask.fields.text("away") != "no";
    let change = |now: &str| {
        Beside {
            put_away,
            ..Beside::read(now)
        }
        .text()
    };
    if let Err(error) = bench.desk().store.change_beside(&name, &change) {
        return store_trouble(bench, ask, &error, "/");
    }
    let title = title(bench, &name);
    let notice = Notice::Done {
        words: if put_away {
            format!("Put away: {title}.")
        } else {
            format!("Back in the list: {title}.")
        },
        back: Some(WayBack {
            label: "Undo".to_owned(),
            action: to(&name, "away"),
            fields: vec![("away", if put_away { "no" } else { "yes" }.to_owned())],
        }),
    };
    bench.notices.see("/", notice)
}

/// Bins a job.
#[must_use]
pub fn bin(bench: &Bench, ask: &Ask) -> Reply {
    let name = match named(bench, ask) {
        Ok(name) => name,
        Err(reply) => return reply,
    };
    let title = title(bench, &name);
    match bench.desk().store.bin(&name) {
        Err(error) => store_trouble(bench, ask, &error, "/"),
        Ok(number) => {
            let back = WayBack {
                label: "Undo".to_owned(),
                action: "/unbin".to_owned(),
                fields: vec![("number", number.to_string())],
            };
            let words = format!("Binned: {title}.");
            bench.notices.see(
                "/",
                Notice::Done {
                    words,
                    back: Some(back),
                },
            )
        }
    }
}

/// Takes a job out of the bin, under its own name if that is free.
#[must_use]
pub fn unbin(bench: &Bench, ask: &Ask) -> Reply {
    let store = &bench.desk().store;
    let number = ask.fields.text("number").parse().ok();
    let binned = store.binned().into_iter().find(|binned| Some(binned.number) == number);
    let Some(binned) = binned else {
        return trouble(bench, ask, 404, "That is not in the bin any more.", "/");
    };
    let mut taken = store.names();
    loop {
        let name = free(&taken, binned.name.as_str());
        match store.unbin(binned.number, &name) {
            Err(StoreError::Exists) if !taken.contains(&name) => taken.push(name),
            Err(error) => return store_trouble(bench, ask, &error, "/"),
            Ok(()) => {
                let words = format!("Taken out of the bin: {}.", title(bench, &name));
                return bench.notices.see("/", Notice::Done { words, back: None });
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
    use crate::talk::{Fields, Method};

    fn bench() -> Bench {
        let jobs = MemoryJobs::default();
        jobs.create(&JobName::parse("a").unwrap(), EXAMPLES[0].1).unwrap();
        jobs.create(&JobName::parse("other").unwrap(), EXAMPLES[1].1).unwrap();
        Bench::new(Box::new(jobs), Profiles::built_in(), "token".to_owned())
    }

    fn send(bench: &Bench, path: &str, fields: &[(&str, &str)]) -> String {
        let name = path.split('/').nth(2).and_then(JobName::parse);
        let text = name
            .and_then(|name| bench.desk().store.read(&name).ok())
            .unwrap_or_default();
        let mut sent = Fields::parse(b"");
        sent.put("version".to_owned(), Version::of(&text).as_str().to_owned());
        for (name, value) in fields {
            sent.put((*name).to_owned(), (*value).to_owned());
        }
        match reply(bench, Method::Post, path, sent, false) {
            Reply::See(there) => there,
            other => panic!("{path}: {other:?}"),
        }
    }

    fn page(bench: &Bench, path: &str) -> String {
        let (path, query) = path.split_once('?').unwrap_or((path, ""));
        match reply(bench, Method::Get, path, Fields::parse(query.as_bytes()), false) {
            Reply::Page(_, page) => page.into_string(),
            other => panic!("{other:?}"),
        }
    }

    /// Whatever is typed, a job gets that title and a file that is named after it.
    #[test]
    fn any_name_will_do() {
        let bench = bench();
        for (title, file, name) in [
            ("Jörg's \"best\" guitar", "", "joerg-s-best-guitar"),
            ("Jörg's \"best\" guitar", "joerg-s-best-guitar", "joerg-s-best-guitar"),
            ("", "../../etc/passwd", "etc-passwd"),
            ("琵琶", "", "job"),
            ("x", "OTHER", "other-2"),
            ("x", "Other-2.toml", "Other-2"),
        ] {
            let from = bench
                .desk()
                .store
                .names()
                .into_iter()
                .find(|name| name.as_str() != "other")
                .unwrap();
            let there = send(
                &bench,
                &format!("/job/{from}/rename"),
                &[("title", title), ("name", file)],
            );
            assert!(
                there.starts_with(&format!("/job/{name}/about?said=")),
                "{title} {file}: {there}"
            );
            let shown = page(&bench, &there);
            assert!(shown.contains("Renamed: "), "{shown}");
            let text = bench.desk().store.read(&JobName::parse(name).unwrap()).unwrap();
            assert!(
                title.is_empty() || text.contains(title.split('"').next().unwrap()),
                "{text}"
            );
        }
        for _ in 0..3 {
            let there = send(
                &bench,
                "/new",
                &[("title", "con"), ("from", "example:parlour"), ("name", "other")],
            );
            assert!(there.starts_with("/job/other-"), "{there}");
        }
    }

    #[test]
    fn put_away_and_back() {
        let bench = bench();
        let there = send(&bench, "/job/a/away", &[("away", "yes")]);
        let shown = page(&bench, &there);
        assert!(
            shown.contains("Put away: ") && shown.contains("Put away (1)"),
            "{shown}"
        );
        assert!(page(&bench, "/job/a/about").contains("Back into the list"));
        let text = bench.desk().store.read(&JobName::parse("a").unwrap()).unwrap();
        assert_eq!(text, EXAMPLES[0].1, "nothing of it stands in the job");
        let there = send(&bench, "/job/a/away", &[("away", "no")]);
        assert!(!page(&bench, &there).contains("Put away ("));
    }

    #[test]
    fn binned_and_taken_back() {
        let bench = bench();
        let there = send(&bench, "/job/a/bin", &[]);
        let shown = page(&bench, &there);
        assert!(
            shown.contains("Binned: ") && shown.contains("action=\"/unbin\"") && shown.contains("Bin (1)"),
            "{shown}"
        );
        assert!(!shown.contains("/job/a/about"));
        assert_eq!(send(&bench, "/job/a/bin", &[]), "/said?said=2", "it is gone");
        assert!(page(&bench, "/said?said=2").contains("There is no job of this name"));
        send(&bench, "/new", &[("title", "a"), ("from", "example:parlour")]);
        let there = send(&bench, "/unbin", &[("number", "1")]);
        let shown = page(&bench, &there);
        assert!(
            shown.contains("Taken out of the bin") && shown.contains("/job/a-2/about"),
            "{shown}"
        );
    }

    /// A title that is refused stands in its field on a page that may be loaded again.
    #[test]
    fn what_is_refused_is_not_lost() {
        let bench = bench();
        let there = send(
            &bench,
            "/new",
            &[
                ("title", " "),
                ("name", "My file"),
                ("from", "example:parlour"),
                ("unit", "thou"),
            ],
        );
        assert!(there.starts_with("/?said="), "{there}");
        for _ in 0..2 {
            let shown = page(&bench, there.trim_end_matches("#new"));
            assert!(
                shown.contains("A job needs a few words") && shown.contains("value=\"My file\""),
                "{shown}"
            );
            assert!(shown.contains("value=\"example:parlour\" selected"), "{shown}");
        }
        let gone = send(&bench, "/new", &[("title", "Named"), ("from", "job:gone")]);
        let shown = page(&bench, gone.trim_end_matches("#new"));
        assert!(
            shown.contains("no job of this name to copy") && shown.contains("value=\"Named\""),
            "{shown}"
        );
    }
}
