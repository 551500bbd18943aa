//! The pages.

pub mod about;
pub mod entries;
pub mod entry;
mod entry_form;
mod field;
pub mod filing;
mod form;
pub mod hear;
pub mod home;
mod list;
pub mod live;
mod notes;
pub mod nut;
pub mod plan;
pub mod programs;
mod readings;
pub mod remedy;
pub mod sheets;
pub mod shop;
pub mod shop_entry;
mod shop_file;
mod short;
pub mod station;
mod station_form;
pub mod strung;
pub mod sureness;
pub mod survey;
pub mod text;
mod told;
pub mod versions;
mod wishes;
pub mod work;

use job::{Problem, Severity};
use machining::PartKind;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::bench::{Bench, Phone};
use crate::code::code_picture;
use crate::desk::{Judged, Opened};
use crate::differs;
use crate::jobs::{Old, StoreError};
use crate::name::JobName;
use crate::notice::{Notice, TOAST};
use crate::plain::plain;
use crate::said::Told;
use crate::talk::{Ask, Reply};

/// The pages of a job, in the order of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tab {
    /// The readings.
    Survey,
    /// What to make.
    Plan,
    /// Drawings and files.
    Sheets,
    /// Programs for a machine.
    Programs,
    /// What filing costs.
    Filing,
    /// Whether a saddle is the remedy at all.
    Remedy,
    /// Readings after stringing up.
    Strung,
    /// What to do, in order.
    Work,
    /// The file as text.
    Text,
    /// A page that no tab leads to.
    Other,
}

impl Tab {
    const ALL: [(Self, &'static str, &'static str); 9] = [
        (Self::Survey, "survey", "Survey"),
        (Self::Remedy, "remedy", "Remedy"),
        (Self::Plan, "plan", "Plan"),
        (Self::Sheets, "sheets", "Sheets"),
        (Self::Programs, "programs", "Programs"),
        (Self::Work, "work", "Work list"),
        (Self::Filing, "filing", "Filing"),
        (Self::Strung, "strung", "Strung up"),
        (Self::Text, "text", "File"),
    ];
}

/// The address of a job's page.
#[must_use]
pub fn to(name: &JobName, page: &str) -> String {
    format!("/job/{name}/{page}")
}

/// Where a file of the job is; the version makes a browser fetch it anew when the job has changed.
#[must_use]
pub fn address(opened: &Opened, file: &str) -> String {
    format!("/job/{}/out/{file}?v={}", opened.name, opened.judged_as().as_str())
}

/// As [`address`], to be saved.
#[must_use]
pub fn download(opened: &Opened, file: &str) -> String {
    format!("/job/{}/out/{file}?save=yes", opened.name)
}

/// What the head of every page has, also of one that is shown before anybody is let in.
#[must_use]
pub fn head(title: &str) -> Markup {
    html! {
        meta charset="utf-8";
        meta name="viewport" content="width=device-width, initial-scale=1";
        meta name="color-scheme" content="light dark";
        title { (title) }
        link rel="stylesheet" href="/bench.css";
        link rel="icon" href="/icon.svg" type="image/svg+xml";
    }
}

/// A whole page. Of a job it is titled by what it is and whose.
#[must_use]
pub fn frame(bench: &Bench, title: &str, job: Option<(&Opened, Tab)>, main: &Markup) -> Markup {
    let titled = match job {
        None => title.to_owned(),
        Some((opened, tab)) => {
            let label = Tab::ALL
                .iter()
                .find(|(other, ..)| *other == tab)
                .map_or("", |(_, _, label)| label);
            let own = opened.title();
            format!("{} – {own}", if title == own { label } else { title })
        }
    };
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                (head(&format!("{titled} – bonewright")))
                meta name="token" content=(bench.token());
                script src="/bench.js" defer {}
                script src="/keys.js" defer {}
                script src="/jobs.js" defer {}
            }
            body data-job=[job.map(|(opened, _)| opened.name.as_str())]
                data-version=[job.map(|(opened, _)| opened.version.as_str())] {
                a.skip href="#main" { "Skip to the content" }
                header.top {
                    p.home { a href="/" { "bonewright" } }
                    @if let Some((opened, tab)) = job {
                        a.job href=(to(&opened.name, "about")) { (opened.title()) }
                        nav aria-label="Pages of this job" {
                            ul {
                                @for (other, page, label) in Tab::ALL {
                                    li { a href=(to(&opened.name, page)) aria-current=[(other == tab).then_some("page")] { (label) } }
                                }
                            }
                        }
                    }
                }
                main id="main" tabindex="-1" { (main) }
                (PreEscaped(TOAST))
                p.unseen id="moved" role="status" aria-live="polite" {}
            }
        }
    }
}

/// A page of the home's own, such as a list of devices: its title, and its content in the frame of all pages. A form in it carries
/// the field `token` itself.
#[must_use]
pub fn own(bench: &Bench, title: &str, main: &Markup) -> Markup {
    frame(bench, title, None, main)
}

/// How a phone is let in: the code for its camera, and the address.
#[must_use]
pub fn phone(bench: &Bench) -> Markup {
    match bench.phone() {
        Phone::Unknown => html! {},
        Phone::Alone => html! {
            p { "This bench answers this machine alone. Begun with " code { "bonewright bench --listen" } " and the address that this machine has in the shop's network, it lets in a phone, and the code for its camera stands here." }
        },
        Phone::At(address) => {
            let address = address();
            html! {
                p { "Point the phone's camera at this, or type the address there, and press the button. It lets in one device, once; then load this page again for the next." }
                @if let Some(picture) = code_picture(&address) { (picture) }
                p { code { (address) } }
                p.how { "It is plain HTTP: for the shop's own network alone." }
            }
        }
    }
}

/// What every form carries.
#[must_use]
pub fn hidden(bench: &Bench, opened: Option<&Opened>) -> Markup {
    html! {
        input type="hidden" name="token" value=(bench.token());
        @if let Some(opened) = opened {
            input type="hidden" name="version" value=(opened.version.as_str());
        }
    }
}

/// Undo and redo, each with what it takes back, and the way to the old versions.
#[must_use]
pub fn steps(bench: &Bench, opened: &Opened, tab: &str) -> Markup {
    let (undo, redo) = opened.steps;
    html! {
        div.steps id="steps" {
            @for (on, kind, page, label) in [(undo, Old::Before, "undo", "Undo"), (redo, Old::Undone, "redo", "Do again")] {
                @let takes = on.then(|| takes_back(bench, opened, kind)).flatten();
                @let words = takes.map_or_else(|| label.to_owned(), |takes| format!("{label}: {takes}"));
                // What cannot be done again takes no room.
                @if on || kind == Old::Before {
                    form method="post" action=(to(&opened.name, page)) {
                        (hidden(bench, Some(opened)))
                        input type="hidden" name="back" value=(tab);
                        button.quiet id=(page) disabled[!on] title=(words) aria-label=(words) { (label) }
                    }
                }
            }
            @if undo || redo { a.button.quiet href=(to(&opened.name, "versions")) aria-label="Old versions" title="Old versions" { "Old" } }
        }
    }
}

/// What undo, or redo, would change, in words.
fn takes_back(bench: &Bench, opened: &Opened, kind: Old) -> Option<String> {
    let store = &bench.desk().store;
    let kept = store.versions(&opened.name).into_iter().filter(|old| old.kind == kind);
    let mut texts = kept.filter_map(|old| store.read_version(&opened.name, old.kind, old.number).ok());
    // A crash may have left one as it is now.
    let next = texts.find(|text| *text != opened.text)?;
    Some(differs::told(&differs::differences(&opened.text, &next)))
}

/// SVG that this program wrote.
#[must_use]
pub fn picture(svg: String) -> Markup {
    PreEscaped(svg)
}

/// Problems as the command tells them.
#[must_use]
pub fn problems(list: &[Problem]) -> Markup {
    let (list, more) = job::shown(list);
    html! {
        ul.problems {
            @for problem in list {
                li.(problem.severity.name()) {
                    strong { (if problem.severity == Severity::Error { "Must be mended" } else { "Doubtful" }) }
                    @if let Some(line) = problem.line { ", line " (line) }
                    @if !problem.field.is_empty() { ", " code { (problem.field) } }
                    @if let Some(read) = &problem.read { ": read " code { (read) } }
                    ": " (problem.what())
                }
            }
            @if more > 0 { li { (more) " more are not shown. Mend these first." } }
        }
    }
}

/// A page that says why something was not done.
#[must_use]
pub fn trouble(bench: &Bench, ask: &Ask, status: u16, why: &str, back: &str) -> Reply {
    if ask.script {
        return Reply::Json(
            status,
            serde_json::json!({ "state": "stopped", "why": why, "reload": status == 409 }),
        );
    }
    let main = html! {
        h1 { (if status == 404 { "Not here" } else { "Not done" }) }
        p.say.refused role="alert" { (why) }
        p { a.button href=(back) { (if status == 409 { "Load the page again" } else { "Go back" }) } }
    };
    Reply::Page(status, frame(bench, "Not done", None, &main))
}

/// As [`trouble`], for what the store says.
#[must_use]
pub fn store_trouble(bench: &Bench, ask: &Ask, error: &StoreError, back: &str) -> Reply {
    let status = match error {
        StoreError::Missing => 404,
        StoreError::Changed | StoreError::Nothing | StoreError::Exists => 409,
        StoreError::NoJob => 422,
        StoreError::Disk(_) => 507,
    };
    let back = if matches!(error, StoreError::Missing) {
        "/"
    } else {
        back
    };
    trouble(bench, ask, status, &error.to_string(), back)
}

/// Opens the job that a request names, or says why not.
///
/// # Errors
/// The reply to give instead.
pub fn opened(bench: &Bench, ask: &Ask) -> Result<Opened, Reply> {
    let Some(name) = JobName::parse(&ask.name) else {
        return Err(trouble(bench, ask, 404, &StoreError::Missing.to_string(), "/"));
    };
    bench
        .desk()
        .open(&name)
        .map_err(|error| store_trouble(bench, ask, &error, "/"))
}

/// Opens the job that a post was made from, if it is still the one that the page showed.
///
/// # Errors
/// The reply to give instead.
pub fn unchanged(bench: &Bench, ask: &Ask, back: &str) -> Result<Opened, Reply> {
    let opened = opened(bench, ask)?;
    if opened.version.as_str() == ask.fields.text("version") {
        Ok(opened)
    } else {
        Err(store_trouble(bench, ask, &StoreError::Changed, &to(&opened.name, back)))
    }
}

/// Why what is planned of these parts is not to be made, if it is not.
#[must_use]
pub fn stops(judged: &Judged, parts: &[PartKind]) -> Option<Markup> {
    let done = judged.planned()?;
    let words = report::stop_words(done, parts, done.job.bench);
    (!words.is_empty()).then(|| {
        html! {
            section.say.refused role="alert" {
                h2 { (report::DO_NOT_MAKE) }
                ul { @for why in &words { li { (why) } } }
            }
        }
    })
}

/// Why the parts cannot be planned, if they cannot.
#[must_use]
pub fn refusals(judged: &Judged) -> Markup {
    let all = judged.refusals();
    html! {
        @if !all.is_empty() {
            ul.problems { @for error in &all { li.error { strong { "Must be mended" } ": " (plain(error)) } } }
        }
    }
}

/// The fields that were refused on a page, if it is loaded to show them and the job is still as it was then.
fn refused(bench: &Bench, ask: &Ask, opened: &Opened) -> Told {
    match bench.notices.of(ask).as_deref() {
        Some(Notice::Refused {
            told,
            of: Some((name, version)),
            ..
        }) if *name == opened.name && *version == opened.version => told.clone(),
        _ => Told::new(),
    }
}

/// The page of a job that a form was sent from, as it says itself: one of its own, with what its address asked.
fn back_to(ask: &Ask) -> &str {
    /// Most characters of what an address asks.
    const MOST: usize = 200;
    let back = ask.fields.text("back");
    let (page, query) = back.split_once('?').unwrap_or((back, ""));
    let known = Tab::ALL.iter().any(|tab| tab.1 == page)
        || matches!(page, "ask" | "hear" | "versions" | "about" | "sureness" | "more");
    let plain = |c: char| c.is_ascii_alphanumeric() || "&=._-+%~:".contains(c);
    if page == "entry" {
        // What it was of may be gone then.
        return "more";
    }
    if known && query.len() <= MOST && query.chars().all(plain) {
        back
    } else {
        "survey"
    }
}

/// Undo or redo of a whole job: back to the page that it was asked on.
#[must_use]
pub fn step(bench: &Bench, ask: &Ask, undo: bool) -> Reply {
    let back = back_to(ask);
    let opened = match unchanged(bench, ask, back) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let store = &bench.desk().store;
    let (kind, label) = if undo {
        (Old::Before, "Undone")
    } else {
        (Old::Undone, "Done again")
    };
    let takes = takes_back(bench, &opened, kind);
    let done = if undo {
        store.undo(&opened.name, &opened.version)
    } else {
        store.redo(&opened.name, &opened.version)
    };
    let words = takes.map_or_else(|| format!("{label}."), |takes| format!("{label}: {takes}"));
    match done {
        Ok(()) => bench
            .notices
            .see(&to(&opened.name, back), Notice::Done { words, back: None }),
        Err(error) => store_trouble(bench, ask, &error, &to(&opened.name, back)),
    }
}
